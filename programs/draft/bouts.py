"""Whole minutes of balance in bouts: what days with so much room can hold, and on which days."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from programs.dose.balance import LEAST_BOUT_MIN


def usable(room: Mapping[str, int], least: int = LEAST_BOUT_MIN) -> int:
    """Return the minutes that bouts of at least so many can fill."""
    return sum(minutes for minutes in room.values() if minutes >= least)


def at_most(total: int, room: Mapping[str, int], least: int = LEAST_BOUT_MIN) -> int:
    """Return the most minutes, no more than a total, that bouts can fill."""
    spans = ((low, high) for low, high in _spans(room, least) if low <= total)
    return max((min(total, high) for _, high in spans), default=0)


def at_least(total: int, room: Mapping[str, int], least: int = LEAST_BOUT_MIN) -> int:
    """Return the fewest minutes, no fewer than a total, that bouts can fill; else the most."""
    spans = [(low, high) for low, high in _spans(room, least) if high >= total]
    return min((max(total, low) for low, _ in spans), default=usable(room, least))


def _spans(room: Mapping[str, int], least: int) -> Iterator[tuple[int, int]]:
    """Yield the fewest and the most minutes of each number of bouts, in the roomiest days."""
    low = high = 0
    for minutes in sorted((m for m in room.values() if m >= least), reverse=True):
        low, high = low + least, high + minutes
        yield low, high


def in_bouts(total: int, room: Mapping[str, int], least: int) -> dict[str, int]:
    """Share whole minutes over the days in bouts of at least so many, none past its room.

    As even as the room allows, over as many days as can be; where no sharing gives all of it,
    the most that one does.
    """
    able = sorted((day for day in room if room[day] >= least), key=lambda day: -room[day])
    best: dict[str, int] = {}
    for count in range(min(len(able), total // least), 0, -1):
        chosen = able[:count]
        share = _evenly(min(total, sum(room[day] for day in chosen)), chosen, room)
        if sum(share.values()) > sum(best.values()):
            best = share
        if sum(best.values()) == total:
            break
    return {day: best.get(day, 0) for day in room}


def _evenly(minutes: int, days: Sequence[str], room: Mapping[str, int]) -> dict[str, int]:
    share = {}
    for done, day in enumerate(sorted(days, key=lambda day: room[day])):
        share[day] = min(room[day], minutes // (len(days) - done))
        minutes -= share[day]
    return share
