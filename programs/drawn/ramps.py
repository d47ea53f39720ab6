"""The ramp of a kind as numbers: its dose week by week on one axis, and what rises when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from programs.edit.changes import fields_in
from programs.edit.plan_in_words import weeks_words
from programs.exercises import BALANCE_RUNGS
from programs.week.week import (
    Part,
    Week,
    part_of,
)
from safety.findings import Modality
from safety.modalities import MODALITIES

#: What a number is called where it rises; the force of an impact is of no field of its own.
_CALLED: Mapping[str, str] = {
    "could_lift": "weight",
    "rung": "level",
    "bout_s": "bout length",
    "peak_bw": "force",
}
#: A longer rest is no rise.
_NO_DOSE = frozenset({"rest_s"})


@dataclass(frozen=True, kw_only=True)
class Axis:
    """What the height of a ramp means."""

    words: str
    unit: str
    of: Callable[[Any], float | None]


_AXES: Mapping[Modality, Axis] = {
    Modality.PLATE: Axis(words="peak acceleration, g", unit="g", of=lambda one: one.peak_g),
    Modality.RESISTANCE: Axis(
        words="load, % of 1RM", unit="% of 1RM", of=lambda one: one.percent_1rm
    ),
    Modality.IMPACT: Axis(
        words="peak force, body weights", unit="body weights", of=lambda one: one.peak_bw
    ),
    Modality.BALANCE: Axis(
        words=f"level of the ladder, of {BALANCE_RUNGS}",
        unit=f"of {BALANCE_RUNGS}",
        of=lambda one: one.rung,
    ),
    Modality.POSTURE: Axis(words="minutes a week", unit="min a week", of=lambda one: one.minutes),
}
_REPETITIONS = Axis(
    words="repetitions of an exercise",
    unit="repetitions",
    of=lambda one: one.sets * one.reps,
)


@dataclass(frozen=True, kw_only=True)
class Rise:
    """One number that is higher than in the week before."""

    week: int
    what: str
    was: float
    became: float

    @property
    def words(self) -> str:
        """Return "bouts 4 to 6"; of a weight how often it can be lifted, which falls."""
        times = " times to lift" if self.what == _CALLED["could_lift"] else ""
        return f"{self.what} {self.was:g} to {self.became:g}{times}"


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """Weeks in which the dose stands still, and what rose at their beginning.

    value   None where the kind is not in these weeks
    """

    first: int
    last: int
    value: float | None
    rises: tuple[Rise, ...]

    @property
    def weeks(self) -> str:
        """Return "3" or "3 to 4"."""
        return weeks_words(self.first, self.last)

    @property
    def dose(self) -> str:
        """Return the dose as a number; empty where there is none."""
        return "" if self.value is None else f"{self.value:g}"


@dataclass(frozen=True, kw_only=True)
class Ramp:
    """The dose of one kind over the weeks.

    values    of each week; None where the kind is not in it
    before    the same before a change; empty where nothing is laid beside it
    ceiling   how high it may be drafted; None where that is not known
    until     the last day of the clearance that carries it, and the week it falls in
    """

    modality: Modality
    axis: Axis
    values: tuple[float | None, ...]
    before: tuple[float | None, ...]
    ceiling: float | None
    rises: tuple[Rise, ...]
    until: tuple[dt.date, int] | None

    @property
    def name(self) -> str:
        """Return the kind in words."""
        return MODALITIES[self.modality].name

    @property
    def absent(self) -> tuple[int, ...]:
        """Return the weeks that do not hold it though its clearance lasts longer: no room."""
        ends = self.until[1] if self.until else len(self.values) + 1
        return tuple(n for n, one in enumerate(self.values, 1) if one is None and n < ends)

    @property
    def what_rises(self) -> tuple[str, ...]:
        """Return the names of what rises, in the order in which it first does."""
        return tuple(dict.fromkeys(rise.what for rise in self.rises))

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """Return the ramp as a table has it: a row wherever anything changes."""
        found: list[Stretch] = []
        for week, value in enumerate(self.values, 1):
            rises = tuple(rise for rise in self.rises if rise.week == week)
            if found and found[-1].value == value and not rises:
                last = found.pop()
                found.append(Stretch(first=last.first, last=week, value=value, rises=last.rises))
            else:
                found.append(Stretch(first=week, last=week, value=value, rises=rises))
        return tuple(found)


def ramp(
    weeks: Sequence[Week],
    modality: Modality,
    *,
    starts_on: dt.date,
    ceiling: float | None = None,
    until: dt.date | None = None,
    before: Sequence[Week] = (),
) -> Ramp | None:
    """Return the ramp of a kind; None where no week holds it."""
    parts = [part_of(week, modality) for week in weeks]
    axis = _axis(modality, parts)
    if axis is None:
        return None
    return Ramp(
        modality=modality,
        axis=axis,
        values=_values(parts, axis),
        before=_values([part_of(week, modality) for week in before], axis),
        ceiling=ceiling if axis is _AXES[modality] else None,
        rises=tuple(_rises(parts, [*_numbers(weeks, modality)])),
        until=(until, _week_of(until, starts_on, len(weeks))) if until else None,
    )


def _axis(modality: Modality, parts: Sequence[Part | None]) -> Axis | None:
    there = [part for part in parts if part is not None]
    if not there:
        return None
    axis = _AXES[modality]
    if any(axis.of(part) is not None for part in there):
        return axis
    return _REPETITIONS if modality is Modality.RESISTANCE else _AXES[Modality.POSTURE]


def _values(parts: Sequence[Part | None], axis: Axis) -> tuple[float | None, ...]:
    return tuple(None if part is None else axis.of(part) for part in parts)


def _week_of(day: dt.date, starts_on: dt.date, weeks: int) -> int:
    """Return the week that a day falls in; 0 before the first, one more than all after the last."""
    return max(0, min((day - starts_on).days // 7 + 1, weeks + 1))


def _rises(parts: Sequence[Part | None], numbers: Sequence[tuple[str, str]]) -> Iterator[Rise]:
    for week, (was, now) in enumerate(pairwise(parts), 2):
        if was is not None and now is not None:
            for name, what in numbers:
                yield from _rise(week, what, getattr(was, name), getattr(now, name), name)


def _numbers(weeks: Sequence[Week], modality: Modality) -> Iterator[tuple[str, str]]:
    for field in fields_in(weeks, modality):
        if field.name not in _NO_DOSE:
            yield field.name, _CALLED.get(field.name, field.label.lower())
    if modality is Modality.IMPACT:
        yield "peak_bw", _CALLED["peak_bw"]


def _rise(week: int, what: str, was: float | None, now: float | None, name: str) -> Iterator[Rise]:
    if was is None or now is None or was == now:
        return
    # A weight that can be lifted fewer times is the heavier one.
    if (now < was) == (name == "could_lift"):
        yield Rise(week=week, what=what, was=was, became=now)
