"""The weeks of a draft fitted into the days and minutes there are, one after the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations

from programs.course import Course
from programs.dose.limit import DRAFT_WEEKS, is_deload
from programs.timetable import Fitted, best_fit
from safety.findings import Modality

#: Loaded work whose rise waits for room; once it has given way it does not come back by
#: itself, for her ramp has stood still.
WAITS = (Modality.PLATE, Modality.IMPACT)


def fit_weeks(course: Course, rank: Mapping[Modality, int]) -> tuple[Fitted, ...]:
    """Fit each week. A rise that has no room waits before anything loaded gives way."""
    fitted: list[Fitted] = []
    for week in range(1, DRAFT_WEEKS + 1):
        before = fitted[-1] if fitted else None
        fitted.append(_fit_week(course, rank, week, before))
    return tuple(fitted)


def _fit_week(
    course: Course, rank: Mapping[Modality, int], week: int, before: Fitted | None
) -> Fitted:
    out = before.shape.dropped & frozenset(WAITS) if before else frozenset()
    first: Fitted | None = None
    for waited in _waits(course, rank, week, before.waited if before else {}):
        wanted = course.wanted(week, waited)
        found = best_fit(wanted, rank, out, course.days, course.minutes_a_day)
        found = replace(found, waited=waited)
        first = first or found
        if not (found.shape.dropped & frozenset(WAITS)) - out:
            return found
    assert first is not None
    return first


def _waits(
    course: Course, rank: Mapping[Modality, int], week: int, waited: Mapping[Modality, int]
) -> Iterator[Mapping[Modality, int]]:
    """Yield the ways to go on: all rise, then the least valuable wait, then both do."""
    base = dict(waited)
    for modality in WAITS:
        if waited.get(modality) and is_deload(week) and course.rises(modality, week, waited):
            base[modality] += 1
    yield base
    least_first = sorted(WAITS, key=lambda m: -rank[m])
    for count in (1, 2):
        for waiting in combinations(least_first, count):
            if week > 1:
                yield {**base, **{m: base.get(m, 0) + 1 for m in waiting}}
