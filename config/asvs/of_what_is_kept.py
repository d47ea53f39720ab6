"""Rows of what is kept and told: the record, failures, addresses, what the product is made of."""

from __future__ import annotations

from config.asvs.row import Chapter, found, holds

_DOOR = "config/test_door.py"
_IN = "config/test_sign_in.py"
_PAGES = "config/test_pages.py"
_LOOKS = "patients/test_looks.py"

WHAT_IS_KEPT = (
    Chapter(
        name="The record",
        rows=(
            holds(
                "16.2.1, 16.2.2",
                2,
                "Each line says who, what, when and from where; the time is kept in UTC.",
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_the_record_says_who_and_from_where",
                ),
                found("patients/test_audit.py", "test_the_senders_address_is_in_the_line"),
                found("programs/views/test_record.py", "test_l03_a_day_is_the_clinics_own"),
            ),
            holds(
                "16.3.1 to 16.3.3",
                2,
                "Signing in, wrong tries, refused pages and forged forms are written down.",
                found(_IN, "test_signing_in_and_out_and_wrong_tries_are_written_down"),
                found(
                    "config/test_second_step.py",
                    "test_signing_in_is_on_record_with_what_was_given",
                ),
                found(_LOOKS, "test_what_is_refused_is_told", "test_a_forged_form_is_told"),
            ),
            holds(
                "16.4.1",
                2,
                "Nobody writes a line of a log by what she types.",
                found(_DOOR, "test_a_name_of_several_lines_stays_one_line_of_any_log"),
            ),
            holds(
                "16.4.2",
                2,
                "The record is neither changed nor cut without its being noticed.",
                found(
                    "patients/actions/test_patient_record.py",
                    "test_the_database_refuses_to_change_what_is_kept",
                ),
                found(_LOOKS, "test_the_database_refuses_to_change_or_delete_a_look"),
                found(
                    "programs/actions/test_tampers.py",
                    "test_a_flip_in_each_field_of_a_line_is_found_at_its_line",
                    "test_a_line_deleted_swapped_or_forged_is_found",
                    "test_a_cut_tail_is_told_by_the_anchors",
                    "test_a_chain_made_anew_without_the_key_is_found",
                ),
            ),
            holds(
                "16.5.1 to 16.5.3",
                2,
                "A failure is told in plain words, shows nothing from within, and opens nothing.",
                found(_PAGES, "test_failures_are_told_in_plain_words"),
                found(_LOOKS, "test_a_look_that_cannot_be_kept_is_not_shown"),
                found(
                    "config/test_rights_of_pages.py",
                    "test_an_address_without_a_right_is_refused_to_whoever_keeps_no_people",
                ),
                found(
                    "programs/views/test_full_disk.py",
                    "test_o09_nothing_half_is_signed_on_a_full_disk",
                ),
            ),
        ),
    ),
    Chapter(
        name="What is told outside",
        rows=(
            holds(
                "13.4.2, 13.4.5",
                2,
                "No page of a failure shows its cause within; the state of the machine is for "
                "who looks after it.",
                found(
                    _DOOR,
                    "test_nothing_of_a_failure_is_shown_and_passwords_are_hashed_slowly",
                ),
                found("gate/test_tools.py", "test_ready_to_be_served_by_tls"),
                found(
                    "programs/machine/test_health_now.py",
                    "test_nobody_sees_it_without_signing_in",
                    "test_the_page_tells_the_same_and_nothing_of_anybody",
                ),
            ),
            holds(
                "14.2.1",
                1,
                "Nothing of a patient but a number stands in an address.",
                found(
                    "patients/views/test_everyone.py",
                    "test_no_term_of_a_search_stands_in_an_address",
                    "test_no_term_of_a_search_stands_in_a_log_line",
                    "test_what_is_found_has_an_address_of_its_own_that_names_nobody",
                ),
            ),
            holds(
                "15.1.2",
                2,
                "All parts that others made are listed, as they are locked.",
                found("programs/made_of/test_sbom.py", "test_the_kept_list_is_what_the_lock_makes"),
                found(
                    "gate/test_house_rules.py",
                    "test_lock_names_no_registry_and_hashes_every_pin",
                ),
            ),
        ),
    ),
    Chapter(
        name="Secrets",
        rows=(
            holds(
                "13.3.1, 11.3.2",
                2,
                "What makes one-time codes is kept sealed, with a key outside the database.",
                found(
                    "patients/actions/test_codes.py",
                    "TestKept::test_neither_secret_nor_recovery_code_stands_there",
                    "TestKept::test_it_opens_for_her_and_with_the_key_alone",
                    "TestPastTheProgram::test_it_is_noticed_and_healed",
                ),
                found("config/test_local.py", "test_secret_key_is_made_once_for_the_owner_only"),
                note="The numbers are from memory, to be confirmed.",
            ),
        ),
    ),
)
