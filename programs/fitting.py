"""The weeks of a draft fitted into the days and minutes there are, one after the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations

from programs.course import Course
from programs.dose.limit import DRAFT_WEEKS, is_deload
from programs.timetable import Fitted, Wanted, best_fit
from safety.findings import Modality

#: Loaded work whose rise waits for room; once it has given way it does not come back by
#: itself, for her ramp has stood still.
WAITS = (Modality.PLATE, Modality.IMPACT)


def fit_weeks(course: Course, rank: Mapping[Modality, int]) -> tuple[Fitted, ...]:
    """Fit each week. A rise that has no room waits before anything loaded gives way."""
    fits = _Fits(course=course, rank=rank)
    fitted: list[Fitted] = []
    for week in range(1, DRAFT_WEEKS + 1):
        before = fitted[-1] if fitted else None
        fitted.append(_fit_week(fits, week, before))
    return tuple(fitted)


@dataclass(frozen=True, kw_only=True)
class _Fits:
    """The fits of one course; weeks that ask for the same are fitted once."""

    course: Course
    rank: Mapping[Modality, int]
    known: dict[tuple[Wanted, frozenset[Modality]], Fitted] = field(default_factory=dict)

    def best(self, wanted: Wanted, out: frozenset[Modality]) -> Fitted:
        """Return the fullest week that fits, whatever its number."""
        lifting = wanted.lifting and replace(wanted.lifting, week=0)
        asked = (replace(wanted, lifting=lifting), out)
        if asked not in self.known:
            course = self.course
            self.known[asked] = best_fit(wanted, self.rank, out, course.days, course.minutes_a_day)
        return self.known[asked]


def _fit_week(fits: _Fits, week: int, before: Fitted | None) -> Fitted:
    course, rank = fits.course, fits.rank
    out = before.shape.dropped & frozenset(WAITS) if before else frozenset()
    first: Fitted | None = None
    for waited in _waits(course, rank, week, before.waited if before else {}):
        found = replace(fits.best(course.wanted(week, waited), out), waited=waited)
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
