"""Hazards while she trains: a stop that does not stop, a fall unread, a step back that is none."""

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

OF_THE_FOLLOW_UP = (
    Hazard(
        code="H15",
        what="Pain, a fall or a warning sign in the log is not noticed",
        cause="The log is typed in and nobody reads it; the review is weeks away.",
        harm="She goes on with a fracture, or falls again.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            told(
                "It stands first on the caseload and on her pages until a review.",
                found(
                    "programs/views/test_open_steps.py",
                    "test_a_fall_is_spoken_about_until_a_review",
                ),
                found("programs/views/test_review.py", "test_falls_and_warning_signs_stand_first"),
                found(
                    "programs/views/test_caseload.py",
                    "test_many_entries_of_one_person_are_one_line",
                    "test_who_is_silent",
                ),
            ),
            design(
                "A fall in the log stops the paper, and all of it until she was asked about it; "
                "where nobody wrote falls down, plate, impact and balance hold.",
                found(
                    "programs/actions/test_program_state.py",
                    "test_a_fall_in_the_log_stops_the_paper_until_a_review",
                ),
                found(
                    "programs/review/test_proposing.py",
                    "test_a_fall_nobody_asked_about_stops_everything",
                    "test_falls_that_nobody_wrote_down",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(
            "What she writes at home is known when somebody types it in or takes her file.",
            "The log on paper has no line for a fall.",
        ),
        left="Ask her for falls and pain whenever she is seen or calls.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H50",
        what="A stop does not stop",
        cause="A program is stopped in the record and goes on at her home.",
        harm="She trains on after the fall that stopped it.",
        before=risk(Severity.CATASTROPHIC, Likelihood.MEDIUM),
        controls=(
            design(
                "A stop ends it at once: no paper, no calendar, also one in the making.",
                found(
                    "programs/actions/test_program_state.py",
                    "test_a_stop_ends_it_at_once_and_is_not_taken_back",
                    "test_a_stop_while_it_is_printed_wins",
                    "test_one_kind_stopped_keeps_all_of_the_text_back",
                ),
                found("programs/test_simulated_year.py", "test_nobody_is_hurt_by_the_loop"),
            ),
            told(
                "It is listed until somebody has told her, with a notice to hand out; every page "
                "of hers says so.",
                found(
                    "programs/views/test_caseload.py",
                    "test_a_stop_is_listed_until_she_knows_and_until_she_starts_again",
                ),
                found(
                    "programs/views/test_stop.py",
                    "test_every_page_of_hers_says_so",
                    "test_a_stop_leads_to_telling_her",
                    "test_the_notice_opens_and_is_kept",
                ),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.VERY_LOW),
        missing=(),
        left="The telephone call.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H51",
        what="A fall that is entered late belongs to no review",
        cause="It happened under the program before, or between two of them.",
        harm="“No fall is on record”: the dose goes on rising.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "A review reads by the day or by the entry, whichever is later, whichever "
                "version it was.",
                found(
                    "programs/actions/test_reviewing_lifts.py",
                    "test_a_fall_entered_late_counts_in_the_next_review",
                ),
                found(
                    "programs/review/test_logged_days.py",
                    "test_a_late_entry_of_a_day_makes_its_sessions_late",
                ),
                found(
                    "programs/review/test_events.py",
                    "test_a_fracture_recorded_since_is_new_whatever_its_date",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="A fall that is never told.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H52",
        what="After an illness or a break she starts above what she last did",
        cause="Steps are counted by the calendar and not by what was done.",
        harm="Twice the load after weeks in bed.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "Where she takes up is counted from what was done; nothing restarts above it.",
                found(
                    "programs/review/test_properties.py",
                    "test_nothing_restarts_above_what_was_last_done",
                ),
                found("programs/review/test_restart.py", "test_from_what_was_reached"),
                found(
                    "programs/review/test_grounds.py", "test_gap", "test_never_done_starts_again"
                ),
                found(
                    "programs/review/test_half_year.py",
                    "test_its_week_1_is_never_above_what_was_done",
                ),
                found("programs/test_simulated_year.py", "test_nobody_is_hurt_by_the_loop"),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="Between two reviews the paper goes on by the calendar, whatever she did.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H53",
        what="A review goes by the log and not by how she is today",
        cause="A new illness, pressure or fracture stands in the facts.",
        harm="“Go on” to somebody who is barred today.",
        before=risk(Severity.CATASTROPHIC, Likelihood.MEDIUM),
        controls=(
            design(
                "The more careful of log and today's screen is proposed; a program stays only "
                "where all of it is allowed today.",
                found(
                    "programs/actions/test_reviewing.py",
                    "test_it_does_not_stay_where_something_signed_is_not_included_today",
                    "test_a_fracture_in_the_facts_stops",
                ),
                found(
                    "programs/review/test_proposing.py",
                    "test_what_is_not_included_today_stops",
                    "test_only_where_all_advances_and_nothing_to_come_is_above_today",
                ),
                found("programs/review/test_above_today.py", "test_a_force_against_the_cap"),
            ),
        ),
        after=risk(Severity.CATASTROPHIC, Likelihood.VERY_LOW),
        missing=(),
        left="What was not asked at the review.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H54",
        what="What the log tells never reaches the facts",
        cause="Log and facts are two places.",
        harm="A faller is drafted as if she never fell.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "A logged fall counts at once in every draft; a logged sign or break leaves its "
                "section unanswered until it is asked again.",
                found(
                    "programs/review/test_facts_from_log.py",
                    "test_a_logged_fall_adds_at_once_and_is_drafted_as_high",
                    "test_a_sign_or_a_break_leaves_its_section_unanswered",
                ),
                found(
                    "programs/actions/test_reviewing_lifts.py",
                    "test_a_logged_fall_counts_in_every_draft_from_then_on",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="A note in free words is read by nobody but a reader.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H56",
        what="The log is misread",
        cause="A blank taken for done, pain of one kind for another's, a fall left unasked.",
        harm="The dose rises on what was never done, or on pain.",
        before=risk(Severity.MAJOR, Likelihood.HIGH),
        controls=(
            design(
                "A blank stays unknown; pain that is not said of a kind counts for each; falls "
                "are asked wherever days are filled.",
                found(
                    "programs/views/test_log.py",
                    "test_what_is_not_filled_in_stays_unknown",
                    "test_falls_are_asked_in_any_case",
                ),
                found(
                    "programs/review/test_log_grid.py",
                    "test_falls_are_asked_as_planned_too",
                    "test_nobody_asked_stays_unknown",
                ),
                found(
                    "programs/actions/test_reviewing_log_days.py",
                    "test_pain_left_open_counts_for_each_kind_done_that_day",
                ),
                found("programs/review/test_properties.py", "test_a_worse_log_never_gives_more"),
            ),
            guard(
                "A correction says why and leaves the old value readable.",
                found(
                    "programs/views/test_log.py",
                    "test_a_correction_asks_why_and_leaves_the_old_value",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=(
            "Paper and page are not the same form: the paper has one mark a day for all kinds.",
        ),
        left="What she wrote down, and whether it was so.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H57",
        what="A cap or a bar is lifted too early",
        cause="A review offers it after a few weeks, or after trouble.",
        harm="A frail woman on a plate above 1 g.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "One step a review, after full weeks under it without trouble; a fall takes it "
                "back, and watching stays.",
                found(
                    "programs/review/test_plate_cap.py",
                    "test_one_step_a_review_after_four_weeks_under_it",
                    "test_trouble_under_the_cap_speaks_against",
                    "test_a_fall_takes_back_what_was_lifted",
                    "test_a_faller_waits_twelve_weeks_and_stands_no_worse",
                ),
                found(
                    "programs/review/test_properties.py",
                    "test_only_a_log_without_trouble_may_lift",
                ),
                found(
                    "programs/actions/test_reviewing_lifts.py",
                    "test_lifting_needs_a_reason_a_draft_and_an_offer",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.VERY_LOW),
        missing=(),
        left="A log without trouble may be a log that was not filled in truly.",
        carried_by=Carrier.CLINICIAN,
    ),
    Hazard(
        code="H58",
        what="A program goes on and nobody reviews it",
        cause="She is not seen again; the clinic forgets her.",
        harm="The last and heaviest week goes on for years.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "A program has ended four weeks after its last week.",
                found(
                    "programs/review/test_proposing.py",
                    "test_four_weeks_after_its_last_week_it_has_ended",
                ),
                found("programs/actions/test_program_state.py", "test_it_ends_after_its_weeks"),
            ),
            told(
                "Reviews that are due, and who is silent, are listed; dates survive versions.",
                found(
                    "programs/views/test_caseload.py",
                    "test_reviews_that_are_due_the_longest_first",
                    "test_reviews_run_from_the_first_day_of_the_episode",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=("Nobody is reminded: the list is read when the page is opened.",),
        left="A clinic that does not open it.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H59",
        what="A change in a scan or a test is taken for real, or for the program's work",
        cause="It lies within the error of measurement, or came too soon.",
        harm="A treatment is changed or left on for a change that was none.",
        before=risk(Severity.CONSIDERABLE, Likelihood.HIGH),
        controls=(
            design(
                "A verdict only beyond the least significant change, on the same scanner and "
                "vertebrae, after enough months.",
                found(
                    "patients/scanners/test_precision.py",
                    "test_change_against_an_lsc",
                    "test_scans_that_cannot_be_compared_get_no_verdict",
                ),
                found("patients/measured/test_density_history.py", "test_too_soon_to_tell"),
                found(
                    "patients/views/test_files_and_laboratory.py",
                    "TestMeasures::test_a_small_early_gain_is_called_what_it_is",
                ),
            ),
        ),
        after=risk(Severity.CONSIDERABLE, Likelihood.LOW),
        missing=(),
        left="Without a precision study of its own a clinic reads by published ones.",
        carried_by=Carrier.CLINIC,
    ),
    Hazard(
        code="H71",
        what="What a patient writes by phone is read too late, or taken for what a colleague saw",
        cause="She tells of a fall or chest pain by phone and waits for an answer.",
        harm="She trains on after a warning sign; a fracture stays undiscovered.",
        before=risk(Severity.MAJOR, Likelihood.MEDIUM),
        controls=(
            design(
                "Her phone tells her at once, in the paper's words, to act and not to wait.",
                found(
                    "programs/views/test_her_phone_writing.py",
                    "test_what_does_not_wait_tells_her_what_to_do_now",
                ),
            ),
            design(
                "It stands apart until a colleague takes it: no rule and no review reads it.",
                found(
                    "programs/actions/test_phone_log.py",
                    "test_what_she_writes_is_hers_and_nothing_reads_it",
                ),
            ),
            told(
                "The caseload lists it at once as written by phone and not yet taken.",
                found(
                    "programs/views/test_phone.py",
                    "test_the_caseload_tells_at_once_what_does_not_wait",
                ),
            ),
        ),
        after=risk(Severity.MAJOR, Likelihood.LOW),
        missing=("Nobody is reminded: the caseload is read when it is opened.",),
        left="A clinic that does not open it, and a patient who waits all the same.",
        carried_by=Carrier.CLINIC,
    ),
)
