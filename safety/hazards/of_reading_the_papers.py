"""Hazards of reading the papers: what she does not find, does not know or takes otherwise."""

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

OF_READING_THE_PAPERS = (
    Hazard(
        code="H45",
        what="She does not find what to do this week",
        cause="A program goes on for months; doses change and kinds come and go.",
        harm="She does week 20 in week 2, or what has ended.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            told(
                "Each week has a sheet of its own, plan and log in one table, with its dates; it "
                "says what starts, ends, rests or comes on fewer days. Papers go to the next "
                "visit, and every number and day of them is held against the signed program.",
                found(
                    "programs/papers/test_cross_check.py",
                    "test_each_paper_says_what_was_signed",
                    "test_each_number_that_is_broken_is_found",
                    "test_a_box_on_another_day_is_found",
                ),
                found(
                    "programs/papers/test_week_sheet.py",
                    "test_what_starts_rests_and_ends",
                    "test_fewer_and_more_days",
                    "test_minutes_are_shared_out",
                ),
                found(
                    "rendered/test_handout_texts.py",
                    "test_a_week_for_the_fridge_door_is_a_sheet_of_its_own",
                ),
                found("rendered/test_handout.py", "test_no_letter_is_small"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(
            "In letters of 20 points, or with all five kinds and weights, a week takes three "
            "pages or four, so that pages of two weeks may be mixed up.",
        ),
        left="Go through the first week with her, on the paper.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H46",
        what="A figure is misunderstood",
        cause="Two poses where three are needed; two exercises look alike.",
        harm="She does the movement that is forbidden.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            told(
                "Steps in plain words stand beside each figure, with what to avoid.",
                found(
                    "programs/views/test_handout.py",
                    "test_each_block_has_its_picture_and_steps",
                ),
                found(
                    "programs/exercises/test_exercises.py",
                    "TestWords::test_three_to_five_steps_each_led_by_a_verb",
                    "TestWords::test_reading_grade_is_six_or_less",
                ),
                found(
                    "rendered/test_figure_sheets.py",
                    "test_the_two_panels_differ_wherever_the_pose_changes",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(
            "Some figures were mistaken when shown without words; turning on the side to sit up "
            "lacks the pose that matters.",
            "No figure was tried with patients.",
        ),
        left="Show each exercise once.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H47",
        what="Words or letters are too hard for her to read",
        cause="Trade words, long sentences, small print, tired eyes.",
        harm="She does it wrongly, or not at all.",
        before=risk(Severity.CONSIDERABLE, Likelihood.HIGH),
        controls=(
            design(
                "Sentences are held to twenty words and a reading grade of six; letters have the "
                "16 or 20 points that were chosen on every page, and 14 under a picture.",
                found(
                    "programs/papers/test_words.py",
                    "test_each_line_is_plain",
                    "test_it_is_read_at_grade_six",
                ),
                found("rendered/test_handout.py", "test_no_letter_is_small"),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.LOW),
        missing=("No paper was read by patients; the grade is a count, not a reader.",),
        left="Read it to her once.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H48",
        what="A translation says something else",
        cause="A sentence, a number or a “not” is lost between the languages.",
        harm="She does what the English forbids.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "No text is left in English; numbers, units and places are the same in both.",
                found(
                    "programs/papers/test_translations.py",
                    "test_every_text_for_a_patient_is_translated_and_nothing_else",
                    "test_numbers_and_units_are_the_same",
                    "test_no_text_was_left_in_english",
                ),
                found("rendered/test_handout_languages.py", "test_no_english_is_left"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(
            "No clinician who speaks Spanish or French has put a name to it; until one has, the "
            "pages where programs are signed and handed out say so.",
            "What the clinic or the clinician types is printed as it was typed.",
        ),
        left="Read it once with somebody who speaks it.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H49",
        what="She takes a weight that nobody chose",
        cause="No set to fatigue is on record, so the lift has no kilograms.",
        harm="A weight too heavy to control.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            told(
                "Where no weight is given it says how to find one, by how often it could be "
                "lifted.",
                found(
                    "programs/papers/test_same_load.py",
                    "test_a_week_without_a_weight",
                    "test_a_load_is_found_by_how_often_it_could_be_lifted",
                ),
                found(
                    "programs/dose/test_effort.py", "test_a_trial_never_rises_by_more_than_a_step"
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=("The paper has no place where the weight that she used is written.",),
        left="Find the first weight with her at the clinic.",
        carried_by=Carrier.CLINICIAN,
    ),
)
