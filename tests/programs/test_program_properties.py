"""What holds for the program of everyone: two thousand people at random."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patients.exchange import read
from patients.facts import Facts, Resources
from programs import course as courses
from programs.course import ASSUMED_DAYS, ASSUMED_MINUTES, Resume
from programs.dose import resistance
from programs.dose.limit import is_deload
from programs.dose.plate_limits import FRAGILE_G, STEP_HZ, TOP_G, TOP_HZ, TOP_MM
from programs.exercises import EXERCISES
from programs.plan import Draft, draft
from programs.timetable import gap_days
from programs.week import PlateWeek, Week
from safety.findings import Limits, Modality
from safety.screen import Status
from tests.documents import Document, documents

PEOPLE = 2000
everyone = settings(max_examples=PEOPLE, suppress_health_check=[HealthCheck.too_slow])
pytestmark = pytest.mark.slow


def known(document: Document) -> tuple[Facts, Resources]:
    facts = read(document)
    assert isinstance(facts, Facts), facts
    return facts, facts.resources or Resources()


@everyone
@given(documents)
def test_no_program_breaks_what_holds_for_all(document: Document) -> None:
    """One draft a person, and all that must hold of it."""
    facts, resources = known(document)
    made = draft(facts)
    _only_what_is_included(made)
    _no_day_is_overfull(made, resources)
    _two_lifting_sessions_where_two_fit(made, resources)
    _ceilings_are_kept(made)
    _nothing_barred_is_chosen(made)
    _everything_can_be_done_with_what_there_is(made, resources)
    _one_thing_a_step(made)


def _days(resources: Resources) -> tuple[str, ...]:
    return ASSUMED_DAYS if resources.days is None else resources.days


def _only_what_is_included(made: Draft) -> None:
    included = {m for m, one in made.standings.items() if one.status is Status.INCLUDED}
    for week in made.weeks:
        held = {m for m in Modality if getattr(week, m) is not None}
        assert held <= included
    if made.screen.blocked:
        assert made.weeks == ()
        assert not made.issuable


def _no_day_is_overfull(made: Draft, resources: Resources) -> None:
    minutes = resources.minutes_per_day or ASSUMED_MINUTES
    for week, fit in zip(made.weeks, made.fitted, strict=True):
        assert set(fit.minutes_on) <= set(_days(resources))
        assert all(used <= minutes + 1e-6 for used in fit.minutes_on.values())
        assert week.minutes == pytest.approx(sum(fit.minutes_on.values()), abs=0.05)
        for modality, on in fit.days.items():
            part = getattr(week, modality)
            assert part is None or part.sessions == len(on)
    assert set(made.timetable) <= set(_days(resources))


def _two_lifting_sessions_where_two_fit(made: Draft, resources: Resources) -> None:
    """Lifting goes to two sessions wherever two days apart hold the shortest session."""
    lifting = made.standings[Modality.RESISTANCE].status is Status.INCLUDED
    days = _days(resources)
    apart = any(gap_days(a, b) >= 2 for a, b in combinations(days, 2))
    minutes = resources.minutes_per_day or ASSUMED_MINUTES
    for week in made.weeks if lifting and apart else ():
        if minutes >= _shortest(made, week):
            assert week.resistance is not None
            assert week.resistance.sessions == 2
        if week.resistance:
            assert week.resistance.sessions <= 2


def _most_reps(group: str) -> int:
    return max(step.reps for step in resistance.ramp(group, supervised=False, limits=Limits()))


def _shortest(made: Draft, week: Week) -> float:
    reps = week.resistance.reps if week.resistance else _most_reps(made.group)
    return resistance.session_min(exercises=resistance.FEWEST_EXERCISES, sets=1, reps=reps)


def _ceilings_are_kept(made: Draft) -> None:
    lifting = made.screen.limits(Modality.RESISTANCE)
    facts = made.screen.situation.facts
    supervised = bool(facts.resources and facts.resources.supervised)
    top = resistance.top_percent(made.group, supervised=supervised).value
    cap = courses.impact_cap_bw(made.screen, made.group)
    for week in made.weeks:
        if week.resistance:
            assert week.resistance.percent_1rm <= min(top, lifting.percent_1rm or 100)
            assert week.resistance.reps_in_reserve >= max(2, lifting.reps_in_reserve or 0)
            assert week.resistance.sets <= 3
        if week.impact:
            assert week.impact.peak_bw <= cap
            assert (week.impact.impacts or 0) <= 50
            assert (week.impact.minutes or 0) <= 20
            assert week.impact.sessions <= 4
        if week.balance:
            assert week.balance.minutes <= 180
        if week.posture:
            assert week.posture.minutes <= 10 * week.posture.sessions
        if week.plate:
            _plate_ceilings(made, week.plate)


def _plate_ceilings(made: Draft, week: PlateWeek) -> None:
    most = FRAGILE_G.value if made.screen.situation.fragile else TOP_G.value
    assert week.peak_g <= most + 0.005
    assert made.plate_fit is not None
    if made.plate_fit.plate.motion == "vertical":
        assert 20 <= week.frequency_hz <= TOP_HZ.value
        assert week.displacement_mm is not None
        assert week.displacement_mm <= TOP_MM.value + 1e-9
        assert week.sessions <= 3
    if week.bouts is not None:
        assert week.vibration_min <= 15


def _nothing_barred_is_chosen(made: Draft) -> None:
    """What is barred is read off the findings themselves, as rows 5 and 20 of the rulebook say."""
    asked = [(f.limits, f.modalities) for f in made.findings]
    spine = any(
        (limits.spare_spine or limits.group_c) and Modality.RESISTANCE in about
        for limits, about in asked
    )
    no_jumps = any(limits.impact_bw is not None and limits.impact_bw <= 2 for limits, _ in asked)
    barred = {"flexion", "twist", "floor_lift"} if spine else set()
    barred |= {"jump"} if no_jumps else set()
    for week in made.weeks:
        if week.resistance:
            for one in week.resistance.exercises:
                assert not EXERCISES[one.exercise].bars & barred
        if week.posture and made.screen.limits(Modality.POSTURE).spare_spine:
            assert all(EXERCISES[code].fragile_spine for code in week.posture.exercises)
        if week.impact and "jump" in barred:
            assert not any("jump" in EXERCISES[code].bars for code in week.impact.exercises)


def _everything_can_be_done_with_what_there_is(made: Draft, resources: Resources) -> None:
    equipment = frozenset(resources.equipment or ())
    for week in made.weeks:
        lifts = [one.exercise for one in week.resistance.exercises] if week.resistance else []
        others = [
            code
            for part in (week.impact, week.balance, week.posture)
            if part
            for code in part.exercises
        ]
        for code in (*lifts, *others):
            assert EXERCISES[code].equipment <= equipment, code
        if week.plate:
            assert week.plate.plate in {plate.name for plate in resources.plates or ()}


def _one_thing_a_step(made: Draft) -> None:
    """One variable rises on the plate at a time, never in a deload week, by half at most."""
    for before, after in pairwise(made.weeks):
        if before.plate and after.plate:
            _plate_step(before.plate, after.plate, after.week)
        if before.impact and after.impact:
            risen = [
                (after.impact.impacts or 0) > (before.impact.impacts or 0),
                after.impact.peak_bw > before.impact.peak_bw,
            ]
            assert sum(risen) <= 1
            assert not (any(risen) and is_deload(after.week))


def _plate_step(before: PlateWeek, after: PlateWeek, week: int) -> None:
    pairs = (
        (before.frequency_hz, after.frequency_hz),
        (before.displacement_mm or 0, after.displacement_mm or 0),
        (before.bouts or 0, after.bouts or 0),
        (before.bout_s or 0, after.bout_s or 0),
    )
    risen = sum(now > was for was, now in pairs)
    assert risen <= 1
    assert not (risen and is_deload(week))
    assert after.peak_g <= before.peak_g * 1.5 + 0.01
    assert after.frequency_hz - before.frequency_hz <= STEP_HZ.value + 1e-9


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(
    document=documents, done=st.dictionaries(st.sampled_from(list(Modality)), st.integers(0, 60))
)
def test_a_revision_from_anywhere_keeps_the_same(
    document: Document, done: dict[Modality, int]
) -> None:
    facts, resources = known(document)
    made = draft(facts, Resume(done_weeks=done))
    _only_what_is_included(made)
    _two_lifting_sessions_where_two_fit(made, resources)
    _ceilings_are_kept(made)
    _nothing_barred_is_chosen(made)
    _everything_can_be_done_with_what_there_is(made, resources)
