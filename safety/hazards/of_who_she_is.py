"""Hazards of whom it is about: the wrong person, two in one record, one in two."""

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

OF_WHO_SHE_IS = (
    Hazard(
        code="H01",
        what="A program is built on, or handed to, the wrong person",
        cause="Two windows are open, two names are alike, or a paper is taken from the printer.",
        harm="She trains to the dose of somebody stronger, past her own bars.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "A form says whose it is; sent to anybody else it changes nobody.",
                found(
                    "patients/actions/test_two_at_once.py",
                    "test_c09_a_form_of_another_patient_changes_nobody",
                    "test_c09_holds_for_every_form",
                ),
                found(
                    "patients/views/test_form_marks.py",
                    "test_no_page_of_a_patient_takes_a_form_without_her_mark",
                    "test_after_a_restore_an_old_form_writes_into_nobodys_record",
                ),
                found(
                    "programs/views/test_sign.py", "test_a_form_of_another_patient_signs_nothing"
                ),
            ),
            told(
                "Every page of hers and every sheet of her paper bear her name and birth.",
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_every_patient_page_says_whose_it_is",
                ),
                found("rendered/test_handout.py", "test_each_page_says_whose_it_is"),
                found(
                    "programs/actions/test_papers.py",
                    "test_k10_a_paper_made_under_a_changed_name_says_both",
                ),
            ),
            told(
                "Of two people of one name and birth date, every page of either says so, and what "
                "tells them apart.",
                found(
                    "patients/views/test_who_she_is.py",
                    "test_the_banner_tells_two_of_one_name_apart_by_record_number",
                    "test_without_record_numbers_the_banner_says_what_was_written_and_their_ids",
                ),
            ),
            guard(
                "Somebody entered with a like name and birth, or a number in use, is pointed out.",
                found(
                    "patients/actions/test_patient_record.py",
                    "test_c07_the_same_person_twice_is_pointed_out",
                    "test_a_record_number_in_use_is_pointed_out",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Who hands the paper over reads the name on it aloud.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H21",
        what="A search gives the wrong person",
        cause="Names are alike, mistyped, or written with other letters.",
        harm="She is treated by another woman's record.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            guard(
                "Who was typed stands before who may have been meant, told apart in words; "
                "that there are more is said.",
                found(
                    "patients/test_search.py",
                    "test_who_was_meant_stands_after_who_was_typed",
                    "test_an_ambiguous_day_finds_both",
                    "test_more_than_a_search_gives_is_said_and_no_search_reads_all",
                ),
                found(
                    "patients/views/test_everyone.py", "test_who_is_found_by_a_slip_is_told_apart"
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="Two people of one name and one birth: ask for the record number.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H22",
        what="One person has two records, or two people are made one",
        cause="She was entered twice; a join is pressed for two who are not the same.",
        harm="Half of what bars her is not read; or somebody else's leave lifts her bars.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "A join moves nothing, asks of each clash, takes over no clearance, and can be "
                "taken apart.",
                found(
                    "patients/actions/test_joining.py",
                    "test_a_join_moves_nothing_and_is_kept_with_its_line",
                    "test_each_clash_is_asked_and_nothing_else",
                    "test_taken_apart_by_a_later_row",
                ),
                found(
                    "programs/views/test_kept_under.py",
                    "test_clearances_of_a_double_are_told_and_not_taken_over",
                ),
            ),
            guard(
                "Until somebody has looked through both, nothing is signed or newly printed.",
                found(
                    "patients/actions/test_joining.py",
                    "test_until_looked_through_nothing_new_is_signed_or_printed",
                ),
            ),
            told(
                "Possible doubles are listed until somebody says what they are.",
                found(
                    "patients/views/test_standing.py",
                    "test_possible_doubles_are_listed_until_somebody_says",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Of a record that was joined the screen reads nothing by itself: look through it.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H23",
        what="A file puts numbers into the wrong record, on the wrong day or into another column",
        cause="Days and months change places, a number loses its zeros, a file is another one.",
        harm="Somebody else's bone, or a day that never was, decides her dose.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            guard(
                "Order of dates, letters and commas are asked, never guessed; nothing is kept "
                "before somebody has looked.",
                found(
                    "patients/files/test_files.py",
                    "TestDates::test_a09_both_readings_are_counted_and_the_file_held",
                    "TestNumbers::test_a_file_of_doubtful_commas_is_asked_about",
                ),
                found(
                    "patients/actions/test_scanners.py",
                    "TestFile::test_nothing_is_kept_before_it_is_taken",
                ),
            ),
            guard(
                "Id, record number and birth must agree; another person's log is refused.",
                found(
                    "patients/files/test_rows.py",
                    "TestRows::test_id_number_and_birthday_must_agree",
                    "TestRows::test_e05_zeros_of_a_record_number_count",
                ),
                found("programs/actions/test_log_files.py", "test_another_persons_log_is_refused"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="What is wrong in the file itself is taken as it stands.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H72",
        what="A wrong person is erased",
        cause="A slip in a number, two people joined by mistake, or somebody who wants it gone.",
        harm="Her bars, her medicines and her program are gone for good; she is seen as somebody "
        "new, and what was never asked again is not known.",
        before=risk(Severity.MAJOR, Likelihood.LOW),
        controls=(
            guard(
                "Her id and her record number must both be given and agree, and before anything "
                "goes her name and birth are told and a word is asked for.",
                found(
                    "programs/management/test_erase_person.py",
                    "test_both_numbers_must_be_hers",
                    "test_it_asks",
                ),
            ),
            design(
                "No page erases: a clinician who is named does, by a command, for a reason; the "
                "record tells for ever who it was.",
                found(
                    "programs/management/test_erase_person.py",
                    "test_somebody_answers_for_it",
                    "test_a_reason_is_needed",
                    "test_the_record_tells_who_where_and_why",
                ),
                found("programs/actions/test_erasing.py", "test_only_a_clinician_may"),
                found(
                    "config/test_rights_of_pages.py",
                    "test_each_address_has_its_right_and_each_right_its_address",
                ),
            ),
            told(
                "What goes is counted and said before, with each record that is joined to hers; "
                "nothing of anybody else goes.",
                found(
                    "programs/management/test_erase_person.py",
                    "test_it_says_what_goes_what_stays_and_what_it_does_not_reach",
                ),
                found(
                    "programs/actions/test_erasing.py",
                    "test_what_was_counted_before_is_what_went",
                    "test_records_joined_to_hers_go_with_her",
                    "test_nothing_of_anybody_else_goes",
                    "test_a_failure_half_way_leaves_all_as_it_was",
                ),
            ),
            told(
                "A copy of the database made before still has her, is named by the erasure, and "
                "is put back with a word of who comes back with it.",
                found(
                    "programs/management/test_erase_person.py",
                    "test_copies_are_whole_and_an_older_one_brings_her_back_in_words",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="Who has no record number is known by her id alone, and --yes asks nobody. Where no "
        "copy is kept, nothing brings her back.",
        carried_by=Carrier.CLINIC,
    ),
)
