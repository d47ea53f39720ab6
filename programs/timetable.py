"""Which days hold what, and what fits into the minutes there are (rulebook row 24)."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import combinations

from programs.dose import balance, posture, resistance
from safety.findings import LOADED, Modality

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def gap_days(a: str, b: str) -> int:
    """Return the days between two weekdays, the week's end counted: Sunday and Monday is 1."""
    apart = abs(WEEK.index(a) - WEEK.index(b))
    return min(apart, 7 - apart)


def spread(days: tuple[str, ...], most: int, busy: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Return up to `most` of the days, no two of them neighbours.

    As many as can be; of these the ones with the fewest busy days, then the widest spread.
    """
    for count in range(min(most, len(days)), 1, -1):
        apart = [
            chosen
            for chosen in combinations(days, count)
            if all(gap_days(a, b) >= 2 for a, b in combinations(chosen, 2))
        ]
        if apart:
            return min(apart, key=lambda chosen: (_shared(chosen, busy), _closeness(chosen)))
    return days[:1]


def _shared(chosen: tuple[str, ...], busy: frozenset[str]) -> int:
    return sum(1 for day in chosen if day in busy)


def _closeness(chosen: tuple[str, ...]) -> int:
    return -min(gap_days(a, b) for a, b in combinations(chosen, 2))


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


@dataclass(frozen=True, kw_only=True)
class Shape:
    """How far a week has been cut to fit.

    cut_sets    most sets of an exercise; None: as the ramp says
    some_days   shrunk balance falls on those days alone that have ten minutes for it
    """

    full_balance: bool = True
    posture_every_day: bool = True
    exercises: int = resistance.EXERCISES
    dropped: frozenset[Modality] = frozenset()
    cut_sets: int | None = None
    some_days: bool = False
    lifting_sessions: int = resistance.SESSIONS_A_WEEK


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What one week asks for: minutes of each session, and on which days it falls.

    jumps   the impact is above walking
    """

    lifting: resistance.LiftingStep | None
    lift_days: tuple[str, ...]
    plate_min: float
    plate_days: tuple[str, ...]
    impact_min: float
    impact_days: tuple[str, ...]
    jumps: bool = False
    balance_min: int
    posture_min_a_day: int


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """One week that fits: minutes of each day, and the days of each modality.

    balance_on   minutes of balance on each day
    posture_min  minutes of posture on each of its days
    waited       weeks by which a ramp stands behind, because a rise had no room
    """

    shape: Shape
    days: Mapping[Modality, tuple[str, ...]]
    balance_min: int
    posture_min: int = 0
    minutes_on: Mapping[str, float] = field(default_factory=dict)
    balance_on: Mapping[str, int] = field(default_factory=dict)
    waited: Mapping[Modality, int] = field(default_factory=dict)

    @property
    def minutes(self) -> float:
        """Return the minutes of the whole week."""
        return sum(self.minutes_on.values())


def shapes(
    rank: Mapping[Modality, int], dropped: frozenset[Modality] = frozenset()
) -> tuple[Shape, ...]:
    """Return the shapes from the fullest down, in the order in which things give way.

    First the lowest ranks shrink, then exercises go from four to two, then the lowest ranks
    drop out, then sets go to one; two lifting sessions are the last to go. `dropped` has
    given way before and does not come back.
    """
    return _shapes(tuple(sorted(Modality, key=lambda m: -rank[m])), dropped)


@lru_cache(maxsize=512)
def _shapes(lowest_first: tuple[Modality, ...], dropped: frozenset[Modality]) -> tuple[Shape, ...]:
    found = [Shape(dropped=dropped)]
    for modality in lowest_first:
        if modality is Modality.BALANCE:
            found.append(replace(found[-1], full_balance=False))
        if modality is Modality.POSTURE:
            found.append(replace(found[-1], posture_every_day=False))
    for count in range(resistance.EXERCISES - 1, resistance.FEWEST_EXERCISES - 1, -1):
        found.append(replace(found[-1], exercises=count))
    others = [m for m in lowest_first if m is not Modality.RESISTANCE]
    first = lowest_first[-1]
    for modality in (m for m in others if m is not first):
        found.append(_without(found[-1], modality))
    for sets in (2, 1):
        found.append(replace(found[-1], cut_sets=sets))
    for modality in (m for m in others if m is first):
        found.append(_without(found[-1], modality))
    found.append(replace(found[-1], lifting_sessions=1))
    found.append(_without(found[-1], Modality.RESISTANCE))
    return tuple(found)


def _without(shape: Shape, modality: Modality) -> Shape:
    return replace(shape, dropped=shape.dropped | {modality})


def fit(wanted: Wanted, shape: Shape, days: tuple[str, ...], minutes_a_day: float) -> Fitted | None:
    """Return the week in this shape, or None where it does not fit."""
    held = _placed(wanted, shape)
    load = dict.fromkeys(days, 0.0)
    for modality, on in held.items():
        for day in on:
            load[day] += _minutes_of(wanted, shape, modality)
    held[Modality.POSTURE] = _posture_days(wanted, shape, load, minutes_a_day)
    for day in held[Modality.POSTURE]:
        load[day] += wanted.posture_min_a_day
    room = {day: math.floor(minutes_a_day - load[day] + 1e-9) for day in days}
    share = _balance_share(wanted, shape, room) if min(room.values(), default=0) >= 0 else None
    if share is None:
        return None
    held[Modality.BALANCE] = tuple(day for day in days if share[day])
    left = {day: room[day] - share[day] for day in days}
    more = _more_posture(wanted, held[Modality.POSTURE], left)
    held[Modality.POSTURE] = tuple(d for d in days if d in (*held[Modality.POSTURE], *more))
    return Fitted(
        shape=shape,
        days={m: held[m] for m in Modality if held.get(m)},
        balance_min=sum(share.values()),
        posture_min=wanted.posture_min_a_day,
        minutes_on={
            day: load[day] + share[day] + (wanted.posture_min_a_day if day in more else 0)
            for day in days
        },
        balance_on=share,
    )


def _placed(wanted: Wanted, shape: Shape) -> dict[Modality, tuple[str, ...]]:
    all_days = {
        Modality.PLATE: wanted.plate_days,
        Modality.RESISTANCE: wanted.lift_days[: shape.lifting_sessions],
        Modality.IMPACT: wanted.impact_days,
    }
    return {m: on for m, on in all_days.items() if on and m not in shape.dropped}


def _posture_days(
    wanted: Wanted, shape: Shape, load: Mapping[str, float], minutes_a_day: float
) -> tuple[str, ...]:
    if not wanted.posture_min_a_day or Modality.POSTURE in shape.dropped:
        return ()
    days = tuple(load)
    if shape.posture_every_day:
        return days
    asked, ten = wanted.posture_min_a_day, balance.SHORT_MIN_A_DAY

    def unfit(day: str) -> tuple[bool, bool]:
        """Tell whether posture has no room, or would take balance's last ten minutes."""
        room = minutes_a_day - load[day]
        return room < asked, shape.some_days and ten <= room < ten + asked

    return tuple(sorted(emptiest(days, load), key=unfit))[: posture.SHORT_DAYS]


def _more_posture(
    wanted: Wanted, held: tuple[str, ...], left: Mapping[str, int]
) -> tuple[str, ...]:
    """Return further days that have room for posture where it was shrunk to two."""
    if not held:
        return ()
    return tuple(d for d in left if d not in held and left[d] >= wanted.posture_min_a_day)


def _minutes_of(wanted: Wanted, shape: Shape, modality: Modality) -> float:
    if modality is Modality.PLATE:
        return wanted.plate_min
    if modality is Modality.IMPACT:
        return wanted.impact_min
    lifting = wanted.lifting
    assert lifting is not None
    sets = min(lifting.sets, shape.cut_sets or lifting.sets)
    return resistance.session_min(exercises=shape.exercises, sets=sets, reps=lifting.reps)


def _balance_share(wanted: Wanted, shape: Shape, room: Mapping[str, int]) -> dict[str, int] | None:
    """Return the balance minutes of each day, as even as the room allows.

    Shrunk, it keeps at least ten minutes on every day, or on every day that it falls on.
    None where even that does not fit.
    """
    nothing = dict.fromkeys(room, 0)
    if not wanted.balance_min or Modality.BALANCE in shape.dropped:
        return nothing
    short = balance.SHORT_MIN_A_DAY
    if shape.some_days:
        room = {day: minutes if minutes >= short else 0 for day, minutes in room.items()}
        return _evenly(min(wanted.balance_min, sum(room.values())), room)
    total = sum(room.values())
    if shape.full_balance and total < wanted.balance_min:
        return None
    if not shape.full_balance and min(room.values(), default=0) < short:
        return None
    return _evenly(min(wanted.balance_min, total), room)


def _evenly(minutes: int, room: Mapping[str, int]) -> dict[str, int]:
    """Share whole minutes over the days, none past its room; the fullest days come first."""
    share = {}
    for done, day in enumerate(sorted(room, key=lambda day: room[day])):
        share[day] = min(room[day], minutes // (len(room) - done))
        minutes -= share[day]
    return share


def best_fit(
    wanted: Wanted,
    rank: Mapping[Modality, int],
    dropped: frozenset[Modality],
    days: tuple[str, ...],
    minutes_a_day: float,
) -> Fitted:
    """Return the fullest week that fits; the last shape holds nothing and always does.

    What gave way in the rulebook's order and fits after all is given back, the most valuable
    first. `dropped` has given way before and stays out.
    """
    tried = (fit(wanted, shape, days, minutes_a_day) for shape in shapes(rank, dropped))
    found = next(week for week in tried if week is not None)
    for fuller in _given_back(rank, dropped):
        shape = fuller(found.shape)
        if shape == found.shape or _jumps_instead(wanted, shape):
            continue
        for asked in _posture_less(wanted, found, shape):
            more = fit(asked, shape, days, minutes_a_day)
            if more and _keeps_balance(more, found):
                found, wanted = more, asked
                break
    return found


def _posture_less(wanted: Wanted, found: Fitted, shape: Shape) -> Iterator[Wanted]:
    """Yield what is asked for; where posture comes back, also with fewer minutes a day."""
    most = least = wanted.posture_min_a_day
    if Modality.POSTURE in found.shape.dropped - shape.dropped:
        least = min(most, posture.START_MIN_A_DAY)
    for minutes in range(most, least - 1, -1):
        yield replace(wanted, posture_min_a_day=minutes)


def _keeps_balance(more: Fitted, found: Fitted) -> bool:
    """Tell whether what comes back leaves balance on every day that it had."""
    on = [set(week.days.get(Modality.BALANCE, ())) for week in (found, more)]
    return on[0] <= on[1]


def _jumps_instead(wanted: Wanted, shape: Shape) -> bool:
    """Tell of impact above walking left without the lifting that it goes beside."""
    lifted = Modality.RESISTANCE not in shape.dropped
    return wanted.jumps and not lifted and Modality.IMPACT not in shape.dropped


def _with(shape: Shape, back: Modality) -> Shape:
    """Return the shape with a modality again; balance comes back on the days that have room."""
    if back not in shape.dropped:
        return shape
    some_days = shape.some_days or back is Modality.BALANCE
    return replace(shape, dropped=shape.dropped - {back}, some_days=some_days)


def _given_back(
    rank: Mapping[Modality, int], dropped: frozenset[Modality]
) -> Iterator[Callable[[Shape], Shape]]:
    """Yield the ways in which a shape may be fuller again.

    Sets come back as soon as lifting has: all that is worth less gave way before they did.
    """
    for modality in sorted(rank, key=lambda m: rank[m]):
        if modality not in dropped:
            yield lambda shape, back=modality: _with(shape, back)  # type: ignore[misc]
        if modality is Modality.RESISTANCE:
            yield lambda shape: replace(shape, cut_sets=shape.cut_sets and 2)
            yield lambda shape: replace(shape, cut_sets=None)
    for count in range(resistance.FEWEST_EXERCISES + 1, resistance.EXERCISES + 1):
        yield lambda shape, count=count: replace(shape, exercises=max(count, shape.exercises))  # type: ignore[misc]
