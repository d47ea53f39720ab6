"""Copies of the facts with one thing changed, for what-if questions. Nothing is saved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations
from typing import Any

from patients.facts import codes
from patients.facts.ages import add_months
from patients.facts.declared import (
    Condition,
    Facts,
    Falls,
    Fracture,
    OtherClearance,
    Resources,
    Scan,
    Tests,
)
from patients.facts.declared_plate import Plate
from programs.draft.days import gap_days
from programs.draft.ramps import ASSUMED_DAYS, ASSUMED_MINUTES
from programs.week.week import WEEK

MOST_MINUTES = 240
NO_LIMIT = "none"
#: Where T changes what is drafted, lowest first: rulebook rows 1, 2 and 7.
T_LIMITS = (-3.5, -3.0, -2.5, -1.1)


def with_resources(facts: Facts, **changes: object) -> Facts:
    """Return the facts with other days, minutes, helpers, equipment or plates."""
    held = facts.resources or Resources()
    return replace(facts, resources=replace(held, **changes))  # type: ignore[arg-type]


def with_condition(facts: Facts, code: str, answer: Condition) -> Facts:
    """Return the facts with another answer about one condition."""
    return replace(facts, conditions={**(facts.conditions or {}), code: answer})


def with_conditions_no(facts: Facts) -> Facts:
    """Return the facts with every unanswered condition and red flag answered no."""
    conditions = {
        code: Condition(answer=False) if facts.condition(code).answer is None else answer
        for code, answer in _all(codes.CONDITIONS, facts.conditions, Condition()).items()
    }
    symptoms = {
        code: replace(facts.symptom(code), answer=bool(facts.symptom(code).answer))
        for code in codes.SYMPTOMS
    }
    return replace(facts, conditions=conditions, symptoms=symptoms)


def _all(
    labels: Mapping[str, str], answers: Mapping[str, Condition] | None, none: Condition
) -> dict[str, Condition]:
    return {code: (answers or {}).get(code, none) for code in labels}


def with_clearance(facts: Facts, subject: str, by: str, eye_doctor: bool = False) -> Facts:
    """Return the facts with leave for every modality of the subject, for half a year."""
    given = OtherClearance(
        subject=subject,
        modalities=tuple(codes.MODALITIES),
        by=by,
        on=facts.as_of,
        until=add_months(facts.as_of, 6),
        eye_specialist=eye_doctor,
    )
    return replace(facts, clearances=(*(facts.clearances or ()), given))


def with_clearances_unlimited(facts: Facts) -> Facts:
    """Return the facts with every clearance saying that the dose needs no limit."""
    conditions = {
        code: replace(one, cleared=tuple(replace(c, limits=NO_LIMIT) for c in one.cleared))
        if one.cleared
        else one
        for code, one in (facts.conditions or {}).items()
    }
    given = tuple(replace(one, limits=NO_LIMIT) for one in facts.clearances or ())
    return replace(
        facts,
        conditions=conditions if facts.conditions else facts.conditions,
        clearances=given if facts.clearances else facts.clearances,
    )


def with_lowest_t(facts: Facts, t: float) -> Facts:
    """Return the facts with no T-score lower than this, and at least one that is this low."""
    scans = tuple(facts.scans or ())
    if not any(scan.t is not None for scan in scans):
        scans = (*scans, Scan(date=facts.as_of, site="total_hip", t=t))
    lowest = min(scan.t for scan in scans if scan.t is not None)
    return replace(
        facts, scans=tuple(scan if scan.t is None else _moved(scan, lowest, t) for scan in scans)
    )


def _moved(scan: Scan, lowest: float, t: float) -> Scan:
    assert scan.t is not None
    return replace(scan, t=t if scan.t == lowest else max(scan.t, t))


def with_fracture(facts: Facts, fracture: Fracture) -> Facts:
    """Return the facts with one more broken bone."""
    return replace(facts, fractures=(*(facts.fractures or ()), fracture))


def with_falls(facts: Facts, count: int) -> Facts:
    """Return the facts with so many falls in 12 months; what is not known of them stays so.

    How falls ended is not kept where there is none.
    """
    held = replace(facts.falls or Falls(), last_12_months=count)
    if not count:
        held = replace(held, injury=None, long_lie=None, blackout=None)
    return replace(facts, falls=held)


def with_pressure(facts: Facts, resting: tuple[int, int]) -> Facts:
    """Return the facts with another resting pressure, and the same after standing up."""
    return with_tests(facts, Tests(resting_bp=resting, standing_bp=resting))


def with_tests(facts: Facts, tests: Tests) -> Facts:
    """Return the facts with these tests done on the day, in place of older ones of the same."""
    given = {name: None for name, value in vars(tests).items() if value is not None}
    others = tuple(replace(row, **_without(row, given)) for row in facts.tests or ())
    return replace(facts, tests=(*others, replace(tests, date=facts.as_of)))


def _without(row: Tests, given: Mapping[str, None]) -> dict[str, Any]:
    """Return what of a day's tests is taken away; a test that is given was possible."""
    unable = tuple(one for one in row.unable or () if one not in given)
    return {"unable": unable or None, **given}


def with_plate(facts: Facts, plate: Plate | None) -> Facts:
    """Return the facts with this plate and no other, or with none at all."""
    return with_resources(facts, plates=() if plate is None else (plate,))


def time_of(facts: Facts) -> tuple[tuple[str, ...], int]:
    """Return the days and the minutes of each, or what is taken where they are not recorded."""
    held = facts.resources or Resources()
    days = ASSUMED_DAYS if held.days is None else held.days
    return days, held.minutes_per_day or ASSUMED_MINUTES


def one_more_day(facts: Facts) -> tuple[str, Facts] | None:
    """Return the best further day and the facts with it; None where she has all seven.

    The best is the one that lies furthest from the days she has.
    """
    days, _ = time_of(facts)
    free = [day for day in WEEK if day not in days]
    if not free:
        return None
    best = max(free, key=lambda day: min((gap_days(day, held) for held in days), default=0))
    more = tuple(day for day in WEEK if day in (*days, best))
    return best, with_resources(facts, days=more)


def ten_more_minutes(facts: Facts) -> tuple[int, Facts] | None:
    """Return the minutes with ten more on each day; None where they would pass four hours."""
    minutes = time_of(facts)[1] + 10
    return (
        None
        if minutes > MOST_MINUTES
        else (minutes, with_resources(facts, minutes_per_day=minutes))
    )


def fewer_longer_days(facts: Facts) -> Facts | None:
    """Return the facts with one day fewer and no more minutes a week.

    The days that lie most evenly over the week stay. None where there is one day or none, or
    where a day would pass four hours.
    """
    days, minutes = time_of(facts)
    if len(days) < 2:
        return None
    in_order = sorted(days, key=WEEK.index)
    left = min(combinations(in_order, len(days) - 1), key=_unevenness)
    longer = len(days) * minutes // len(left)
    return (
        None if longer > MOST_MINUTES else with_resources(facts, days=left, minutes_per_day=longer)
    )


def _unevenness(days: tuple[str, ...]) -> int:
    """Return how unevenly days in the week's order lie: gaps squared, the week's end counted."""
    places = [WEEK.index(day) for day in days]
    later = [*places[1:], places[0] + len(WEEK)]
    return sum((after - place) ** 2 for place, after in zip(places, later, strict=True))


def more_shorter_days(facts: Facts) -> Facts | None:
    """Return the facts with one day more and no more minutes a week.

    None where there is no day at all, none is free, or not a minute would be left for each.
    """
    days, minutes = time_of(facts)
    more = one_more_day(facts)
    shorter = len(days) * minutes // (len(days) + 1)
    return with_resources(more[1], minutes_per_day=shorter) if more and shorter else None


def t_beside(score: float) -> tuple[float | None, float | None]:
    """Return the T-scores just above and just below the nearest limits; None where none is."""
    above = [limit for limit in T_LIMITS if limit >= score]
    below = [limit for limit in T_LIMITS if limit < score]
    up = round(min(above) + 0.1, 1) if above else None
    return up, max(below, default=None)
