"""Her own trend as one picture: a row for each measure over the same days, events through all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from patients.facts.units import show_number
from patients.measured.chart import WIDTH, day_ticks, element, line, svg, text
from patients.measured.trend import Event, Kind, Measured

_LEFT, _RIGHT, _TOP, _ROW, _PLOT, _AXIS, _LINE = 12, 20, 30, 84, 44, 34, 18
_INK, _QUIET, _HAIR, _PAPER = "#1d1b18", "#5c574e", "#c9c1b0", "#ffffff"
#: The line of each kind of event has a dash of its own, so that none is told by colour.
_DASHES = {Kind.PROGRAM: "8 3", Kind.MEDICINE: "2 3", Kind.FRACTURE: ""}
#: Events closer than this share a number's place, one under another.
_NEAR, _MOST_UNDER = 16, 3


@dataclass(frozen=True, kw_only=True)
class _Days:
    """Where a day lies across."""

    first: dt.date
    last: dt.date

    def x(self, day: dt.date) -> float:
        """Return the place of a day."""
        share = (day - self.first).days / (self.last - self.first).days
        return round(_LEFT + share * (WIDTH - _LEFT - _RIGHT), 1)


def trend_chart(measures: Sequence[Measured], events: Sequence[Event], name: str = "trend") -> str:
    """Return the SVG of all measures with their errors, and the events by number under it."""
    days = _days(measures, events)
    high = _TOP + 12 * (_deepest(events, days))
    bottom = high + _ROW * len(measures)
    parts = [*_events(events, days, bottom)]
    for number, one in enumerate(measures):
        parts += _measure(one, high + _ROW * number, days)
    parts += _axis(days, bottom)
    parts += _key(events, bottom + _AXIS + 10)
    height = bottom + _AXIS + 18 + _LINE * len(events)
    return svg(
        name, "All that was measured, over the same days", _said(measures, events), height, parts
    )


def _days(measures: Sequence[Measured], events: Sequence[Event]) -> _Days:
    every = [point.on for one in measures for point in one.series.points]
    every += [event.on for event in events]
    first, last = min(every), max(every)
    air = dt.timedelta(days=max(30, (last - first).days // 16))
    return _Days(first=first - air, last=last + air)


def _places(events: Sequence[Event], days: _Days) -> Iterator[int]:
    """Yield how far down the number of each event stands, so that none hides another."""
    taken: list[float] = []
    for event in events:
        x = days.x(event.on)
        under = sum(abs(x - other) < _NEAR for other in taken)
        taken.append(x)
        yield under % _MOST_UNDER


def _deepest(events: Sequence[Event], days: _Days) -> int:
    return max(_places(events, days), default=0)


def _events(events: Sequence[Event], days: _Days, bottom: float) -> Iterator[str]:
    for number, (event, under) in enumerate(zip(events, _places(events, days), strict=True), 1):
        x, y = days.x(event.on), 14 + 12 * under
        look = {"stroke_dasharray": dash} if (dash := _DASHES[event.kind]) else {}
        yield line(x, y + 4, x, bottom, **look)
        yield text(x + 3, y, str(number), font_weight="bold")


def _key(events: Sequence[Event], top: float) -> Iterator[str]:
    for number, event in enumerate(events, 1):
        y = top + _LINE * (number - 0.4)
        look = {"stroke_dasharray": dash} if (dash := _DASHES[event.kind]) else {}
        yield text(_LEFT, y + 5, str(number), font_weight="bold")
        yield line(_LEFT + 26, y, _LEFT + 62, y, **look)
        yield text(_LEFT + 72, y + 5, f"{event.on:%-d %b %Y}: {event.words}")


def _measure(one: Measured, top: float, days: _Days) -> Iterator[str]:
    series, half = one.series, one.half or 0.0
    low = min(point.value for point in series.points) - half
    high = max(point.value for point in series.points) + half
    if high == low:
        low, high = low - 1, high + 1
    floor = top + 28 + _PLOT

    def y(value: float) -> float:
        return round(floor - (value - low) / (high - low) * _PLOT, 1)

    yield line(_LEFT, floor + 8, WIDTH - _RIGHT, floor + 8, stroke=_HAIR)
    words = f"{series.label[:1].upper()}{series.label[1:]}"
    unit = f", {series.unit}" if series.unit else ""
    halo = {"stroke": _PAPER, "stroke_width": 4, "paint_order": "stroke"}
    yield text(_LEFT, top + 14, f"{words}{unit}", font_weight="bold", **halo)
    joined = [point for point in series.points if point.comparable]
    places = " ".join(f"{days.x(point.on)},{y(point.value)}" for point in joined)
    yield element("polyline", points=places, fill="none", stroke=_QUIET, stroke_width=1.5)
    for point in series.points:
        x = days.x(point.on)
        if half:
            yield line(x, y(point.value - half), x, y(point.value + half), stroke_width=2)
        fill = _INK if point.comparable else _PAPER
        look = {"fill": fill, "stroke": _INK, "stroke_width": 2}
        yield element("circle", cx=x, cy=y(point.value), r=4.5, **look)
    last = series.points[-1]
    shown = show_number(last.value, series.decimals)
    x = days.x(last.on) - 9
    yield text(x, y(last.value) + 5, shown, text_anchor="end", **halo)


def _axis(days: _Days, bottom: float) -> Iterator[str]:
    yield line(_LEFT, bottom, WIDTH - _RIGHT, bottom)
    ticks = day_ticks(days.first, days.last)
    yearly = all(day.month == 1 for day in ticks)
    for day in ticks:
        x = days.x(day)
        yield line(x, bottom, x, bottom + 6)
        yield text(x, bottom + 22, f"{day:%Y}" if yearly else f"{day:%b %Y}", text_anchor="middle")


def _said(measures: Iterable[Measured], events: Iterable[Event]) -> str:
    told = [
        f"{one.series.label}: "
        + ", ".join(
            f"{point.on:%-d %b %Y} {show_number(point.value, one.series.decimals)}"
            for point in one.series.points
        )
        for one in measures
    ]
    marked = [f"{one.on:%-d %b %Y} {one.words}" for one in events]
    return ". ".join((*told, *(["Marked: " + ", ".join(marked)] if marked else []))) + "."
