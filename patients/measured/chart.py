"""A measure over time as a picture: its points, the error around the baseline, the days.

Plain SVG with presentation attributes only; ink and greys, so that print loses nothing.
Points that cannot be compared are hollow. The page puts the same numbers in a table.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from html import escape
from itertools import product

from patients.facts.units import show_number
from patients.measured.series import Point, Series

WIDTH, HEIGHT = 720, 264
_LEFT, _RIGHT, _TOP, _BOTTOM = 64, 24, 30, 34
_INK, _QUIET, _HAIR, _BAND = "#1d1b18", "#5c574e", "#c9c1b0", "#ebe6da"
_SMALL, _TEXT = "14", "15"
#: A lone point, or points of one day, get this much time on both sides.
_ROOM_DAYS = 120
_MOST_TICKS = 7
_MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)
#: Labels closer than this would run into each other, in units of the picture.
_LABEL_ROOM = 52
#: Height of a row of mark labels, the most rows, and about the width of a letter in them.
_ROW, _MOST_ROWS, _LETTER = 16, 4, 7.2
_STEPS = (1, 2, 2.5, 5, 10)
_TINY = 1e-9


@dataclass(frozen=True)
class Mark:
    """Something that happened on a day: a program signed, a bone medicine begun."""

    on: dt.date
    label: str


@dataclass(frozen=True)
class _Frame:
    """Where days and values lie in the picture."""

    first: dt.date
    last: dt.date
    low: float
    high: float
    top: float = 0

    def x(self, day: dt.date) -> float:
        """Return where a day lies."""
        share = (day - self.first).days / (self.last - self.first).days
        return round(_LEFT + share * (WIDTH - _LEFT - _RIGHT), 1)

    def y(self, value: float) -> float:
        """Return where a value lies."""
        share = (value - self.low) / (self.high - self.low)
        return round(HEIGHT - _BOTTOM - share * (HEIGHT - _TOP - _BOTTOM - self.top), 1)


def chart(series: Series, marks: Sequence[Mark] = (), name: str = "chart") -> str:
    """Return the SVG of a series; name makes its ids unique on the page.

    A mark before the first or after the last point widens the time shown. Marks that stand
    too close for their labels keep their line, and are named in the description.
    """
    frame = _frame(series, marks)
    placed = _placed(marks, frame)
    high = max((p.row for p in placed if p.row is not None), default=-1) + 1
    frame = replace(frame, top=_ROW * high)
    parts = (
        *_band(series, frame),
        *_values_axis(series, frame),
        *_days_axis(frame),
        *(_mark_line(p, frame) for p in placed),
        *(_mark_label(p, frame) for p in placed if p.row is not None),
        _line(series.points, frame),
        *(_dot(point, frame) for point in series.points),
        *_labels(series, frame),
    )
    return svg(name, _title(series), _description(series, marks), HEIGHT, parts)


def svg(name: str, title: str, description: str, height: int, parts: Iterable[str]) -> str:
    """Return a picture of the house's width, with its title first."""
    return element(
        "svg",
        element("title", escape(title), id=f"{name}-title"),
        element("desc", escape(description), id=f"{name}-desc"),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
        viewBox=f"0 0 {WIDTH} {height}",
        width=WIDTH,
        height=height,
    )


def element(tag: str, *inside: str, **attributes: object) -> str:
    """Return one element; underscores in attribute names stand for hyphens."""
    pairs = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(str(value))}"'
        for key, value in attributes.items()
    )
    return f"<{tag}{pairs}>{''.join(inside)}</{tag}>"


def text(x: float, y: float, words: str, **more: object) -> str:
    """Return a label."""
    look: dict[str, object] = {"font_size": _SMALL, "fill": _INK, **more}
    return element("text", escape(words), x=round(x, 1), y=round(y, 1), **look)


def line(x1: float, y1: float, x2: float, y2: float, **more: object) -> str:
    """Return a straight line."""
    look: dict[str, object] = {"stroke": _INK, "stroke_width": 1, **more}
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **look)


def _frame(series: Series, marks: Sequence[Mark]) -> _Frame:
    days = [p.on for p in series.points] + [m.on for m in marks]
    values = [p.value for p in series.points] + list(series.band or ())
    first, last = min(days), max(days)
    # Some air at both ends, so that no point lies on the axis.
    air = max(_ROOM_DAYS if first == last else 0, (last - first).days // 16, 10)
    low, high = _padded(min(values), max(values))
    return _Frame(first - dt.timedelta(days=air), last + dt.timedelta(days=air), low, high)


def _padded(low: float, high: float) -> tuple[float, float]:
    air = (high - low) * 0.12 or abs(high) * 0.1 or 1.0
    return low - air, high + air


def value_ticks(low: float, high: float) -> tuple[float, ...]:
    """Return round values between two, three to six of them."""
    rough = (high - low) / 4
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(s * power for s in _STEPS if s * power >= rough - _TINY)
    first, last = math.ceil(low / step - _TINY), math.floor(high / step + _TINY)
    return tuple(round(i * step, 10) for i in range(first, last + 1))


def day_ticks(first: dt.date, last: dt.date) -> tuple[dt.date, ...]:
    """Return firsts of months between two days, evenly spaced, at most seven."""
    months = range(first.year * 12 + first.month - 1, last.year * 12 + last.month)
    for step in _MONTH_STEPS:
        days = (dt.date(m // 12, m % 12 + 1, 1) for m in months if m % step == 0)
        found = tuple(day for day in days if first <= day <= last)
        if len(found) <= _MOST_TICKS:
            return found
    return ()


def _values_axis(series: Series, frame: _Frame) -> Iterable[str]:
    unit = f"{series.label}, {series.unit}".rstrip(", ")
    yield text(8, 16, unit, font_size=_TEXT, font_weight="bold")
    ticks = value_ticks(frame.low, frame.high)
    decimals = max(_decimals(value) for value in ticks)
    for value in ticks:
        y = frame.y(value)
        yield line(_LEFT, y, WIDTH - _RIGHT, y, stroke=_HAIR)
        words = show_number(value, decimals)
        yield text(_LEFT - 8, y + 5, words, text_anchor="end", fill=_QUIET)


def _decimals(value: float) -> int:
    return len(f"{value:.10f}".rstrip("0").partition(".")[2])


def _band(series: Series, frame: _Frame) -> Iterable[str]:
    if series.band is None:
        return
    low, high = (frame.y(value) for value in series.band)
    width = WIDTH - _RIGHT - _LEFT
    yield element("rect", x=_LEFT, y=high, width=width, height=round(low - high, 1), fill=_BAND)
    for y in (low, high):
        yield line(_LEFT, y, WIDTH - _RIGHT, y, stroke=_QUIET, stroke_dasharray="2 4")
    yield text(_LEFT + 6, low - 6, "error around the baseline", fill=_QUIET)


def _days_axis(frame: _Frame) -> Iterable[str]:
    y = HEIGHT - _BOTTOM
    yield line(_LEFT, y, WIDTH - _RIGHT, y)
    days = day_ticks(frame.first, frame.last)
    yearly = all(day.month == 1 for day in days)
    for day in days:
        x = frame.x(day)
        yield line(x, y, x, y + 6)
        yield text(x, y + 22, f"{day:%Y}" if yearly else f"{day:%b %Y}", text_anchor="middle")


@dataclass(frozen=True)
class _Placed:
    """A mark with the row of its label, None where it has no room, and the side it reads to."""

    mark: Mark
    row: int | None
    before: bool


def _placed(marks: Sequence[Mark], frame: _Frame) -> list[_Placed]:
    """Return the marks, newest first, each label on the first row where it has room."""
    taken: list[list[tuple[float, float]]] = [[] for _ in range(_MOST_ROWS)]
    found = []
    for mark in sorted(marks, key=lambda m: m.on, reverse=True):
        room = _room(mark, frame, taken)
        if room is None:
            found.append(_Placed(mark, None, False))
            continue
        row, before = room
        taken[row].append(_label_span(mark, before, frame))
        found.append(_Placed(mark, row, before))
    return found


def _room(
    mark: Mark, frame: _Frame, taken: Sequence[Iterable[tuple[float, float]]]
) -> tuple[int, bool] | None:
    """Return row and side where a label runs into no other and not out of the picture."""
    for row, before in product(range(_MOST_ROWS), (False, True)):
        left, right = _label_span(mark, before, frame)
        free = all(right < start or left > end for start, end in taken[row])
        if free and left >= 0 and right <= WIDTH:
            return row, before
    return None


def _label_span(mark: Mark, before: bool, frame: _Frame) -> tuple[float, float]:
    """Return where a label begins and ends, before or after its line."""
    x, width = frame.x(mark.on), 5 + _LETTER * len(mark.label)
    return (x - width, x) if before else (x, x + width)


def _mark_line(placed: _Placed, frame: _Frame) -> str:
    x, y = frame.x(placed.mark.on), _mark_y(placed.row)
    return line(x, y - 10, x, HEIGHT - _BOTTOM, stroke_dasharray="6 3")


def _mark_label(placed: _Placed, frame: _Frame) -> str:
    x = frame.x(placed.mark.on)
    place = {"text_anchor": "end"} if placed.before else {}
    # White around the letters, where the line of another mark runs through them.
    halo = {"stroke": "#ffffff", "stroke_width": 4, "paint_order": "stroke"}
    where = x - 5 if placed.before else x + 5
    return text(where, _mark_y(placed.row), placed.mark.label, **place, **halo)


def _mark_y(row: int | None) -> int:
    """Return the height of a label; a line without one begins below them all."""
    return _TOP + 12 + _ROW * (_MOST_ROWS if row is None else row)


def _line(points: Iterable[Point], frame: _Frame) -> str:
    places = [f"{frame.x(p.on)},{frame.y(p.value)}" for p in points if p.comparable]
    return element("polyline", points=" ".join(places), fill="none", stroke=_INK, stroke_width=2)


def _dot(point: Point, frame: _Frame) -> str:
    fill = _INK if point.comparable else "#ffffff"
    return element(
        "circle",
        cx=frame.x(point.on),
        cy=frame.y(point.value),
        r=5,
        fill=fill,
        stroke=_INK,
        stroke_width=2,
    )


def _labels(series: Series, frame: _Frame) -> Iterable[str]:
    """Yield the value of each point that has room for it, from the newest back."""
    free = math.inf
    for point in reversed(series.points):
        x = frame.x(point.on)
        if free - x >= _LABEL_ROOM:
            free = x
            words = show_number(point.value, series.decimals)
            yield text(x, frame.y(point.value) - 11, words, text_anchor="middle")


def _title(series: Series) -> str:
    return f"{series.label[:1].upper()}{series.label[1:]} over time"


def _description(series: Series, marks: Sequence[Mark]) -> str:
    """Return the picture in words, for whoever does not see it."""
    said = [
        f"{p.on:%-d %b %Y} {show_number(p.value, series.decimals)}"
        + ("" if p.comparable else " (not comparable)")
        for p in series.points
    ]
    unit = f" in {series.unit}" if series.unit else ""
    marked = [f"{m.on:%-d %b %Y} {m.label}" for m in sorted(marks, key=lambda m: m.on)]
    more = f" Marked: {', '.join(marked)}." if marked else ""
    return f"Values{unit}: {', '.join(said)}.{more}"
