"""Hazards of what is known of her: the wrong number, the old one, the one nobody asked for."""

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

OF_WHAT_IS_KNOWN = (
    Hazard(
        code="H02",
        what="A unit or a decimal comma shifts a number",
        cause="Pounds for kilograms, inches for centimetres, a comma read as thousands.",
        harm="A load or a dose that is several times too heavy.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "A number is taken only where it can be read in one way; pounds and feet are "
                "turned once, at the field.",
                found(
                    "patients/facts/test_units.py",
                    "test_comma_and_three_figures_could_be_thousands",
                    "test_weight_in_no_known_unit_is_refused",
                    "test_every_plain_decimal_is_read_back",
                ),
                found(
                    "patients/forms/test_fields_and_tables.py",
                    "test_b01_a_decimal_comma_is_never_lost",
                    "test_b05_pounds_and_feet_become_kilograms_and_centimetres",
                ),
            ),
            guard(
                "What cannot be hers is refused on both sides of a believable range.",
                found(
                    "patients/forms/test_fields_and_tables.py",
                    "test_b03_a_weight_that_cannot_be_hers_is_refused",
                    "test_both_sides_of_every_believable_range",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(
            "A bone marker a thousand times too low or too high through its unit is taken and "
            "judged: one range serves every marker.",
        ),
        left="A wrong number inside the believable range is seen by nobody but the typist.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H03",
        what="A T-score loses its minus sign or its site",
        cause="It is copied from a report by hand or by a file.",
        harm="Osteoporosis reads as normal bone: heavier loads and jumps.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            guard(
                "A score that looks mistyped is asked about on saving, on Screen and Risk, and "
                "before a file is taken.",
                found(
                    "patients/measured/test_density.py",
                    "test_lost_minus_sign_is_asked_about",
                    "test_lost_minus_sign_shows_without_a_density",
                    "test_site_slip_is_asked_about",
                    "test_t_apart_from_its_density_is_asked_about",
                ),
                found(
                    "patients/views/test_people_and_facts.py",
                    "test_a_score_without_its_minus_sign_is_saved_and_asked_about",
                ),
                found(
                    "safety/views/test_risk.py", "test_a_score_that_looks_mistyped_is_asked_about"
                ),
                found(
                    "patients/views/test_files_and_laboratory.py",
                    "TestImport::test_a_score_that_looks_mistyped_is_asked_about_and_can_be_taken",
                ),
            ),
            design(
                "A minus pasted in any of its writings stays one.",
                found(
                    "patients/forms/test_fields_and_tables.py",
                    "test_b10_every_kind_of_minus_is_a_minus",
                ),
                found(
                    "patients/files/test_rows.py",
                    "TestRows::test_b10_a_pasted_minus_stays_a_minus",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="It asks and does not refuse: a wrong answer stands.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H04",
        what="An old scan, test, pressure or set drives the plan",
        cause="Nothing newer was measured.",
        harm="She is dosed as the person she was years ago.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "Old and good counts as never measured; old and bad still counts.",
                found(
                    "patients/measured/test_newest_tests.py",
                    "test_twelve_months",
                    "test_an_old_pressure_counts_where_it_is_abnormal",
                    "test_a_later_row_of_pressure_alone_wipes_no_other_test",
                ),
                found(
                    "patients/measured/test_density.py",
                    "test_old_scan_never_says_that_all_is_well",
                    "test_old_scan_is_read_where_it_is_low",
                ),
                found("safety/rules/test_pressure_and_flags.py", "test_an_old_pressure"),
            ),
            design(
                "A set to fatigue sets a load for half a year, four fifths of it to a year, "
                "and none after a fracture or an operation.",
                found(
                    "programs/draft/test_person.py",
                    "test_a_set_to_fatigue_counts_six_months_and_four_fifths_to_twelve",
                    "test_a_set_before_a_fracture_or_an_operation_does_not_count",
                ),
            ),
            told(
                "A review names the facts that are old.",
                found(
                    "programs/views/test_review.py", "test_facts_that_are_old_are_named_and_linked"
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(),
        left="She may have changed since the newest test: look at her.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H05",
        what="What nobody recorded is read as no, as nought or as normal",
        cause="A blank in a form, a question never asked, a test not done.",
        harm="A bar that would hold for her does not.",
        before=risk(Severity.CATASTROPHIC, Likelihood.HIGH),
        controls=(
            design(
                "Not recorded is a state of its own: each rule asks, and holds or doses with "
                "care until it is answered.",
                found(
                    "safety/rules/test_every_rule.py",
                    "test_not_recorded_is_asked_for_and_never_fine",
                ),
                found(
                    "safety/test_risk.py",
                    "test_what_is_not_recorded_meets_no_criterion_and_fails_none",
                    "test_unsteadiness_never_asked_is_asked_for_and_never_low",
                ),
                found(
                    "safety/rules/test_fractures.py",
                    "test_an_undated_fracture_is_neither_fresh_nor_mending",
                ),
                found("safety/test_properties.py", "test_a_worse_fact_never_loosens"),
            ),
            design(
                "A blank stays blank from the form to the database and back.",
                found(
                    "patients/forms/test_fields_and_tables.py",
                    "test_b09_a_blank_is_not_recorded_and_a_nought_is",
                ),
                found(
                    "patients/test_rows_to_facts.py",
                    "test_asked_and_none_differs_from_not_asked",
                ),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.VERY_LOW),
        missing=(),
        left="A wrong no is a no: one tick can answer a whole list of illnesses with it.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H06",
        what="Something that speaks against loading stands on no list",
        cause="The illness, medicine or device is rare, or is written into a note.",
        harm="No rule reads it; she loads what she must not.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(),
        after=risk(Severity.MAJOR, Likelihood.MEDIUM),
        missing=("There is no “other illness” that holds a program back until somebody decides.",),
        left="Only the conversation with her finds it.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H17",
        what="Her age is a year wrong",
        cause="A birthday on a leap day, or only the year of birth is known.",
        harm="A bar by age comes a year late.",
        before=risk(Severity.CONSIDERABLE, Likelihood.LOW),
        controls=(
            design(
                "One reckoning of age; of a year of birth its careful side is read.",
                found(
                    "patients/facts/test_ages.py",
                    "test_age_is_not_a_year_too_high_on_leap_day",
                    "test_leap_day_birthday_falls_on_the_first_of_march",
                    "test_age_rises_on_the_birthday",
                ),
                found(
                    "patients/facts/test_partial_dates.py",
                    "test_the_ages_that_a_year_of_birth_can_mean",
                    "test_a_told_date_is_read_on_its_careful_side",
                ),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.VERY_LOW),
        missing=(),
        left="A date of birth that was told wrongly.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H18",
        what="A day slips: a session, a fall or a measurement stands on the wrong date",
        cause="The clock changes, the machine is in another zone, it is just after midnight.",
        harm="A fall is counted outside of its review; a break is reckoned wrongly.",
        before=risk(Severity.CONSIDERABLE, Likelihood.MEDIUM),
        controls=(
            design(
                "Days are kept as the clinic's own days, moments as moments of one time for all.",
                found(
                    "patients/facts/test_days_and_numbers.py",
                    "test_a11_a_session_is_kept_in_the_hour_that_comes_twice",
                ),
                found(
                    "patients/models/test_patient.py",
                    "test_a05_a_date_of_birth_stays_in_every_zone",
                ),
                found(
                    "programs/views/test_log_day.py",
                    "test_today_just_after_midnight_is_accepted",
                ),
                found(
                    "programs/papers/test_sessions_calendar.py",
                    "test_no_session_slips_when_clocks_change",
                ),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.VERY_LOW),
        missing=("A machine whose clock was set back is not told of.",),
        left="The clock and the zone of the machine.",
        carried_by=Carrier.CLINIC,
    ),
)
