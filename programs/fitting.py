"""The weeks of a draft fitted into the days and minutes there are, the most valuable ramp first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import takewhile

from programs.course import Course, room_of
from programs.dose import posture
from programs.dose.limit import DRAFT_WEEKS, is_deload
from programs.timetable import Fitted, best_fit, fit
from safety.findings import Modality

#: Loaded work whose rise waits for room; once it has given way it does not come back by
#: itself, for her ramp has stood still.
_ORDER = (Modality.PLATE, Modality.IMPACT)
WAITS = frozenset(_ORDER)
WEEKS = range(1, DRAFT_WEEKS + 1)

#: Weeks by which a ramp stands behind, one number a week, for as long as it has room.
Waits = tuple[int, ...]


def fit_weeks(course: Course, rank: Mapping[Modality, int]) -> tuple[Fitted, ...]:
    """Fit each week. A rise that has no room waits before anything loaded gives way.

    The more valuable ramp is laid down first, as if the other were not there; the other takes
    only what room that leaves it, to the last week. So neither an early rise of the less
    valuable nor its first dose ever holds the more valuable one back.
    """
    fits = _Fits(course=course, rank=rank)
    ramps = [m for m in sorted(WAITS, key=lambda m: rank[m]) if course.steps(m)]
    laid: dict[Modality, Waits] = dict.fromkeys(ramps, (0,) * DRAFT_WEEKS)
    if not all(fits.holds(week, _waited(laid, week)) for week in WEEKS):
        laid = {}
        for modality in ramps:
            laid[modality] = _laid(fits, modality, laid)
    return _steadied(fits, [_fitted(fits, week, _waited(laid, week)) for week in WEEKS])


def _steadied(fits: _Fits, weeks: Sequence[Fitted]) -> tuple[Fitted, ...]:
    """Let posture keep to every day where fewer minutes have room; what was given up stays so.

    Else one minute more than there is room for would take posture off most days, and give it
    back in each week in which something else happens to be shorter.
    """
    steady: list[Fitted] = []
    most = posture.MOST_MIN_A_DAY
    for week, found in zip(WEEKS, weeks, strict=True):
        kept = fits.each_day(week, found, most) or found
        if kept.posture_min < fits.course.posture_min_a_day(week):
            most = kept.posture_min
        steady.append(kept)
    return tuple(steady)


def _fitted(fits: _Fits, week: int, waited: Mapping[Modality, int]) -> Fitted:
    return replace(fits.best(week, waited), waited=waited)


def _waited(laid: Mapping[Modality, Waits], week: int) -> dict[Modality, int]:
    """Return how far behind each ramp stands that has room in this week."""
    return {m: waits[week - 1] for m, waits in laid.items() if len(waits) >= week}


def _laid(fits: _Fits, modality: Modality, before: Mapping[Modality, Waits]) -> Waits:
    """Lay one ramp beside those laid before it: a rise is taken only if it can stay."""
    room = _Room(fits=fits, modality=modality, before=before)
    first = takewhile(lambda week: room.holds(week, week - 1), WEEKS)
    until = sum(1 for _ in first)
    waits: list[int] = []
    for week in range(1, until + 1):
        waited = waits[-1] if waits else 0
        waits.append(waited if room.may_go_on(week, waited, until) else waited + 1)
    return tuple(waits)


@dataclass(frozen=True, kw_only=True)
class _Room:
    """The room for one ramp beside those laid before it."""

    fits: _Fits
    modality: Modality
    before: Mapping[Modality, Waits]

    def holds(self, week: int, waited: int) -> bool:
        """Tell whether the week holds the ramp so far behind without dropping loaded work."""
        return self.fits.holds(week, {**_waited(self.before, week), self.modality: waited})

    def may_go_on(self, week: int, waited: int, until: int) -> bool:
        """Tell whether the ramp may go on in this week: a rise late is none in a deload week."""
        if week == 1 or not self.fits.course.rises(self.modality, week, waited):
            return True
        if waited and is_deload(week):
            return False
        at = week - waited
        return all(self.holds(later, later - at) for later in range(week, until + 1))


@dataclass(frozen=True, kw_only=True)
class _Fits:
    """The fits of one course; weeks that ask for the same are fitted once."""

    course: Course
    rank: Mapping[Modality, int]
    known: dict[tuple[int | None, ...], Fitted] = field(default_factory=dict)

    def best(self, week: int, waited: Mapping[Modality, int]) -> Fitted:
        """Return the fullest week; of the ramps that wait, only those named are asked for."""
        asked = self._asked(week, waited)
        if asked not in self.known:
            course, out = self.course, WAITS.difference(waited)
            wanted = course.wanted(week, waited, without=out)
            self.known[asked] = best_fit(wanted, self.rank, out, course.days, course.minutes_a_day)
        return self.known[asked]

    def holds(self, week: int, waited: Mapping[Modality, int]) -> bool:
        """Tell whether none of the ramps asked for is dropped."""
        return self.best(week, waited).shape.dropped.isdisjoint(waited)

    def each_day(self, week: int, found: Fitted, most: int) -> Fitted | None:
        """Return the week with at most so many minutes of posture on every day.

        None where not even the fewest have room, or something else would be less for it.
        """
        on_each = len(found.days.get(Modality.POSTURE, ())) == len(self.course.days)
        if on_each and found.posture_min <= most:
            return found
        wanted = self.course.wanted(week, found.waited, WAITS.difference(found.waited))
        shape, least = replace(found.shape, posture_every_day=True), posture.START_MIN_A_DAY
        for minutes in range(min(wanted.posture_min_a_day, most), least - 1, -1):
            asked = replace(wanted, posture_min_a_day=minutes)
            other = fit(asked, shape, self.course.days, self.course.minutes_a_day)
            if other is not None and _no_less(other, found, self.course.days):
                return replace(other, waited=found.waited)
        return None

    def _asked(self, week: int, waited: Mapping[Modality, int]) -> tuple[int | None, ...]:
        """Return what stands for all that the week asks for."""
        ramps = (self._steps[m][week - waited[m] - 1] if m in waited else None for m in _ORDER)
        return self._rest[week - 1], *ramps

    @cached_property
    def _rest(self) -> tuple[int, ...]:
        """Return a number for what each week asks for beside the ramps that wait."""
        asked = [self.course.wanted(week, {}, without=WAITS) for week in WEEKS]
        return _first_alike(
            [replace(one, lifting=one.lifting and replace(one.lifting, week=0)) for one in asked]
        )

    @cached_property
    def _steps(self) -> Mapping[Modality, tuple[int, ...]]:
        """Return a number for the room that each step of the ramps that wait takes."""
        return {m: _first_alike([room_of(one) for one in self.course.steps(m)]) for m in WAITS}


def _first_alike(things: Sequence[object]) -> tuple[int, ...]:
    """Return for each the place of the first that is the same."""
    first: dict[object, int] = {}
    return tuple(first.setdefault(one, place) for place, one in enumerate(things))


def _no_less(other: Fitted, found: Fitted, days: Sequence[str]) -> bool:
    """Tell whether a week with posture on every day has as much balance, and more posture."""
    was = len(found.days.get(Modality.POSTURE, ()))
    enough = was == len(days) or len(days) * other.posture_min > was * found.posture_min
    return bool(was) and enough and other.balance_min >= found.balance_min
