"""Worry about falling over time: totals and bands in one table, and the picture."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from patients.measured.chart import Mark, chart
from patients.measured.page.words import signed
from patients.measured.worry import SOURCE, Answered, worry_series


@dataclass(frozen=True)
class WorryRow:
    """One day in words; change is against the day with a total before it, or ""."""

    on: dt.date
    result: str
    change: str


@dataclass(frozen=True)
class WorryBlock:
    """The worry scale for reading, newest first; picture is "" with less than two totals."""

    rows: tuple[WorryRow, ...]
    picture: str
    source: str = SOURCE


def worry_block(days: Sequence[Answered], marks: Sequence[Mark] = ()) -> WorryBlock | None:
    """Return the scale of all days, given oldest first; None where it was never answered."""
    if not days:
        return None
    series = worry_series(days)
    several = series is not None and len(series.points) > 1
    rows = [_row(days[: i + 1]) for i in range(len(days))]
    return WorryBlock(
        rows=tuple(reversed(rows)),
        picture=chart(series, marks, name="chart-worry") if series and several else "",
    )


def _row(until: Sequence[Answered]) -> WorryRow:
    *before, day = until
    return WorryRow(day.on, day.words, _change(before, day))


def _change(before: Sequence[Answered], day: Answered) -> str:
    now = day.concern
    earlier = [(one.on, one.concern) for one in before if one.concern is not None]
    if now is None or not earlier:
        return ""
    on, then = earlier[-1]
    size = signed(now.total - then.total, 0)
    bands = f"still {now.band}" if now.band == then.band else f"from {then.band} to {now.band}"
    return f"{size} since {on.day} {on:%b %Y}, {bands}"
