"""How her days and minutes are shared out: what stays whole, shrinks or is left out (row 24).

One shape holds for all weeks in which the same kinds of loading are there, so that no share jumps
about: exercises, sets and what is left out are settled for the fullest of those weeks. What rises
later takes only what is free then.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from programs.dose import posture, resistance
from programs.draft.bouts import usable
from safety.findings import Modality

_P, _R, _I, _B, _S = Modality


#: A modality, the minutes of a session of it, None where it is not there, and its days.
Session = tuple[Modality, float | None, tuple[str, ...]]


@dataclass(frozen=True, kw_only=True)
class Time:
    """Her days, the minutes of each, and the order of value of what is asked of them."""

    days: tuple[str, ...]
    minutes_a_day: float
    rank: Mapping[Modality, int]

    def room(self, load: Mapping[str, float]) -> dict[str, int]:
        """Return the whole minutes left on each day; negative where it is overfull."""
        return {day: math.floor(self.minutes_a_day - load[day] + 1e-9) for day in self.days}

    def load(self, sessions: Iterable[Session], dropped: frozenset[Modality]) -> dict[str, float]:
        """Return the minutes of these sessions on each day, without those dropped."""
        load = dict.fromkeys(self.days, 0.0)
        for modality, minutes, days in sessions:
            if minutes is not None and modality not in dropped:
                for day in days:
                    load[day] += minutes
        return load


@dataclass(frozen=True, kw_only=True)
class BalanceShare:
    """What balance asks of the week, in minutes.

    goal    of the fullest week; 0: it is not there
    first   what comes before anything else (fall risk high, low function, falls the first aim,
            or balance of rank 1); 0: it shrinks to `least` on a day instead
    """

    goal: int
    first: int
    least: int


@dataclass(frozen=True, kw_only=True)
class Claims:
    """What is asked of the days: minutes of a session, and where it falls.

    lifting_min   minutes of the longest session, by exercises and most sets; None: not there
    """

    lifting_min: Callable[[int, int | None], float] | None
    lift_days: tuple[str, ...]
    plate_min: float | None
    plate_days: tuple[str, ...]
    impact_min: float | None
    impact_days: tuple[str, ...]
    balance: BalanceShare
    posture: bool

    @property
    def asked(self) -> frozenset[Modality]:
        """Return the modalities that ask for time."""
        there = {
            _P: self.plate_min is not None,
            _R: self.lifting_min is not None,
            _I: self.impact_min is not None,
            _B: self.balance.goal > 0,
            _S: self.posture,
        }
        return frozenset(m for m, asks in there.items() if asks)


@dataclass(frozen=True, kw_only=True)
class Shape:
    """How far the weeks have been cut to fit.

    dropped     what finds no room
    cut_sets    most sets of an exercise; None: as the ramp says
    some_days   balance falls only on the days that have its least
    """

    exercises: int = resistance.EXERCISES
    dropped: frozenset[Modality] = frozenset()
    cut_sets: int | None = None
    lifting_sessions: int = resistance.SESSIONS_A_WEEK
    some_days: bool = False

    @property
    def is_whole(self) -> bool:
        """Tell whether nothing was cut or left out."""
        return not self.dropped and self.exercises == resistance.EXERCISES


def loads(time: Time, claims: Claims, shape: Shape) -> dict[str, float]:
    """Return the minutes of lifting, plate and impact on each day."""
    ask = claims.lifting_min
    lifted = None if ask is None else ask(shape.exercises, shape.cut_sets)
    sessions = (
        (_R, lifted, claims.lift_days[: shape.lifting_sessions]),
        (_P, claims.plate_min, claims.plate_days),
        (_I, claims.impact_min, claims.impact_days),
    )
    return time.load(sessions, shape.dropped)


def balance_least(claims: Claims, shape: Shape, room: Mapping[str, int]) -> dict[str, int] | None:
    """Return the least of balance on each day that has to keep it; None where there is less room.

    On some of the days: on the roomiest alone, and on others where nothing else is asked.
    """
    asked, nothing = claims.balance, dict.fromkeys(room, 0)
    if not asked.goal or _B in shape.dropped or asked.first:
        return nothing
    days = [max(room, key=lambda day: room[day])] if shape.some_days and room else [*room]
    if any(room[day] < asked.least for day in days):
        return None
    return nothing | dict.fromkeys(days, asked.least)


def posture_days(
    time: Time, claims: Claims, shape: Shape, room: Mapping[str, int]
) -> tuple[str, ...] | None:
    """Return the days with five minutes for posture beside balance's least.

    Of lower rank than balance it has two of them, and more only where balance loses nothing.
    None where they are fewer than two (or than she has), or balance has less than its least.
    """
    kept = balance_least(claims, shape, room)
    first = 0 if _B in shape.dropped else claims.balance.first
    if kept is None or usable(room) < first:
        return None
    if not claims.posture or _S in shape.dropped:
        return ()
    short = min(posture.SHORT_DAYS, len(time.days))
    able: list[str] = []
    for day in sorted(time.days, key=lambda day: -room[day]):
        left = _beside(room, (*able, day))
        least = first if len(able) < short else _above(time, claims, shape, _beside(room, able))
        if left[day] >= kept[day] and usable(left) >= least:
            able.append(day)
    return tuple(day for day in time.days if day in able) if len(able) >= short else None


def _beside(room: Mapping[str, int], days: Sequence[str]) -> dict[str, int]:
    """Return the room that posture on these days leaves."""
    return {day: room[day] - posture.START_MIN_A_DAY * (day in days) for day in room}


def _above(time: Time, claims: Claims, shape: Shape, room: Mapping[str, int]) -> int:
    """Return the minutes of balance that a day more of posture may not take."""
    asked = 0 if _B in shape.dropped else claims.balance.first
    if _B in shape.dropped or time.rank[_S] < time.rank[_B]:
        return asked
    whole = shape.is_whole or not claims.balance.first
    return min(claims.balance.goal if whole else asked, usable(room))


def holds(time: Time, claims: Claims, shape: Shape, load: Mapping[str, float]) -> bool:
    """Tell whether the days hold this load with the least of balance and of posture."""
    room = time.room(load)
    fits = min(room.values(), default=0) >= 0
    return fits and posture_days(time, claims, shape, room) is not None


def shapes(time: Time, claims: Claims) -> Iterator[Shape]:
    """Yield the shapes from the fullest down, in the order in which things give way.

    Exercises from four to two, then the lowest ranks drop out, then sets go to one, then one
    exercise; two lifting sessions are the last to go. Balance that comes first never drops out.
    """
    rank, asked = time.rank, claims.asked
    stays = {_R, _B} if claims.balance.first else {_R}
    shape = Shape()
    yield shape
    for count in range(resistance.EXERCISES - 1, resistance.FEWEST_EXERCISES - 1, -1):
        shape = replace(shape, exercises=count)
        yield shape
    for modality in sorted(asked - stays, key=lambda m: -rank[m]):
        shape = replace(shape, dropped=shape.dropped | {modality})
        yield shape
    for fewer in ({"cut_sets": 2}, {"cut_sets": 1}, {"exercises": 1}, {"lifting_sessions": 1}):
        shape = replace(shape, **fewer)  # type: ignore[arg-type]
        yield shape
    yield replace(shape, dropped=shape.dropped | {_R})
    yield replace(shape, dropped=asked)


def settle(time: Time, claims: Claims) -> Shape:
    """Return the fullest shape that holds what is asked, the most valuable given back first.

    What is given back takes nothing from what is worth more: exercises, sets and what balance
    has before anything else stay as they are.
    """
    found = next(
        shape
        for shape in shapes(time, claims)
        if shape.dropped >= claims.asked or holds(time, claims, shape, loads(time, claims, shape))
    )
    for modality in sorted(found.dropped & claims.asked, key=lambda m: time.rank[m]):
        given = (one for one in _with(found, modality) if modality is not _R)
        found = next((s for s in given if holds(time, claims, s, loads(time, claims, s))), found)
    return found


def _with(shape: Shape, back: Modality) -> Iterator[Shape]:
    """Yield the shapes with a modality again; balance also on some of the days alone."""
    fuller = replace(shape, dropped=shape.dropped - {back})
    yield fuller
    if back is _B:
        yield replace(fuller, some_days=True)
