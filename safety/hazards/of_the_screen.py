"""Hazards of the screen: a bar that is missed, lifted wrongly, hidden or out of date."""

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

OF_THE_SCREEN = (
    Hazard(
        code="H25",
        what="Loading goes through though an illness, a device or a pregnancy bars it",
        cause="A plate under a pacemaker, lifting with an aneurysm, jumps after eye surgery.",
        harm="A stimulator fails, a vessel tears, a clot moves.",
        before=risk(Severity.CATASTROPHIC, Likelihood.MEDIUM),
        controls=(
            design(
                "One table says what bars what; each of its cells, answered and not, is tried.",
                found(
                    "safety/rules/test_what_bars_what.py",
                    "test_the_table_names_every_condition",
                    "test_cell",
                    "test_cell_not_answered",
                    "test_pregnancy",
                ),
                found("vignettes/test_vignettes.py", "test_case"),
            ),
            design(
                "What is barred is in no week of a draft and on no plate of hers.",
                found("safety/test_properties.py", "test_everyone_is_drafted_within_the_limits"),
                found("programs/plates/test_fit_for_person.py", "test_the_screen_bars_every_use"),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.VERY_LOW),
        missing=(),
        left="An illness that she does not know of, or does not tell.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H26",
        what="A clearance is stale, reaches too far, or came from somebody who could not give it",
        cause="It ended while the program went on; it was for another illness; not an eye doctor.",
        harm="She loads under an illness that nobody looks after any more.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "A clearance lifts its own subject only, from its first to its last day; what it "
                "lifts is dosed with care unless it says that no limit is needed.",
                found(
                    "safety/rules/test_clearances.py",
                    "test_when_a_clearance_lifts",
                    "test_the_clearance_of_another_condition_lifts_nothing",
                    "test_only_an_eye_doctor_clears_the_retina",
                    "test_cleared_is_dosed_as_a_precaution_unless_no_limit_is_needed",
                    "test_whatever_is_cleared_what_is_contraindicated_stays_so",
                ),
            ),
            design(
                "The draft, the paper and the calendar end with its last day.",
                found(
                    "programs/draft/test_fit_into_days.py",
                    "test_a_clearance_that_ends_cuts_its_week_and_leaves_the_later_ones",
                ),
                found(
                    "programs/papers/test_only_until.py",
                    "test_no_day_on_paper_lies_after_the_last",
                    "test_the_calendar_ends_with_what_is_left",
                ),
                found("programs/papers/test_first_words.py", "test_each_paper_says_until_when"),
            ),
            told(
                "A review comes two weeks before, and the caseload lists it.",
                found(
                    "programs/draft/test_reviews.py",
                    "test_a_review_comes_two_weeks_before_a_clearance_ends",
                ),
                found("programs/views/test_caseload.py", "test_a_clearance_that_ends"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Who gave it is typed in; nobody asks that doctor back.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H29",
        what="A bone that is broken and not healed is loaded",
        cause="The fracture is fresh, undated, or healing was not asked about.",
        harm="The fracture moves, or does not heal.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "Under four weeks nothing is drafted; afterwards it goes by bone, day and healing, "
                "and what is not known is asked for.",
                found(
                    "safety/rules/test_fractures.py",
                    "test_under_four_weeks_nothing_is_drafted",
                    "test_no_leave_lifts_a_fracture_under_four_weeks",
                    "test_healing_not_recorded",
                    "test_a_mending_bone_by_its_site",
                ),
                found(
                    "programs/draft/test_draft.py",
                    "test_nothing_is_left_in_the_weeks_while_a_fracture_is_fresh",
                ),
            ),
            guard(
                "A fracture entered after signing holds the paper back.",
                found(
                    "programs/actions/test_program_state.py",
                    "test_a_fracture_entered_later_stops_the_paper",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="A vertebra that broke without a sign and was never imaged.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H30",
        what="A warning sign is missed, or is known and the program goes on",
        cause="Nobody asked; it was entered after the signature.",
        harm="A heart attack, a cauda equina or a fresh fracture is trained through.",
        before=risk(Severity.CATASTROPHIC, Likelihood.MEDIUM),
        controls=(
            design(
                "Any sign, and signs not asked about, stop all of it: nothing is signed.",
                found(
                    "safety/rules/test_pressure_and_flags.py",
                    "test_red_flag",
                    "test_none_asked_blocks_with_each",
                    "test_how_soon",
                ),
                found(
                    "programs/actions/test_signing.py",
                    "test_nothing_is_issued_while_a_red_flag_stands",
                ),
            ),
            design(
                "A sign or a new bar recorded after signing keeps the paper back.",
                found(
                    "programs/actions/test_program_state.py",
                    "test_a_warning_sign_recorded_today_stops_the_paper",
                    "test_what_bars_a_signed_kind_stops_the_paper",
                ),
                found("programs/views/test_stop.py", "test_today_is_told_on_every_page"),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.VERY_LOW),
        missing=(),
        left="The paper in her hand stays there: whoever enters the sign calls her.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H07",
        what="A bar or a caution is there and is not seen",
        cause="It is told by colour, stands below the fold, or among too many others.",
        harm="The clinician signs what she would not have signed.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            told(
                "What stops stands first, in a word and a sign; the page to sign has all cautions "
                "above the signature.",
                found(
                    "safety/views/test_screen.py",
                    "test_a_red_flag_is_one_stop_at_the_top",
                    "test_most_serious_first_and_the_reason_why",
                ),
                found(
                    "programs/views/test_sign.py",
                    "test_all_cautions_and_changes_stand_above_the_signature",
                ),
                found(
                    "config/test_colours.py",
                    "test_each_level_has_a_sign_and_a_tone",
                    "test_text_is_readable",
                ),
                found("browser/test_safety_look.py", "test_screen_fits_and_passes_axe"),
            ),
            design(
                "Every finding is shown once and none is lost.",
                found(
                    "safety/test_by_cause.py",
                    "test_no_finding_is_lost_and_none_is_told_twice",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=("How many cautions a reader can take in a consult was not tried with people.",),
        left="Reading it.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H36",
        what="A medicine is not thought of",
        cause="Two that make drowsy, a blood thinner, denosumab that ran out, a steroid.",
        harm="A fall, a bleed into the head after a knock, a run of broken vertebrae.",
        before=risk(Severity.CATASTROPHIC, Likelihood.MEDIUM),
        controls=(
            design(
                "Kind and dates of the medicines are asked and read by rules.",
                found("safety/test_risk.py", "test_fall_risk_by_medicines"),
                found(
                    "safety/rules/test_fractures.py",
                    "test_denosumab_that_wears_off",
                    "test_glucocorticoid_not_recorded_is_dosed_as_if_taken",
                ),
            ),
            told(
                "Each paper of hers says what a knock on the head means; the caseload lists "
                "a dose of denosumab that is due.",
                found(
                    "programs/papers/test_first_words.py",
                    "test_each_paper_tells_who_may_take_a_blood_thinner_of_knocks",
                ),
                found("programs/views/test_caseload.py", "test_a_dose_that_is_due"),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.VERY_LOW),
        missing=(),
        left="It reviews no medicines: it names who should.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H14",
        what="A rule has become out of date",
        cause="A guideline or a trial is newer than the rulebook.",
        harm="She is barred from what would help, or let into what would harm.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "No rule is declared without its source, whether that was read, and the day by "
                "which it is to be reviewed.",
                found(
                    "safety/rules/test_every_rule.py",
                    "test_is_declared_with_all_that_a_reader_needs",
                ),
            ),
            told(
                "A rule past that day is marked on the rulebook page.",
                found("safety/test_screen_page.py", "test_overdue_the_day_after"),
                found("safety/views/test_screen.py", "test_overdue_rules_are_marked"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="Nobody but a reader of the journals knows that a source was overtaken.",
        carried_by=Carrier.MAKERS,
    ),
    Hazard(
        code="H38",
        what="The rulebook changes and a program signed before it goes on as it was",
        cause="An update; the paper is at her home.",
        harm="She trains to what is barred or lower today.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "Nothing that tells more than is allowed today is printed or handed out again.",
                found(
                    "programs/actions/test_rulebook_check.py",
                    "test_no_paper_of_it_is_made",
                    "test_a_paper_kept_before_is_not_handed_out_again",
                ),
                found(
                    "programs/actions/test_rescreening.py",
                    "test_j04_who_is_now_barred_is_listed_and_her_paper_stops",
                ),
            ),
            told(
                "The caseload and every page of hers name what differs; whoever is rescreened "
                "and comes out otherwise is listed until somebody looked.",
                found(
                    "programs/views/test_signed_under_older_rulebook.py",
                    "test_the_caseload_lists_it_with_the_words_that_differ",
                    "test_every_page_of_hers_says_so",
                ),
                found(
                    "programs/views/test_changed_on_caseload.py",
                    "test_it_says_what_changed_and_leads_to_the_review",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="The paper at her home is taken back by a telephone call alone.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H37",
        what="Somebody whom the rules were not made for is drafted for",
        cause="A child, a man, somebody who sits or lies, with an artificial leg, or starving.",
        harm="Growing bone, or a body without energy, is loaded like an adult's.",
        before=risk(Severity.MAJOR, Likelihood.LOW),
        controls=(
            design(
                "Under 18 nothing is drafted; low energy, an artificial limb and a recent birth "
                "have lines of their own; who does not stand has a seated program.",
                found("vignettes/test_vignettes.py", "test_case"),
                found(
                    "safety/rules/test_what_bars_what.py",
                    "test_low_weight_is_referred_and_does_not_jump",
                    "test_who_is_asked_about_a_birth",
                ),
                found("safety/rules/test_standing.py", "test_training_posture"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="Few trials held men, the very old or the very frail; the rules say where.",
        carried_by=Carrier.CLINICIAN,
    ),
)
