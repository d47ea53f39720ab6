"""Ramps that wait for room: the more valuable is never held back by the less valuable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patients.exchange import read
from patients.facts import Facts
from programs.basis import Basis
from programs.changed_facts import with_lowest_t, with_resources
from programs.course import FROM_THE_START, Course
from programs.dose.limit import DRAFT_WEEKS, is_deload
from programs.dose.posture import MOST_MIN_A_DAY
from programs.fitting import WAITS, fit_weeks
from programs.plan import Draft, draft
from programs.timetable import WEEK, Fitted
from programs.value import ORDER
from safety.findings import Modality
from tests.documents import Document, documents
from tests.people import steady

ABSENT = -1


@dataclass(frozen=True, kw_only=True)
class Laid:
    made: Draft
    course: Course
    rank: Mapping[Modality, int]
    weeks: tuple[Fitted, ...]


def laid(facts: Facts) -> Laid:
    made = draft(facts)
    course = Basis(made=made, resume=FROM_THE_START).course
    rank = {m: one.rank for m, one in made.standings.items()}
    return Laid(made=made, course=course, rank=rank, weeks=made.fitted)


def end(of: Laid, modality: Modality) -> int:
    """How far the ramp has come in the last week; below every step where it is not there."""
    last = of.weeks[-1]
    return DRAFT_WEEKS - last.waited[modality] if modality in last.days else ABSENT


def stepping(of: Laid) -> list[Modality]:
    """Plate and impact where they are drafted, the more valuable first."""
    there = [m for m in WAITS if of.course.steps(m)]
    return sorted(there, key=lambda m: of.rank[m])


def goes_before(less: Laid, more: Laid, modality: Modality) -> bool:
    """Whether the rulebook itself puts something before the ramp that the minutes now hold.

    Row 24: the lowest ranks drop out before the sets of lifting go down, and what is of more
    value drops out later; so a set more of lifting, or something of more value that had no
    room before, may take the room of the ramp. No order of the steps can avoid that.
    """
    above = [m for m in Modality if more.rank[m] < more.rank[modality]]
    for was, now in zip(less.weeks, more.weeks, strict=True):
        if any(m in now.days and m not in was.days for m in above):
            return True
    return any(_sets(b) > _sets(a) for a, b in zip(less.made.weeks, more.made.weeks, strict=True))


def _sets(week: object) -> int:
    lifting = getattr(week, "resistance")  # noqa: B009
    return lifting.sessions * lifting.sets if lifting else 0


def never_lower(facts: Facts, minutes: int, extra: int) -> None:
    less, more = (
        laid(with_resources(facts, minutes_per_day=m)) for m in (minutes, minutes + extra)
    )
    for modality in stepping(more)[:1] if more.weeks else ():
        if end(more, modality) < end(less, modality):
            assert goes_before(less, more, modality)


def as_if_alone(facts: Facts) -> None:
    """The more valuable ramp is laid as if the other were not there."""
    both = laid(facts)
    ramps = stepping(both) if both.weeks else []
    if len(ramps) < 2:
        return
    first, second = ramps
    steps = "plate_steps" if second is Modality.PLATE else "impact_steps"
    alone = fit_weeks(replace(both.course, **{steps: None}), both.rank)
    for week, other in zip(both.weeks, alone, strict=True):
        assert week.days.get(first) == other.days.get(first)
        assert week.waited.get(first) == other.waited.get(first)


people = st.builds(
    lambda t, days, aims: replace(
        with_resources(with_lowest_t(steady(), t), days=days), aims=tuple(aims)
    ),
    t=st.sampled_from([-1.9, -2.7, -3.2]),
    days=st.sets(st.sampled_from(WEEK), min_size=1, max_size=5).map(
        lambda found: tuple(sorted(found, key=WEEK.index))
    ),
    aims=st.lists(st.sampled_from(sorted(ORDER)), min_size=1, max_size=2, unique=True),
)


@settings(max_examples=25, deadline=None)
@given(facts=people, minutes=st.integers(8, 60), extra=st.integers(1, 20))
def test_more_minutes_never_lower_the_end_of_the_more_valuable_ramp(
    facts: Facts, minutes: int, extra: int
) -> None:
    never_lower(facts, minutes, extra)


@settings(max_examples=25, deadline=None)
@given(facts=people, minutes=st.integers(8, 60))
def test_the_less_valuable_ramp_never_holds_the_other_back(facts: Facts, minutes: int) -> None:
    as_if_alone(with_resources(facts, minutes_per_day=minutes))


def posture_stays(facts: Facts) -> None:
    """What posture gave up on every day stays given up; nothing else is less for it."""
    of = laid(facts)
    most = MOST_MIN_A_DAY
    for number, week in enumerate(of.weeks, 1):
        if len(week.days.get(Modality.POSTURE, ())) < len(of.course.days):
            continue
        assert week.posture_min <= most
        most = min(most, week.posture_min) if _gave_way(of, number) else most


def _gave_way(of: Laid, number: int) -> bool:
    return of.weeks[number - 1].posture_min < of.course.posture_min_a_day(number)


@settings(max_examples=25, deadline=None)
@given(facts=people, minutes=st.integers(8, 60))
def test_posture_that_gave_minutes_up_takes_none_back(facts: Facts, minutes: int) -> None:
    posture_stays(with_resources(facts, minutes_per_day=minutes))


def test_posture_keeps_to_every_day_with_a_minute_less() -> None:
    """Six days of 50 minutes, full from week 11 on: 8 minutes each day, not 10 on two or six."""
    days = WEEK[:6]
    of = laid(replace(with_resources(steady(), days=days, minutes_per_day=50), aims=("hip",)))
    assert [week.posture_min for week in of.weeks[8:11]] == [9, 9, 8]
    assert {week.posture_min for week in of.weeks[10:]} == {8}
    assert {week.days[Modality.POSTURE] for week in of.weeks} == {days}
    assert {week.balance_min for week in of.weeks[2:]} == {120}
    assert {week.posture.minutes for week in of.made.weeks[10:] if week.posture} == {48}


@pytest.mark.slow
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(document=documents, minutes=st.integers(5, 90), extra=st.integers(1, 30))
def test_both_hold_for_everyone(document: Document, minutes: int, extra: int) -> None:
    facts = read(document)
    assert isinstance(facts, Facts)
    never_lower(facts, minutes, extra)
    as_if_alone(with_resources(facts, minutes_per_day=minutes))
    posture_stays(with_resources(facts, minutes_per_day=minutes))


@pytest.mark.slow
@pytest.mark.parametrize("aim", sorted(ORDER))
@pytest.mark.parametrize("t", [-1.9, -2.7])
@pytest.mark.parametrize("days", [("mon",), ("tue", "fri"), ("mon", "wed", "fri", "sat")])
def test_minute_by_minute(aim: str, t: float, days: tuple[str, ...]) -> None:
    """Every minute from 8 to 60 against the one before."""
    facts = replace(with_resources(with_lowest_t(steady(), t), days=days), aims=(aim,))
    for less, more in pairwise(
        laid(with_resources(facts, minutes_per_day=minutes)) for minutes in range(8, 61)
    ):
        modality = stepping(more)[0]
        if end(more, modality) < end(less, modality):
            assert goes_before(less, more, modality)


def one_day(minutes: int) -> Draft:
    hip = replace(steady(), aims=("hip",))
    return draft(with_resources(hip, days=("mon",), minutes_per_day=minutes))


def test_one_day_of_ten_more_minutes_ends_impact_as_high() -> None:
    """On one day a week 30 minutes bring impact no lower than 20: for the hip it comes first."""
    ends = [one_day(minutes).weeks[-1].impact for minutes in (20, 30)]
    assert ends[0] is not None
    assert ends[1] is not None
    strength = [(one.peak_bw, one.impacts or 0) for one in ends]
    assert strength[1] >= strength[0]
    assert strength[0][1] == 50


def test_a_plate_without_room_beside_the_whole_of_impact_gives_way_and_is_named() -> None:
    """It is there while its first dose fits beside the whole of impact, and then out for good."""
    made = one_day(24)
    there = [week.plate is not None for week in made.weeks]
    assert there == sorted(there, reverse=True)
    assert 0 < sum(there) < DRAFT_WEEKS
    out = {one.about: one for one in made.left_out}
    assert out[Modality.PLATE].from_week == sum(there) + 1


def test_a_rise_that_waited_never_comes_in_a_deload_week() -> None:
    found = laid(
        with_resources(replace(steady(), aims=("hip",)), days=("mon",), minutes_per_day=31)
    )
    waited = [week.waited.get(Modality.PLATE, 0) for week in found.weeks]
    assert waited[-1] > 0
    steps = found.course.steps(Modality.PLATE)
    taken = [steps[number - behind - 1] for number, behind in enumerate(waited, 1)]
    for week, (before, now) in enumerate(pairwise(taken), 2):
        assert not is_deload(week) or now.session_min == before.session_min
    assert any(now.session_min > before.session_min for before, now in pairwise(taken))
