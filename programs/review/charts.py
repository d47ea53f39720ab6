"""Geometry of the review's small charts: bars of adherence, pain and effort over the days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from programs.review.adherence import Planned, Session, WeekCount
from programs.review.grounds import PAIN_STOP
from programs.review.precautions_to_lift import ADVANCE_PERCENT, PAIN_EASY

BAR_PX = 46
WIDTH_PX, HEIGHT_PX = 760, 132
LEFT_PX, RIGHT_PX, TOP_PX, BOTTOM_PX = 28, 8, 8, 24
HIGHEST = 10
#: Week numbers stand this far apart at least.
LABEL_PX = 26


@dataclass(frozen=True, kw_only=True)
class Bar:
    """A bar of what was done; the mark stands where a program may advance."""

    width: float
    done: float
    mark: float


def bar(count: WeekCount) -> Bar | None:
    """Return the bar of a week, or None where nothing was planned."""
    if count.percent is None:
        return None
    return Bar(
        width=BAR_PX,
        done=round(BAR_PX * count.percent / 100, 1),
        mark=round(BAR_PX * ADVANCE_PERCENT / 100, 1),
    )


@dataclass(frozen=True, kw_only=True)
class Point:
    """A value of a day. unsettled: pain that is not known to have settled in 24 hours."""

    x: float
    y: float
    unsettled: bool
    title: str


@dataclass(frozen=True, kw_only=True)
class Tick:
    """A line with its label, across or down."""

    at: float
    label: str


@dataclass(frozen=True, kw_only=True)
class Strip:
    """Values from 0 to 10 over the days of a program, to be drawn."""

    points: tuple[Point, ...]
    across: tuple[Tick, ...]
    weeks: tuple[Tick, ...]
    width: int = WIDTH_PX
    height: int = HEIGHT_PX
    left: int = LEFT_PX
    right: int = WIDTH_PX - RIGHT_PX
    bottom: int = HEIGHT_PX - BOTTOM_PX


def pain_strip(planned: Planned, day: dt.date, sessions: Iterable[Session]) -> Strip:
    """Return the worst pain of each day, with lines where it holds and where it stops."""
    known = [one for one in sessions if one.pain is not None]
    worst: dict[dt.date, Session] = {}
    for one in sorted(known, key=lambda one: (one.pain or 0, one.pain_settled is not True)):
        worst[one.on] = one
    scale = _Scale(planned, day)
    return Strip(
        points=tuple(_pain_point(scale, one) for one in sorted(worst.values(), key=_on)),
        across=tuple(scale.line(n) for n in (0, PAIN_EASY, PAIN_STOP, HIGHEST)),
        weeks=scale.weeks(),
    )


def effort_strip(planned: Planned, day: dt.date, sessions: Iterable[Session]) -> Strip:
    """Return the greatest effort of each day."""
    greatest: dict[dt.date, int] = {}
    for one in sessions:
        if one.effort is not None:
            greatest[one.on] = max(one.effort, greatest.get(one.on, 0))
    scale = _Scale(planned, day)
    return Strip(
        points=tuple(
            Point(x=scale.x(on), y=scale.y(effort), unsettled=False, title=f"{on}: {effort}")
            for on, effort in sorted(greatest.items())
        ),
        across=tuple(scale.line(n) for n in (0, 5, HIGHEST)),
        weeks=scale.weeks(),
    )


def _on(one: Session) -> dt.date:
    return one.on


def _pain_point(scale: _Scale, one: Session) -> Point:
    pain = one.pain or 0
    unsettled = pain > PAIN_EASY and one.pain_settled is not True
    words = ", not known to have settled in 24 hours" if unsettled else ""
    return Point(
        x=scale.x(one.on),
        y=scale.y(pain),
        unsettled=unsettled,
        title=f"{one.on}: {pain} with {one.modality}{words}",
    )


class _Scale:
    """Days to the right, 0 to 10 upwards."""

    def __init__(self, planned: Planned, day: dt.date) -> None:
        self.planned = planned
        self.count = max(1, planned.week_of(day))
        self.start = planned.starts_on
        self.width = WIDTH_PX - LEFT_PX - RIGHT_PX

    def x(self, on: dt.date) -> float:
        return round(LEFT_PX + self.width * ((on - self.start).days + 0.5) / (7 * self.count), 1)

    def y(self, value: float) -> float:
        height = HEIGHT_PX - TOP_PX - BOTTOM_PX
        return round(TOP_PX + height * (1 - value / HIGHEST), 1)

    def line(self, value: int) -> Tick:
        return Tick(at=self.y(value), label=str(value))

    def weeks(self) -> tuple[Tick, ...]:
        each = self.width / self.count
        every = max(1, -int(-LABEL_PX // each))
        return tuple(
            Tick(at=round(LEFT_PX + each * (week - 0.5), 1), label=str(week))
            for week in range(1, self.count + 1, every)
        )


def rows(columns: Sequence[Sequence[WeekCount]]) -> list[tuple[int, list[WeekCount]]]:
    """Return for each week its number and the counts of all modalities."""
    return [(counts[0].week, list(counts)) for counts in zip(*columns, strict=True)]
