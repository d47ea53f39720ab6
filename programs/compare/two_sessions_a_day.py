"""A day in two short sessions, and its impact in two bouts: what that would change."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from programs.dose import impact, two_bouts
from programs.dose.impact import Index
from programs.draft.fit_into_days import Fitted
from programs.exercises import EXERCISES
from programs.week.minutes import session_min
from programs.week.one_line import force_words
from programs.week.week import WEEK, ImpactWeek, Week, part_of
from safety.findings import Modality

#: Hours between two bouts for which the index is shown.
HOURS = (1.0, 4.0, two_bouts.LEAST_GAP_H, 12.0)


@dataclass(frozen=True, kw_only=True)
class Item:
    """One modality of a session; impacts is its count, where it has one."""

    modality: Modality
    minutes: float
    impacts: int | None = None


@dataclass(frozen=True, kw_only=True)
class Sessions:
    """The two sessions of a day; the second is empty where the day holds one thing alone."""

    day: str
    first: tuple[Item, ...]
    second: tuple[Item, ...]

    @property
    def minutes(self) -> tuple[float, float]:
        """Return the minutes of both."""
        return _minutes(self.first), _minutes(self.second)


def _minutes(items: tuple[Item, ...]) -> float:
    return round(sum(item.minutes for item in items), 1)


def days_in_two(week: Week, fitted: Fitted) -> tuple[Sessions, ...]:
    """Return each day of the week in two sessions, the longer as short as can be.

    Impact is shared over both in whole sets; everything else stays in one piece.
    """
    days = sorted({day for on in fitted.days.values() for day in on}, key=WEEK.index)
    return tuple(_in_two(day, tuple(_items(day, week, fitted))) for day in days)


def _items(day: str, week: Week, fitted: Fitted) -> Iterator[Item]:
    """Yield what the day holds; of impact the larger bout before the other."""
    for modality, on in fitted.days.items():
        part = part_of(week, modality)
        if part is None or day not in on:
            continue
        if isinstance(part, ImpactWeek) and part.impacts:
            for count in filter(None, two_bouts.in_two(part.impacts)):
                minutes = impact.counted_min(count)
                yield Item(modality=modality, minutes=minutes, impacts=count)
        elif modality is Modality.BALANCE:
            yield Item(modality=modality, minutes=fitted.balance_on[day])
        else:
            yield Item(modality=modality, minutes=session_min(part))


def _in_two(day: str, items: tuple[Item, ...]) -> Sessions:
    ways = (_way(day, items, way) for way in product((True, False), repeat=len(items)))
    larger = tuple(filter(_is_impact, items))[:1]
    apart = (way for way in ways if tuple(filter(_is_impact, way.first)) == larger)
    return min(apart, key=lambda way: max(way.minutes))


def _way(day: str, items: tuple[Item, ...], in_first: tuple[bool, ...]) -> Sessions:
    placed = list(zip(items, in_first, strict=True))
    return Sessions(
        day=day,
        first=tuple(item for item, first in placed if first),
        second=tuple(item for item, first in placed if not first),
    )


def _is_impact(item: Item) -> bool:
    return item.modality is Modality.IMPACT


@dataclass(frozen=True, kw_only=True)
class Apart:
    """Two bouts of a day so many hours apart: what the second counts, the indices of the week."""

    hours: float
    percent: int
    index: Index
    may_be: bool


@dataclass(frozen=True, kw_only=True)
class Bouts:
    """The impact of a week in one bout a day beside two; `shared` is the count of each."""

    sessions: int
    impacts: int
    force: str
    shared: tuple[int, int]
    one: Index
    two: tuple[Apart, ...]


def bouts(part: ImpactWeek | None) -> Bouts | None:
    """Return both ways of a week; None where it counts no impacts or a single set."""
    if part is None or not part.impacts:
        return None
    shared = two_bouts.in_two(part.impacts)
    if not shared[1]:
        return None
    return Bouts(
        sessions=part.sessions,
        impacts=part.impacts,
        force=force_words(part),
        shared=shared,
        one=index_of_week(part),
        two=tuple(
            Apart(
                hours=hours,
                percent=round(100 * two_bouts.regained(hours)),
                index=index_in_two(part, hours),
                may_be=two_bouts.far_enough(hours),
            )
            for hours in HOURS
        ),
    )


def index_of_week(part: ImpactWeek) -> Index:
    """Return the indices of a week of counted impacts in one bout a day."""
    exercise = EXERCISES[part.exercises[0]]
    return impact.osteogenic_index(exercise, part.impacts or 0, part.sessions)


def index_in_two(part: ImpactWeek, hours: float = two_bouts.LEAST_GAP_H) -> Index:
    """Return the indices of the week with two bouts on each day of impact; 0 for a walk."""
    exercise = EXERCISES[part.exercises[0]]
    first, second = two_bouts.in_two(part.impacts or 0)
    share = exercise.contacts_of_10 / 10
    hip = two_bouts.index_of_two(exercise.leg_bw or 0.0, (first * share, second * share), hours)
    spine = two_bouts.index_of_two(exercise.peak_bw or 0.0, (first, second), hours)
    return Index(
        hip=hip * part.sessions, spine=spine * part.sessions, measured=exercise.force_measured
    )
