"""Hazards of the plan: too much, too fast, too heavy, too hard, or nobody beside her."""

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

OF_THE_PLAN = (
    Hazard(
        code="H09",
        what="The dose passes a limit or rises too fast",
        cause="An error in a ramp, a change by hand, a limit of another group.",
        harm="Pain, a stress fracture, a fall.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "Each limit stands once with its source; drafts of random people and random "
                "changes are held against them.",
                found("safety/test_properties.py", "test_everyone_is_drafted_within_the_limits"),
                found(
                    "programs/dose/test_plate_properties.py",
                    "test_no_ramp_of_any_plate_passes_a_limit",
                ),
                found(
                    "programs/edit/test_judge.py",
                    "test_nothing_drafted_passes_a_limit",
                    "test_edits_never_pass_a_hard_limit",
                ),
                found("test_campaign.py", "test_a_thousand_people_break_nothing"),
            ),
            design(
                "Of plate, lifting and impact at most two rise in a week, none in a steady one.",
                found(
                    "programs/draft/test_rises.py",
                    "test_of_three_two_rise_in_a_week_and_the_third_goes_first_in_the_next",
                    "test_nothing_rises_in_a_fourth_week_and_what_was_due_keeps_its_place",
                ),
            ),
            guard(
                "Limits are looked for once more on signing.",
                found(
                    "programs/actions/test_signing.py",
                    "test_a_hard_limit_is_looked_for_once_more",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="Many limits are choices of the project, for want of a trial.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H27",
        what="Jumps or hard steps are drafted for the frail",
        cause="Falls, low function or a fragile spine are not read, or were never tested.",
        harm="A broken vertebra or hip on landing.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "High risk of falling bars impact, low function walks, and nobody over 75 counts "
                "as strong without a test.",
                found("safety/test_risk.py", "test_high_fall_risk_bars_impact_and_asks_for_form"),
                found(
                    "safety/rules/test_standing.py",
                    "test_what_low_function_asks",
                    "test_not_tested_is_low_function_from_75",
                ),
                found("programs/dose/test_impact.py", "test_group_c_walks"),
                found(
                    "programs/exercises/test_choice.py",
                    "TestImpact::test_group_b_never_hops_or_jumps",
                ),
                found(
                    "programs/draft/test_protocols.py",
                    "test_the_frail_are_never_drafted_above_group_c",
                    "test_strong_impacts_of_the_force_studies_are_never_drafted",
                ),
            ),
            design(
                "A force above her group or her own cap is found in any week, also one changed "
                "by hand.",
                found(
                    "programs/edit/test_breaches.py",
                    "test_force_beyond_the_group_or_her_own_cap_is_found_in_the_weeks",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Several forces were measured by nobody on such people; they say “about”.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H28",
        what="A fragile spine is bent, twisted or loaded overhead",
        cause="A vertebral fracture, lost height or a steroid is not read, or an exercise is "
        "swapped in.",
        harm="A new vertebral fracture.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "A spine that is or may be fragile is spared, and an exercise unfit for it is "
                "never offered, drafted or taken.",
                found(
                    "safety/rules/test_fractures.py",
                    "test_fragile_spine",
                    "test_what_a_fragile_spine_asks",
                    "test_no_height_today_is_dosed_as_not_imaged",
                ),
                found(
                    "programs/exercises/test_bars.py",
                    "test_a_fragile_spine_is_never_offered_what_is_barred_for_it",
                    "test_what_is_not_for_a_fragile_spine_in_lifting_and_posture",
                ),
                found("programs/edit/test_judge.py", "test_a_spared_spine_keeps_its_own_exercises"),
            ),
            told(
                "Her paper says which movements of the day to leave.",
                found(
                    "programs/views/test_handout.py",
                    "test_only_a_fragile_spine_gets_the_daily_moves",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="How she moves at home; nobody sees it.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H31",
        what="Balance or standing work is harder than she can hold",
        cause="Levels rise by the calendar; she sits in a wheelchair; she needs her hands.",
        harm="She falls while she trains not to fall.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "The first level comes from her tests; where her risk of falling is not low only "
                "a review raises it, and a faller whom nobody watches stays low.",
                found(
                    "programs/dose/test_balance_and_posture.py",
                    "test_the_first_rung_is_opened_by_the_stances",
                    "test_where_fall_risk_is_not_low_only_a_review_raises_the_rung",
                    "test_a_faller_who_is_not_watched_stays_at_four",
                ),
            ),
            design(
                "Who does not stand gets nothing on the feet; a hand stays on something for "
                "whoever needs it.",
                found(
                    "programs/exercises/test_choice.py",
                    "TestWhoDoesNotStand::test_a_wheelchair_user_has_four_lifts_and_none_on_her_feet",
                ),
                found(
                    "programs/papers/test_manner.py",
                    "test_a_seated_program_asks_nobody_to_stand_or_walk",
                    "test_near_support_stands_in_every_balance_exercise",
                    "test_with_a_frame_hands_are_on_support_in_every_standing_exercise",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="What she holds on to at home, and whether it is fixed.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H32",
        what="What would help most gives way to what helps less",
        cause="She has little time; a faller's balance is left out.",
        harm="She falls, having done what mattered least.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "A faller has half of her minutes for balance before anything else.",
                found(
                    "programs/draft/test_fit_into_days.py",
                    "test_a_faller_has_half_of_her_minutes_for_balance_before_anything_else",
                    "test_balance_and_posture_never_fall",
                ),
                found(
                    "programs/draft/test_share.py",
                    "test_balance_that_comes_first_never_drops_out_before_lifting",
                ),
            ),
            told(
                "Too little balance, and what takes the room of what is left out, are said.",
                found(
                    "programs/draft/test_standings.py",
                    "test_too_little_balance_is_told_where_fall_risk_is_not_low",
                    "test_what_finds_no_room_says_what_takes_it",
                ),
            ),
            told(
                "Her paper tells nothing as barred that only found no room.",
                found(
                    "programs/papers/test_left_out.py",
                    "test_balance_and_posture_without_room_are_not_told_as_barred",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Whether she does it.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H33",
        what="The plate moves more than its panel says",
        cause="Its number is half of the travel, is unknown, or is not what the plate does.",
        harm="Twice the acceleration that was signed.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "A reading that is not known is taken as the larger motion; what was measured "
                "goes before what the panel says.",
                found(
                    "programs/dose/test_plate_fit.py",
                    "test_an_unknown_reading_is_taken_as_the_larger_motion",
                    "test_a_plate_that_starts_too_strong_is_refused_with_its_numbers",
                ),
                found(
                    "programs/dose/test_plate_properties.py",
                    "test_one_millimetre_zero_to_peak_is_two_peak_to_peak_everywhere",
                    "test_knowing_less_never_makes_a_plate_fitter",
                ),
                found(
                    "programs/plates/test_measured_motion.py",
                    "test_where_g_and_travel_disagree_the_larger_motion_counts",
                    "test_of_two_measurements_of_a_setting_the_stronger_counts",
                    "test_no_setting_is_taken_to_move_less_than_a_lower_one",
                    "test_a_setting_that_ran_faster_than_the_mean_is_held_by_its_peak",
                ),
                found(
                    "programs/draft/test_draft.py",
                    "test_a_measured_plate_is_dosed_as_it_moves_and_set_by_its_panel",
                ),
            ),
            guard(
                "What was measured anew is offered where the plate is judged, and what no plate "
                "does goes on nobody's list.",
                found(
                    "programs/actions/test_plates_on_a_list.py",
                    "test_what_was_measured_anew_is_offered_and_taken_over",
                    "test_what_nobody_could_believe_is_not_copied",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="A plate that nobody measured is believed.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H34",
        what="A load in kilograms is made from a set that was old, wrong or beyond its equation",
        cause="A set from before a fracture, too many repetitions, a newer and better set.",
        harm="A weight that she cannot hold.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "One equation decides, only within its range; percent, repetitions left and "
                "kilograms are one number told three ways.",
                found(
                    "programs/dose/test_one_rm.py",
                    "test_outside_its_range_the_deciding_one_refuses_and_says_why",
                    "test_equations_give_the_printed_figures",
                ),
                found(
                    "programs/dose/test_could_lift.py",
                    "test_percent_reserve_number_and_load_agree",
                ),
            ),
            design(
                "A newer set lets no load jump; a fracture since the set leaves none.",
                found("programs/review/test_restart.py", "test_a_newer_set_lets_no_load_jump"),
                found(
                    "programs/draft/test_later_half_years.py",
                    "test_a_fracture_since_the_set_leaves_no_load",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="A set that was written down wrongly but believably.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H35",
        what="She is alone where somebody should be beside her",
        cause="No helper is on record; the helper has gone; a cap was lifted.",
        harm="A fall off the plate or under a weight, and nobody there.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "The first session on each plate is watched until a watched one is logged; who "
                "is frail is watched at each.",
                found(
                    "programs/actions/test_reviewing.py",
                    "test_the_first_session_is_watched_until_one_is_logged",
                ),
                found(
                    "programs/review/test_restart.py",
                    "test_another_plate_starts_at_its_own_place_1_watched",
                    "test_it_is_watched_until_a_watched_session_on_it_is_logged",
                ),
                found("programs/dose/test_plate_fit.py", "test_a_fragile_person_is_watched"),
                found(
                    "safety/rules/test_what_bars_what.py",
                    "test_each_plate_session_is_watched",
                    "test_memory_impaired_needs_somebody_beside",
                ),
            ),
            design(
                "Lifts from the floor are drafted only under trained eyes, a barbell only there "
                "or for who is used to it; a plate without something to hold is not fit.",
                found("programs/draft/test_person.py", "test_what_is_barred_for_whom"),
                found(
                    "programs/draft/test_draft.py",
                    "test_lifting_from_the_floor_is_drafted_only_under_trained_eyes",
                ),
                found("programs/dose/test_plate_fit.py", "test_something_to_hold"),
            ),
            told(
                "Her paper says who is beside her in which week.",
                found(
                    "programs/views/test_plate_pages.py",
                    "test_who_is_beside_her_in_the_first_week",
                    "test_who_is_beside_her_in_each_week",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Whether the helper was shown how, and comes.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H39",
        what="A clinic sets a limit that is not safe",
        cause="A wrong number, or a habit of the house.",
        harm="Everybody of that clinic is dosed above the rulebook.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "A limit moves within a range and no further.",
                found(
                    "programs/dose/test_clinic_limits.py",
                    "test_what_a_limit_may_be_set_to",
                    "test_a_limit_that_may_not_be_loosened_says_so",
                ),
            ),
            guard(
                "One that allows more needs a reason, which stands by name on every plan it "
                "touches.",
                found(
                    "programs/actions/test_clinic.py",
                    "test_loosening_asks_for_a_reason_and_keeps_it",
                    "test_a_loosened_limit_stands_on_the_plan_with_name_and_reason",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=("Whoever may sign in may set the clinic's limits.",),
        left="The clinic answers for its own settings.",
        carried_by=Carrier.CLINIC,
    ),
)
