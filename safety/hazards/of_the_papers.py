"""Hazards of the papers: the wrong load, the wrong telephone, the wrong week, the wrong words."""

from __future__ import annotations

from safety.hazards.hazard import (
    Carrier,
    Hazard,
    Likelihood,
    Severity,
    design,
    found,
    risk,
    told,
)

OF_THE_PAPERS = (
    Hazard(
        code="H10",
        what="The paper tells another dose than was signed: a wrong load, day or setting",
        cause="It is made from the draft, or its tables are laid out wrongly.",
        harm="She lifts or stands on more than anybody decided.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "Every paper is made from the signed text alone, and each number is held "
                "against it.",
                found("rendered/test_handout.py", "test_its_numbers_are_those_that_were_signed"),
                found(
                    "rendered/test_handout_languages.py",
                    "test_its_numbers_are_those_that_were_signed",
                ),
                found("programs/views/test_handout.py", "test_doses_are_those_that_were_signed"),
                found(
                    "programs/papers/test_same_load.py",
                    "test_the_handout_tells_the_plans_load",
                    "test_the_week_tells_the_plans_load",
                ),
                found("rendered/test_handout.py", "test_the_plates_table_stands_as_set"),
            ),
            design(
                "A paper is kept byte by byte; printed again it is the same.",
                found(
                    "rendered/test_handout.py",
                    "test_printed_again_it_is_the_same_byte_by_byte",
                ),
                found(
                    "programs/actions/test_papers.py",
                    "test_the_same_choice_gives_the_kept_paper",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="What somebody writes on it by hand.",
        carried_by=Carrier.MAKERS,
    ),
    Hazard(
        code="H11",
        what="Words of the paper are cut, missing or cannot be read",
        cause="A long name or note, a letter that no typeface has, a page that is lost.",
        harm="“Do not” or “until” is what is missing.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "What each PDF says is read back: nothing is lost, nothing leaves the margins, "
                "no letter is small.",
                found(
                    "rendered/test_handout.py",
                    "test_nothing_it_says_is_lost",
                    "test_all_of_it_stands_inside_the_margins",
                    "test_no_letter_is_small",
                ),
                found(
                    "rendered/test_handout_texts.py",
                    "test_the_longest_name_is_printed_whole_and_covers_nothing",
                    "test_a_long_note_is_printed_whole",
                ),
            ),
            told(
                "A letter that cannot be printed is named on the page before anything is signed.",
                found(
                    "programs/views/test_sign.py",
                    "test_a_name_that_the_papers_cannot_show_is_told_before",
                ),
                found(
                    "rendered/test_handout_texts.py",
                    "test_letters_that_no_typeface_has_are_named_and_reported",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(
            "A name in Chinese, Japanese, Korean or Devanagari letters prints as their numbers.",
        ),
        left="The printer: look through the pages.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H16",
        what="An old paper is still used",
        cause="It hangs on the fridge after a new one was signed, or after the program ended.",
        harm="She goes on with what was lowered, stopped or is over.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            told(
                "A new paper says which one it replaces; the last week's says that it is the last.",
                found("programs/actions/test_papers.py", "test_the_paper_says_what_it_replaces"),
                found(
                    "programs/papers/test_last_words.py",
                    "test_the_last_week_s_paper_says_what_to_do_then",
                ),
            ),
            design(
                "Of a program that is not in force nothing is printed but a copy marked across "
                "each page; the calendar takes its days back.",
                found(
                    "programs/views/test_stop.py",
                    "test_a_kept_paper_opens_as_a_marked_copy",
                    "test_the_days_are_taken_back",
                ),
                found(
                    "rendered/test_stop_notice.py",
                    "test_a_marked_copy_says_so_on_each_page_and_keeps_its_text",
                ),
                found(
                    "programs/papers/test_sessions_calendar.py",
                    "test_a_replaced_program_is_taken_back",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.MEDIUM),
        missing=("The paper offered first tells twelve weeks, not those to the next visit.",),
        left="No program reaches the paper at her home: ask for it and take it back.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H41",
        what="A paper that nobody signed is used as a program",
        cause="A draft is printed to be looked at.",
        harm="She trains to what no clinician answers for.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "Without a signature there is no handout; a draft says so across each page, in "
                "each language.",
                found(
                    "programs/actions/test_papers.py",
                    "test_without_a_signature_there_is_no_handout",
                    "test_a_draft_says_that_it_is_one",
                ),
                found("rendered/test_handout.py", "test_a_draft_says_so_across_each_page"),
                found("programs/papers/test_language.py", "test_a_draft_in_spanish_says_so"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="A page of the screen that somebody prints from the browser.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H42",
        what="Chest pain is sent to the clinic's telephone",
        cause="One list holds what is for the ambulance and what is for the clinic.",
        harm="She waits for Monday with a heart attack.",
        before=risk(Severity.CATASTROPHIC, Likelihood.MEDIUM),
        controls=(
            design(
                "Each paper of hers that names such signs, the blank questions and the card for "
                "her wallet too, has both boxes whole, in the same words and order; the clinic's "
                "box holds none of what is for the ambulance, in each language.",
                found(
                    "programs/papers/test_first_words.py",
                    "test_both_boxes_come_before_anything_else",
                    "test_whatever_names_such_signs_has_both_boxes_whole",
                    "test_what_is_for_the_ambulance_is_nowhere_for_the_clinic",
                    "test_her_phone_has_the_same_boxes",
                    "test_all_that_is_an_emergency_is_named",
                ),
                found("rendered/test_handout.py", "test_page_one_says_when_to_stop"),
            ),
            design(
                "The number is set once for each language, apart from words. Nothing is signed "
                "while one is missing, unless a reason is written; the record keeps it. A paper "
                "made later has the numbers of its day.",
                found(
                    "programs/actions/test_emergency_numbers.py",
                    "test_each_language_has_its_own",
                    "test_nothing_is_signed_without_a_number_or_a_reason",
                    "test_a_program_signed_before_gets_todays_numbers",
                ),
                found(
                    "programs/views/test_emergency_numbers.py",
                    "test_nothing_is_signed_and_the_page_says_why",
                    "test_what_is_missing_is_said_until_it_is_set",
                ),
            ),
            design(
                "A number too long for its box on the narrowest paper in the largest letters is "
                "refused when it is set.",
                found(
                    "rendered/test_emergency.py",
                    "test_the_longest_number_that_is_taken_stands_in_one_line",
                    "test_one_digit_more_is_refused_and_would_not_fit",
                ),
            ),
            told(
                "The page to sign says before the password what the clinic has not set, with the "
                "page on which it is set.",
                found(
                    "programs/views/test_versions.py",
                    "test_what_is_blank_and_who_must_be_there",
                ),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.VERY_LOW),
        missing=(
            "The clinic's own words beside the number are printed as typed, whatever language "
            "they are in.",
            "A paper that was handed out keeps the numbers of its day; nothing tells her that "
            "they have changed.",
        ),
        left="Whether she reads it then. A number that was set and is wrong.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H43",
        what="She falls while she trains and does not know what to do",
        cause="The paper speaks of calling, not of getting up.",
        harm="A long lie; she stands up on a broken hip.",
        before=risk(Severity.CATASTROPHIC, Likelihood.MEDIUM),
        controls=(
            told(
                "Who cannot get up, whose leg will not bear her, and who turns ill after a knock "
                "on the head is told to call the ambulance; whoever takes a blood thinner, or was "
                "not asked, is told of any knock.",
                found(
                    "programs/papers/test_first_words.py",
                    "test_all_that_is_an_emergency_is_named",
                    "test_each_paper_tells_who_may_take_a_blood_thinner_of_knocks",
                ),
            ),
            told(
                "The handout, and a paper of its own, says when to stay down, how to get up by a "
                "chair with a picture, and what to do when she is alone; who does not stand is "
                "told to call for help.",
                found(
                    "programs/papers/test_fall_page.py",
                    "test_who_walks_gets_up_by_a_chair",
                    "test_who_does_not_stand_calls_for_help",
                    "test_a_hand_is_on_the_seat_before_she_rises",
                    "test_it_is_part_of_the_handout",
                ),
                found("rendered/test_emergency.py", "test_the_page_on_falls"),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.LOW),
        missing=("Nothing asks whether she can call for help from the floor.",),
        left="An alarm that she wears.",
        carried_by=Carrier.CLINICIAN,
    ),
)
