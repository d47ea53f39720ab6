"""Hazards of the record and the machine: data lost, changed, read by others, or not there."""

from __future__ import annotations

from safety.hazards.hazard import (
    Carrier,
    Hazard,
    Likelihood,
    Severity,
    design,
    found,
    guard,
    risk,
    told,
)

OF_THE_RECORD = (
    Hazard(
        code="H61",
        what="What was entered is lost",
        cause="A crash, a lapsed session, a double click, two people at once.",
        harm="A fracture, a fall or a clearance that was told is not there.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "A row and its line of the record are written together or not at all, once for "
                "one form, and never deleted.",
                found(
                    "patients/actions/test_patient_record.py",
                    "test_save_section_adds_rows_and_answers_together_or_neither",
                    "test_save_section_sent_twice_counts_once",
                    "test_the_database_refuses_to_delete_a_measurement",
                ),
                found(
                    "programs/actions/test_many_at_once.py",
                    "test_d11_twenty_people_saving_at_once_all_are_kept",
                ),
                found(
                    "programs/management/test_rescreen.py",
                    "test_a_run_that_the_system_kills_goes_on_where_it_stopped",
                ),
            ),
            guard(
                "What was typed comes back after a mistake, and after signing in again.",
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_errors_stand_beside_the_field_and_nothing_typed_is_lost",
                ),
                found(
                    "config/test_pages.py",
                    "TestLateForm::test_what_was_typed_is_kept_for_one_click",
                    "TestLateForm::test_sent_again_it_is_saved",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(
            "A half-filled form that is left by a link is lost without a word, but for the log.",
            "Killing it in the middle of every action is not part of the tests.",
        ),
        left="The disk.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H62",
        what="Records are changed and nobody sees it",
        cause="Somebody writes into the database file beside the program.",
        harm="A T-score, a fall or a name is another one: another dose.",
        before=risk(Severity.MAJOR, Likelihood.LOW),
        controls=(
            guard(
                "Each line of the record hangs on the one before by a key outside of the "
                "database; a look names the first line, program or paper that is not as written.",
                found(
                    "patients/test_audit.py",
                    "test_one_changed_field_is_found_at_its_line",
                    "test_a_missing_line_is_found",
                    "test_a_chain_rebuilt_without_the_key_is_found",
                ),
                found(
                    "programs/actions/test_record_check.py",
                    "test_a_changed_line_is_named",
                    "test_a_paper_changed_is_named_with_and_without_its_digest",
                    "test_an_emptied_record_is_noticed_also_once_it_goes_on",
                ),
                found(
                    "programs/management/test_check_record.py",
                    "test_it_holds_the_record_against_a_noted_seal",
                ),
            ),
            guard(
                "Facts, names, log entries and settings are held against the record's last state "
                "of each: at each start, by a check, and of one person before each of her papers.",
                found(
                    "programs/actions/test_tampers_of_rows.py",
                    "test_a_row_changed_beside_the_record_is_told_and_no_paper_is_made",
                    "test_a_deleted_fact_and_one_put_in_are_told",
                    "test_the_clinics_own_settings_are_told",
                    "test_a_password_changed_beside_the_record_is_told_and_opens_nothing",
                ),
            ),
            guard(
                "The head of the record is anchored in a file and on papers.",
                found(
                    "programs/actions/test_tampers.py",
                    "test_a_cut_tail_is_told_by_the_anchors",
                    "test_an_emptied_record_is_told",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(
            "Of a row that was written before answers were recorded whole, only what its line "
            "holds is compared; a role that is given beside the program is not noticed.",
        ),
        left="Who has the machine and its key.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H63",
        what="Somebody reads or writes who should not",
        cause="A guessed password, an open window, a colleague's account.",
        harm="Her illnesses are read by others; her program is changed.",
        before=risk(Severity.CONSIDERABLE, Likelihood.HIGH),
        controls=(
            guard(
                "Nothing opens without signing in; guesses are slowed; a session ends by itself.",
                found(
                    "config/test_pages.py",
                    "test_nothing_opens_without_signing_in",
                    "TestSessionLength::test_ends_after_twelve_hours_however_busy",
                ),
                found(
                    "patients/actions/test_guessing.py",
                    "test_five_a_minute_from_one_source",
                    "test_a_session_left_open_gives_five_in_a_quarter_of_an_hour",
                    "test_k07_a_burst_over_several_servers_gets_five_in_all",
                ),
                found(
                    "config/test_sign_in.py",
                    "test_k06_the_owner_gets_in_while_a_stranger_guesses_once_a_second",
                ),
                found("patients/staff/test_passwords.py", "test_soon_guessed"),
            ),
            guard(
                "Where the clinic asks for it, a password alone lets nobody in; a code is used "
                "once, and none is made or changed past the program.",
                found(
                    "config/test_second_step.py",
                    "test_the_password_alone_lets_nobody_in",
                    "test_a_code_seen_over_her_shoulder_is_worth_nothing",
                    "test_codes_changed_past_the_program_let_nobody_in",
                ),
                found("patients/views/test_codes.py", "TestAsked::test_every_page_leads_there"),
            ),
            design(
                "Each page is opened and sent only by who has its right; one taken away counts "
                "at once.",
                found(
                    "config/test_rights_of_pages.py",
                    "test_k04_refused_where_the_right_is_missing",
                    "test_k04_no_button_and_no_link_without_the_right",
                    "test_k03_a_right_taken_away_counts_at_the_next_request",
                    "test_k01_who_is_switched_off_is_out_at_the_next_request",
                ),
            ),
            design(
                "No page reaches outside or lets another site act.",
                found("gate/test_house_rules.py", "test_no_page_reaches_outside_or_runs_inline"),
                found(
                    "config/test_pages.py",
                    "test_headers_on_every_answer",
                    "TestLateForm::test_another_sites_form_is_not_offered_for_sending",
                ),
            ),
            guard(
                "Who looked at her record, took a file or read a paper is written down before it "
                "is shown, and can be read.",
                found(
                    "patients/test_looks.py",
                    "test_l01_a_line_each_for_facts_plan_export_and_paper",
                    "test_l07_seven_looks_are_seven_lines_in_order_and_chained",
                    "test_a_look_that_cannot_be_kept_is_not_shown",
                ),
                found("programs/views/test_record.py", "test_looks_stand_in_a_list_of_their_own"),
            ),
            design(
                "The clinic's figures tell no group under five.",
                found(
                    "programs/outcomes/test_small_groups.py",
                    "test_whoever_knows_the_sum_and_the_rules_finds_no_small_group",
                ),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.MEDIUM),
        missing=(
            "Whoever does clinical work may read everybody.",
            "Who saw a list of people is not recorded.",
        ),
        left="The room, the screen, the printer.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H65",
        what="Text from outside does something",
        cause="A name, a note or a file holds markup, a formula or an address.",
        harm="Records are read or changed through her own name.",
        before=risk(Severity.CONSIDERABLE, Likelihood.LOW),
        controls=(
            design(
                "What is typed or sent is only text, on pages, in papers and in files.",
                found(
                    "rendered/test_handout_texts.py",
                    "test_hostile_text_is_only_text",
                    "test_the_canary_would_have_sung",
                ),
                found(
                    "patients/files/test_rows.py",
                    "TestRoundTrip::test_e07_no_cell_of_text_sets_off_a_formula_and_numbers_stand_bare",
                ),
                found(
                    "patients/views/test_files_and_laboratory.py",
                    "TestImport::test_a_cell_is_text_and_never_markup",
                ),
                found("patients/test_search.py", "test_hostile_searches_are_plain_text"),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.VERY_LOW),
        missing=(),
        left="A fault in what the product is built on, until it is updated.",
        carried_by=Carrier.MAKERS,
    ),
    Hazard(
        code="H19",
        what="A backup cannot be put back",
        cause="It was copied while it was written; nobody ever tried; the key is lost.",
        harm="Everything known of everybody is gone.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            guard(
                "A copy is whole though others write, is looked over before it counts, and one "
                "that does not hold is refused by its row.",
                found(
                    "programs/management/test_back_up.py",
                    "test_d15_copies_made_while_others_write_are_whole",
                    "test_a_copy_whose_record_does_not_hold_is_refused_by_its_row",
                    "test_it_is_the_copy_that_is_looked_over",
                ),
            ),
            guard(
                "A command puts it back: not while Calcar runs, not without its key, not a cut or "
                "changed one; it says what would be lost, and keeps the database from before.",
                found(
                    "programs/machine/test_restoring.py",
                    "test_restores_in_a_row_while_others_write",
                    "test_o01_refused_until_stopped_and_the_present_one_is_kept",
                    "test_o05_a_copy_of_another_key_is_refused_and_names_it",
                    "test_o06_a_cut_copy_is_refused",
                    "test_o07_a_copy_that_holds_less_says_so",
                    "test_trying_out_changes_nothing_and_is_noted",
                ),
            ),
            guard(
                "No key is made where records hang on the one that is gone.",
                found(
                    "config/test_local.py",
                    "test_no_key_is_made_where_records_hang_on_the_one_that_is_gone",
                ),
            ),
            told(
                "How old the last copy is, and the last that was tried out, stands on a page.",
                found(
                    "programs/machine/test_health.py",
                    "test_one_thing_alone_is_to_be_looked_at",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=("Nothing makes a backup by itself until the clinic sets it up.",),
        left="Copies and key in two other places.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H69",
        what="An update changes or loses what was signed",
        cause="A table is rebuilt, a format is no longer read, an older release is started.",
        harm="A program reads otherwise than it was signed.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "The database of a release is kept and brought to today in the tests: each "
                "signed text reads the same, each paper has its bytes.",
                found(
                    "test_release_databases.py",
                    "test_every_signed_text_reads_the_same",
                    "test_no_row_is_lost",
                    "test_every_kept_paper_has_its_bytes",
                    "test_the_database_still_refuses",
                ),
                found(
                    "programs/signed/test_snapshot.py",
                    "test_samples_of_every_format_are_read_for_ever",
                ),
            ),
            guard(
                "An older release refuses a newer database, and a newer one that lacks a step.",
                found(
                    "programs/management/test_migrate.py", "test_o03_a_newer_database_is_refused"
                ),
                found(
                    "programs/machine/test_at_start.py",
                    "test_o03_a_database_of_a_newer_release",
                    "test_a_database_of_an_older_release",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="Back up before an update.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H64",
        what="The program is not there when it is needed",
        cause="A full or broken disk, a machine that does not start.",
        harm="She is advised from memory, without her bars.",
        before=risk(Severity.SIGNIFICANT, Likelihood.MEDIUM),
        controls=(
            told(
                "A failure is told in plain words, and says what to do.",
                found("config/test_pages.py", "test_failures_are_told_in_plain_words"),
                found("config/test_pages.py", "test_a_broken_machine_is_called_what_it_is"),
                found("config/test_broken_machines.py", "test_it_ends_with_a_sentence"),
                found("gate/test_setup.py", "test_what_stops_it_is_a_sentence"),
            ),
            told(
                "Disk, clock, key, release and record stand on a page, and in a command for a "
                "script to ask.",
                found(
                    "programs/machine/test_health_now.py",
                    "test_the_command_names_what_is_to_be_done",
                    "test_the_page_names_what_is_to_be_done",
                ),
            ),
            guard(
                "A full disk leaves nothing half.",
                found(
                    "programs/views/test_full_disk.py",
                    "test_o09_nothing_half_is_signed_on_a_full_disk",
                ),
            ),
        ),
        after=risk(Severity.SIGNIFICANT, Likelihood.LOW),
        missing=("Nobody is called when the page of health has something to tell.",),
        left="It is one machine. The papers work without it.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H67",
        what="Invented people stand among real ones",
        cause="The demo is loaded into a clinic's own database.",
        harm="Somebody is treated by an invented record.",
        before=risk(Severity.MAJOR, Likelihood.LOW),
        controls=(
            design(
                "The demo stays away from a database with other patients, and everybody in it is "
                "plainly invented.",
                found("programs/management/test_demo.py", "test_stays_away_from_other_patients"),
                found(
                    "programs/demo/test_people_and_logs.py",
                    "test_no_two_are_alike_and_all_are_plainly_invented",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="A clinic that begins its work in the demo's database.",
        carried_by=Carrier.CLINIC,
    ),
)
