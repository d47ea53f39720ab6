"""What happened in an episode, in lanes over the days: moments and spans, and their picture."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from html import escape

from patients.facts.in_words import day_text
from patients.measured.chart import WIDTH, day_ticks, element, line, svg, text


class Lane(StrEnum):
    """A row of the picture."""

    PROGRAM = "Program"
    REVIEW = "Review"
    FALL = "Fall or sign"
    PAIN = "Pain"
    FRACTURE = "Broken bone"
    TESTS = "Tests"
    SCAN = "Scan, blood"
    MEDICINE = "Medicine"
    LEAVE = "Clearance"


@dataclass(frozen=True, kw_only=True)
class Moment:
    """Something that happened on a day, or held from a day to another.

    until   the last day that it held, or is to hold; None for what is of one day
    """

    on: dt.date
    lane: Lane
    words: str
    until: dt.date | None = None

    @property
    def days(self) -> str:
        """Return the day or days in words."""
        return day_text(self.on) + (f" to {day_text(self.until)}" if self.until else "")


_LEFT, _RIGHT, _TOP, _LANE, _BOTTOM = 116, 40, 12, 24, 34
_DOT, _BAR = 4.5, 10
_INK, _QUIET, _HAIR, _FILL = "#1d1b18", "#5c574e", "#c9c1b0", "#cfc6b3"
#: Days shown before the first and after the last.
_AIR = 10


def newest_first(moments: Iterable[Moment]) -> list[Moment]:
    """Return moments as the table lists them."""
    lanes = tuple(Lane)
    return sorted(moments, key=lambda one: (-one.on.toordinal(), lanes.index(one.lane)))


def picture(moments: Sequence[Moment], first: dt.date, today: dt.date, name: str) -> str:
    """Return the SVG of an episode from its first day to today, and what is known to come.

    What lies before the episode is not drawn; a span that began before it is cut.
    """
    days = [one.until or one.on for one in moments]
    frame = _Frame(first - dt.timedelta(days=_AIR), max([today, *days]) + dt.timedelta(days=_AIR))
    lanes = [lane for lane in Lane if any(one.lane is lane for one in moments)]
    height = _TOP + _LANE * len(lanes) + _BOTTOM
    rows = {lane: _TOP + _LANE * (n + 0.5) for n, lane in enumerate(lanes)}
    parts = (
        *_axis(frame, height),
        *_lanes(rows),
        *(part for one in moments for part in _drawn(one, frame, rows[one.lane])),
        *_today(frame, today, height),
    )
    told = f"{len(moments)} entries in {len(lanes)} rows; the table below tells each of them."
    return svg(name, "The episode over time", told, height, parts)


@dataclass(frozen=True)
class _Frame:
    first: dt.date
    last: dt.date

    def x(self, day: dt.date) -> float:
        """Return where a day lies; one outside lies at the edge."""
        inside = min(max(day, self.first), self.last)
        share = (inside - self.first).days / (self.last - self.first).days
        return round(_LEFT + share * (WIDTH - _LEFT - _RIGHT), 1)


def _axis(frame: _Frame, height: float) -> Iterator[str]:
    foot = height - _BOTTOM
    for day in day_ticks(frame.first, frame.last):
        x = frame.x(day)
        yield line(x, _TOP, x, foot, stroke=_HAIR)
        yield text(x, foot + 18, f"{day:%b %Y}", fill=_QUIET, text_anchor="middle")


def _lanes(rows: dict[Lane, float]) -> Iterator[str]:
    for lane, y in rows.items():
        yield text(0, y + 5, str(lane))
        yield line(_LEFT, y, WIDTH - _RIGHT, y, stroke=_HAIR)


def _drawn(one: Moment, frame: _Frame, y: float) -> Iterator[str]:
    """Yield a span as a bar and a moment as a dot; the words show where a pointer rests."""
    title = element("title", escape(f"{one.days}: {one.words}"))
    x = frame.x(one.on)
    if one.until is not None and one.until > frame.first:
        wide = max(frame.x(one.until) - x, 2)
        look = {"fill": _FILL, "stroke": _INK, "stroke_width": 1}
        yield element("rect", title, x=x, y=y - _BAR / 2, width=wide, height=_BAR, **look)
    elif one.on >= frame.first:
        yield element("circle", title, cx=x, cy=y, r=_DOT, fill=_INK)


def _today(frame: _Frame, today: dt.date, height: float) -> Iterator[str]:
    x = frame.x(today)
    yield line(x, _TOP, x, height - _BOTTOM, stroke_dasharray="4 3")
