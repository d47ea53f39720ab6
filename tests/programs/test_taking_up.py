"""Where the next program takes up: steps of the signed ramp, and never above what was signed."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patients.facts import Facts
from programs.adherence import Planned
from programs.answer import write
from programs.course import FRAGILE_CAP, Resume
from programs.plan import draft
from programs.review import Next
from programs.taking_up import resume_of, within_signed
from programs.week import Week
from safety.findings import LOADED, Modality
from tests.people import steady
from tests.programs.logs import START

M = Modality
FALLS = {"last_12_months": 3, "injury": "no", "long_lie": "no", "blackout": "no"}


def signed(facts: Facts, resume: Resume | None = None) -> Planned:
    """Return a program signed as drafted, as it comes out of its snapshot."""
    document = json.loads(json.dumps(write(draft(facts, resume or Resume()))))
    return Planned(starts_on=START, weeks=document["weeks"], timetable=document["timetable"])


def drafted(facts: Facts) -> Callable[[Resume], tuple[Week, ...]]:
    return lambda resume: draft(facts, resume).weeks


STEADY = signed(steady())


def done(
    chosen: Next,
    modality: Modality = M.PLATE,
    full: int = 8,
    before: int = 0,
    planned: Planned = STEADY,
) -> int:
    resume = resume_of({modality: chosen}, planned, full, Resume(done_weeks={modality: before}))
    return resume.done(modality)


@pytest.mark.parametrize(
    ("chosen", "full", "expected"),
    [
        (Next.ADVANCE, 8, 8),
        (Next.HOLD, 8, 7),
        (Next.SIMPLIFY, 8, 7),
        (Next.START_AGAIN, 8, 0),
        (Next.STOP, 8, 0),
        (Next.ADVANCE, 0, 0),
        (Next.HOLD, 0, 0),
        (Next.HOLD, 1, 0),
    ],
)
def test_advance_goes_on_hold_repeats_start_again_forgets(
    chosen: Next, full: int, expected: int
) -> None:
    assert done(chosen, full=full) == expected


@pytest.mark.parametrize(
    ("modality", "full", "one", "two"),
    [
        # The plate's bouts rise in weeks 3, 5 and 7: steps begin in weeks 1, 3, 5, 7.
        (M.PLATE, 8, 4, 2),
        (M.PLATE, 7, 4, 2),
        (M.PLATE, 6, 2, 0),
        (M.PLATE, 3, 0, 0),
        (M.PLATE, 1, 0, 0),
        # Lifting: 1 x 15, 2 x 15, 3 x 15 from week 3, 55 % in 5, 60 % in 6, 70 % in 7.
        (M.RESISTANCE, 8, 5, 4),
        (M.RESISTANCE, 4, 1, 0),
        # Impact: ten more in weeks 2, 3, 5 and 6, a day more in week 7.
        (M.IMPACT, 8, 5, 4),
        # Balance: 75, 90, 105, then 120 on rung 2 from week 5.
        (M.BALANCE, 8, 2, 1),
        # Posture: 5 minutes a day, 6 in week 3, 7 in week 5, 8 in week 7.
        (M.POSTURE, 8, 4, 2),
    ],
)
def test_a_step_back_goes_to_the_first_week_of_the_step_before(
    modality: Modality, full: int, one: int, two: int
) -> None:
    assert done(Next.BACK_ONE, modality, full) == one
    assert done(Next.BACK_TWO, modality, full) == two


def test_what_earlier_programs_had_done_counts_on() -> None:
    before = Resume(done_weeks=dict.fromkeys(M, 8))
    second = signed(steady(), before)
    assert done(Next.ADVANCE, full=4, before=8, planned=second) == 12
    assert done(Next.HOLD, full=4, before=8, planned=second) == 11
    assert done(Next.HOLD, full=0, before=8, planned=second) == 8
    assert done(Next.START_AGAIN, full=4, before=8, planned=second) == 0


def test_a_step_that_lies_before_this_program_is_two_weeks() -> None:
    second = signed(steady(), Resume(done_weeks=dict.fromkeys(M, 8)))
    assert done(Next.BACK_ONE, full=1, before=8, planned=second) == 6
    assert done(Next.BACK_TWO, full=1, before=8, planned=second) == 4
    assert done(Next.BACK_TWO, full=1, before=3, planned=second) == 0
    assert done(Next.BACK_TWO, full=4, before=8, planned=second) == 6


def test_weeks_without_the_modality_are_a_step_of_their_own() -> None:
    weeks = [{**week, "plate": None} if week["week"] < 5 else week for week in STEADY.weeks]
    late = Planned(starts_on=START, weeks=weeks, timetable=STEADY.timetable)
    assert done(Next.BACK_ONE, full=6, planned=late) == 0


def test_a_modality_that_is_not_decided_starts_at_its_start() -> None:
    resume = resume_of({M.PLATE: Next.ADVANCE}, STEADY, 8, Resume(), lifted=["a", "b"])
    assert resume == Resume(done_weeks={M.PLATE: 8}, lifted=frozenset({"a", "b"}))


# --- Never above what was signed ----------------------------------------------------------


def bounded(facts: Facts, planned: Planned, before: Resume | None = None, **changes: Any) -> Resume:
    chosen = dict.fromkeys(LOADED, Next.ADVANCE)
    full = changes.pop("full", 8)
    resume = resume_of(chosen, planned, full, before or Resume(), **changes)
    return within_signed(drafted(facts), resume, planned, before or Resume())


def changed(modality: str, **dose: Any) -> Planned:
    """Return the steady program, a modality changed before it was signed in every week."""
    weeks = [{**week, modality: {**week[modality], **dose}} for week in STEADY.weeks]
    return Planned(starts_on=START, weeks=weeks, timetable=STEADY.timetable)


def test_a_program_signed_as_drafted_goes_on_as_decided() -> None:
    assert bounded(steady(), STEADY).done_weeks == dict.fromkeys(LOADED, 8)


def test_a_lower_dose_signed_holds_the_ramp_back() -> None:
    resume = bounded(steady(), changed("plate", bouts=4, bout_s=45, vibration_min=3.0))
    assert resume.done(M.PLATE) == 3
    assert resume.done(M.IMPACT) == 8
    resume = bounded(steady(), changed("resistance", sets=2, reps=15, percent_1rm=50))
    assert resume.done(M.RESISTANCE) == 1
    resume = bounded(steady(), changed("impact", peak_bw=2.0, impacts=30))
    assert resume.done(M.IMPACT) == 3


def test_a_dose_that_no_week_keeps_to_starts_at_the_start() -> None:
    assert bounded(steady(), changed("plate", frequency_hz=20)).done(M.PLATE) == 0


def test_a_lifted_cap_lets_nothing_jump() -> None:
    faller = steady(falls=FALLS, resources={"supervised": "yes"})
    planned = signed(faller)
    resume = bounded(faller, planned, full=20, lifted=[FRAGILE_CAP, "falls.high.impact"])
    (first, *_) = draft(faller, resume).weeks
    assert first.plate is not None
    assert resume.done(M.PLATE) == 0
    assert first.plate.vibration_min == 2.0


def test_a_modality_new_to_her_starts_at_its_start() -> None:
    weeks = [{**week, "plate": None} for week in STEADY.weeks]
    planned = Planned(starts_on=START, weeks=weeks, timetable=STEADY.timetable)
    assert bounded(steady(), planned).done(M.PLATE) == 0


def test_where_nothing_may_be_issued_nothing_can_jump() -> None:
    red_flag = steady(symptoms={"new_back_pain": "yes"})
    assert bounded(red_flag, STEADY).done(M.PLATE) == 8


@pytest.mark.slow
@settings(max_examples=40)
@given(
    st.dictionaries(st.sampled_from(LOADED), st.sampled_from(Next)),
    st.integers(0, 26),
    st.dictionaries(st.sampled_from(LOADED), st.integers(0, 30)),
)
def test_the_next_program_never_starts_above_the_last_signed_week(
    decided: dict[Modality, Next], full: int, done_before: dict[Modality, int]
) -> None:
    facts = steady()
    before = Resume(done_weeks=done_before)
    planned = signed(facts, before)
    resume = resume_of(decided, planned, full, before)
    resume = within_signed(drafted(facts), resume, planned, before)
    (first, *_) = draft(facts, resume).weeks
    week = planned.weeks[min(full, 25)]
    assert first.plate is not None
    assert first.plate.peak_g <= week["plate"]["peak_g"]
    assert first.resistance is not None
    assert first.resistance.percent_1rm <= week["resistance"]["percent_1rm"]
    assert first.impact is not None
    assert first.impact.peak_bw <= week["impact"]["peak_bw"]
