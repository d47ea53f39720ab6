"""Rows of who comes in: passwords, codes, sessions, rights."""

from __future__ import annotations

from config.asvs.row import Chapter, found, holds

_DOOR = "config/test_door.py"
_IN = "config/test_sign_in.py"
_STEP = "config/test_second_step.py"
_PAGES = "config/test_pages.py"
_ACCOUNT = "patients/views/test_account.py"
_RIGHTS = "config/test_rights_of_pages.py"

WHO_COMES_IN = (
    Chapter(
        name="Passwords and codes",
        rows=(
            holds(
                "6.2.1 to 6.2.9",
                2,
                "Passwords of 15 characters or more, of any kind, taken as typed, pasted at will; "
                "what would soon be guessed is refused.",
                found(
                    _IN,
                    "test_a_long_password_with_any_letters_is_taken_as_typed",
                    "test_a_password_that_is_soon_guessed_is_refused_with_the_reason",
                    "test_each_sample_that_was_taken_before_is_refused",
                ),
                found(_DOOR, "test_a_password_is_taken_as_typed_and_may_be_pasted"),
                found(_PAGES, "test_passwords"),
                found("patients/staff/test_passwords.py", "test_soon_guessed"),
            ),
            holds(
                "6.2.10",
                2,
                "No password has to be changed because of its age.",
                found(_DOOR, "test_no_password_is_too_old"),
            ),
            holds(
                "6.3.1",
                1,
                "Guessing is slowed, and guessers do not shut the owner out.",
                found(
                    _IN,
                    "test_five_wrong_tries_then_a_pause_of_a_minute",
                    "test_k06_the_owner_gets_in_while_a_stranger_guesses_once_a_second",
                    "test_no_more_than_five_of_a_strangers_guesses_are_looked_at_in_a_minute",
                ),
                found(
                    _STEP,
                    "test_five_wrong_codes_in_a_quarter_of_an_hour_from_all_strange_places",
                    "test_her_own_browser_gets_in_while_a_stranger_with_her_password_guesses",
                ),
            ),
            holds(
                "6.3.2",
                1,
                "There is no account that everybody knows.",
                found(_DOOR, "test_a_new_installation_has_no_account"),
                found(
                    "config/test_first_account.py",
                    "test_without_a_terminal_the_password_goes_to_a_file_and_to_no_log",
                ),
            ),
            holds(
                "6.3.3",
                2,
                "More than a password can be asked for, of whom the clinic says.",
                found(_STEP, "test_the_password_alone_lets_nobody_in"),
                found("patients/views/test_codes.py", "TestAsked::test_every_page_leads_there"),
                note="A clinic that has set nothing lets in by the password alone. The number is "
                "from memory, to be confirmed.",
            ),
            holds(
                "6.3.8",
                3,
                "A name that nobody has is answered like any other, and as fast.",
                found(_PAGES, "test_a_wrong_name_and_a_wrong_password_look_the_same"),
                found(
                    _DOOR,
                    "test_a_name_nobody_has_takes_as_long",
                ),
                found(_IN, "test_a_name_nobody_has_is_slowed_alike"),
                note="An account whose password was changed past the program says so, and thereby "
                "that it is there.",
            ),
            holds(
                "6.5.1, 6.5.5",
                2,
                "A one-time code lets in once, within its half minute or the ones beside it.",
                found(
                    "patients/actions/test_codes.py",
                    "test_a_code_is_used_once_and_none_from_before_it",
                    "test_one_step_of_drift_each_way_and_no_more",
                    "test_a_recovery_code_is_used_once_by_her_alone",
                ),
                found(_STEP, "test_a_code_seen_over_her_shoulder_is_worth_nothing"),
                note="The numbers are from memory, to be confirmed.",
            ),
            holds(
                "11.4.2",
                2,
                "Passwords are kept as a slow hash.",
                found(
                    _DOOR,
                    "test_nothing_of_a_failure_is_shown_and_passwords_are_hashed_slowly",
                ),
                found(_IN, "test_an_older_hash_still_lets_in_and_is_made_anew"),
            ),
        ),
    ),
    Chapter(
        name="Sessions",
        rows=(
            holds(
                "7.2.4",
                1,
                "Signing in begins another session.",
                found(_DOOR, "test_signing_in_begins_another_session"),
                found(_STEP, "test_the_session_is_another_one_after_each_step"),
            ),
            holds(
                "7.3.1, 7.3.2",
                2,
                "A session ends after 15 minutes without a page and 12 hours at the latest.",
                found(
                    _PAGES,
                    "TestSessionLength::test_each_request_starts_the_idle_time_anew",
                    "TestSessionLength::test_ends_after_twelve_hours_however_busy",
                ),
                found(
                    _IN,
                    "test_asking_how_long_is_left_makes_it_no_longer",
                    "test_the_longest_day_ends_it_too_and_without_a_session_nothing_is_left",
                ),
            ),
            holds(
                "7.4.1, 7.4.2",
                1,
                "Signing out and switching an account off end sessions at the server.",
                found(_PAGES, "test_signing_in_and_out"),
                found(_RIGHTS, "test_k01_who_is_switched_off_is_out_at_the_next_request"),
            ),
            holds(
                "7.4.3, 7.5.2",
                2,
                "A new password ends all other sessions; one's own are listed and can be ended.",
                found(
                    _IN,
                    "test_k11_changing_it_ends_other_sessions_and_keeps_this_one_on_the_list",
                ),
                found(
                    _ACCOUNT,
                    "test_sessions_are_listed_and_one_is_ended",
                    "test_all_others_are_ended_at_once",
                    "test_nobody_ends_somebody_elses_session",
                ),
            ),
            holds(
                "7.5.1",
                2,
                "Whatever changes how one signs in asks for the password again.",
                found(_IN, "test_changing_the_password_has_the_same_brake"),
                found(
                    "patients/views/test_codes.py",
                    "test_each_question_for_the_password_has_the_one_brake",
                    "test_turned_off_with_the_password",
                    "test_new_recovery_codes_with_the_password",
                ),
                note="The number is from memory, to be confirmed.",
            ),
            holds(
                "7.5.3",
                3,
                "Signing a program asks for the password again.",
                found(
                    "programs/views/test_sign.py",
                    "test_a_signature_needs_the_password_even_in_a_session",
                    "test_after_five_wrong_passwords_even_the_right_one_waits",
                ),
                note="No one-time code is asked for there: the session began with one.",
            ),
        ),
    ),
    Chapter(
        name="Rights",
        rows=(
            holds(
                "8.2.1",
                1,
                "Each page and each form asks for a right.",
                found(
                    _RIGHTS,
                    "test_each_address_has_its_right_and_each_right_its_address",
                    "test_k04_refused_where_the_right_is_missing",
                    "test_an_address_without_a_right_is_refused_to_whoever_keeps_no_people",
                    "test_k03_a_right_taken_away_counts_at_the_next_request",
                ),
                found(_DOOR, "test_without_signing_in_nothing_is_sent"),
            ),
            holds(
                "8.2.2",
                1,
                "The number of somebody else's row in an address opens nothing.",
                found(
                    "patients/actions/test_two_at_once.py",
                    "test_c09_a_row_of_another_patient_is_not_found",
                ),
                found(
                    "programs/actions/test_papers.py",
                    "test_a_paper_of_somebody_else_is_not_found",
                ),
                found(
                    "patients/views/test_files_and_laboratory.py",
                    "TestImport::test_nobody_else_s_file",
                ),
                found("programs/views/test_log_files.py", "test_somebody_elses_file_is_not_here"),
                found(_ACCOUNT, "test_nobody_ends_somebody_elses_session"),
                note="Everybody who treats here may read every patient of the clinic; each look "
                "is kept.",
            ),
            holds(
                "8.2.3",
                2,
                "What a role may not set, no field of a form sets.",
                found(_DOOR, "test_fields_that_no_form_has_are_not_taken"),
                found(
                    "programs/actions/test_signing.py",
                    "test_whoever_does_not_sign_is_refused_though_the_button_was_there",
                ),
            ),
        ),
    ),
)
