"""Which of her days hold what: apart from one another, emptiest first, inside a clearance."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import combinations

from programs.week.week import WEEK
from safety.findings import LOADED, Modality


def gap_days(a: str, b: str) -> int:
    """Return the days between two weekdays, the week's end counted: Sunday and Monday is 1."""
    apart = abs(WEEK.index(a) - WEEK.index(b))
    return min(apart, 7 - apart)


Days = tuple[str, ...]


@lru_cache(maxsize=1024)
def apart(days: Days, most: int) -> tuple[Days, ...]:
    """Return every choice of as many of the days as can be, up to `most`, no two neighbours."""
    for count in range(min(most, len(days)), 0, -1):
        found = tuple(
            chosen
            for chosen in combinations(days, count)
            if all(gap_days(a, b) >= 2 for a, b in combinations(chosen, 2))
        )
        if found:
            return found
    return ((),)


def spread(days: Days, most: int) -> Days:
    """Return up to `most` of the days, no two of them neighbours, spread as widely as can be."""
    return min(apart(days, most), key=_closeness)


@lru_cache(maxsize=1024)
def spread_both(days: Days, first: int, second: int) -> tuple[Days, Days]:
    """Return the days of two kinds of session, each spread, on as few common days as can be."""
    pairs = [(a, b) for a in apart(days, first) for b in apart(days, second)]
    return min(pairs, key=lambda both: (len({*both[0]} & {*both[1]}), *map(_closeness, both)))


def _closeness(chosen: Days) -> int:
    return -min((gap_days(a, b) for a, b in combinations(chosen, 2)), default=0)


def emptiest(days: tuple[str, ...], load: Mapping[str, float]) -> tuple[str, ...]:
    """Return the days by how little is on them, then in the week's order."""
    return tuple(sorted(days, key=lambda day: (load.get(day, 0.0), WEEK.index(day))))


def held_on(
    timetable: Mapping[str, Sequence[str]], modality: Modality, sessions: int
) -> tuple[str, ...]:
    """Return the weekdays that hold a modality in a week of this many sessions.

    Loaded work takes the first of its days, so that a day more is added and none is moved;
    balance and posture may fall on any of theirs.
    """
    named = tuple(day for day in WEEK if modality in timetable.get(day, ()))
    return named[:sessions] if modality in LOADED else named


def inside(
    days: Sequence[str], week: int, starts_on: dt.date, until: dt.date | None
) -> tuple[str, ...]:
    """Return those of the weekdays of a program's week that lie within a last day.

    Week 1 is starts_on and the six days after it.
    """
    if until is None:
        return tuple(days)
    first = starts_on + dt.timedelta(days=7 * (week - 1))
    left = (until - first).days
    held = {WEEK[(first.weekday() + n) % 7] for n in range(7) if n <= left}
    return tuple(day for day in days if day in held)
