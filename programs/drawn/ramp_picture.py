"""A ramp as a picture: its line over the weeks, its ceiling, and below it what rises when.

Plain SVG in the colour of the text around it, so that it reads in the dark, in forced colours
and on paper. The page puts the same in a table.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from patients.measured.chart import element, line, text, value_ticks
from programs.drawn.ramps import Ramp

WIDTH = 400
_LEFT, _RIGHT, _TOP, _PLOT, _ROW = 92, 12, 26, 104, 17
_INK = "currentColor"
_FAINT = {"stroke": _INK, "stroke_opacity": 0.3}
#: Weeks named below the line.
_EVERY = 4
_ROOM_ABOVE = 1.08


@dataclass(frozen=True, kw_only=True)
class _Frame:
    """Where weeks and values lie."""

    weeks: int
    top: float

    def x(self, week: float) -> float:
        """Return where a week begins; the first is 1."""
        return round(_LEFT + (week - 1) / self.weeks * (WIDTH - _LEFT - _RIGHT), 1)

    def middle(self, week: int) -> float:
        """Return the middle of a week."""
        return round((self.x(week) + self.x(week + 1)) / 2, 1)

    def y(self, value: float) -> float:
        """Return where a value lies."""
        return round(_TOP + _PLOT * (1 - value / self.top), 1)


def picture(ramp: Ramp, link: str = "") -> str:
    """Return the SVG of a ramp.

    link   an address to which the weeks of each stretch are added, for a mouse or a finger; by
           keyboard the same stand in the table
    """
    frame, title = _frame(ramp), f"{ramp.name}: {ramp.axis.words}"
    bottom = _TOP + _PLOT
    rows = bottom + 24 + _ROW * len(ramp.what_rises)
    parts = (
        text(0, 14, title, font_weight="bold", fill=_INK),
        *_values_axis(frame),
        *_weeks_axis(frame, bottom),
        *_no_room(ramp, frame),
        *_path(ramp.before, frame, stroke_width=1.5, stroke_dasharray="2 4"),
        *_path(ramp.values, frame, stroke_width=2.5),
        *_ceiling(ramp, frame),
        *_until(ramp, frame),
        *_rows(ramp, frame, bottom + 24),
    )
    links = [*_links(ramp, frame, link)] if link else []
    return framed(f"ramp-{ramp.modality}", title, said(ramp), rows, parts, links)


def framed(
    name: str, title: str, told: str, height: float, parts: Sequence[str], links: Sequence[str] = ()
) -> str:
    """Return a picture of this width, with its title and what it shows in words.

    The links lie over the picture, not in it: to a screen reader a picture has no parts.
    """
    shown = element(
        "g",
        element("title", escape(title), id=f"{name}-title"),
        element("desc", escape(told), id=f"{name}-desc"),
        *parts,
        role="img",
        aria_labelledby=f"{name}-title",
        aria_describedby=f"{name}-desc",
    )
    over = element("g", *links, aria_hidden="true") if links else ""
    return element(
        "svg",
        shown + over,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH} {round(height)}",
        width=WIDTH,
        height=round(height),
    )


def said(ramp: Ramp) -> str:
    """Return what a ramp shows in one sentence."""
    there = [value for value in ramp.values if value is not None]
    told = [f"From {there[0]:g} to {there[-1]:g} {ramp.axis.unit}"]
    if ramp.ceiling is not None:
        told.append(f"at most {ramp.ceiling:g}")
    if ramp.absent:
        told.append(f"no room in {len(ramp.absent)} of {len(ramp.values)} weeks")
    if ramp.until:
        told.append(f"only until {ramp.until[0]:%-d %B %Y}")
    return f"{'; '.join(told)}. The table below has every week."


def _frame(ramp: Ramp) -> _Frame:
    held = [value for value in (*ramp.values, *ramp.before) if value is not None]
    top = max(max(held), ramp.ceiling or 0)
    return _Frame(weeks=len(ramp.values), top=top * _ROOM_ABOVE)


def _values_axis(frame: _Frame) -> Iterator[str]:
    for value in value_ticks(0, frame.top):
        y = frame.y(value)
        yield line(_LEFT, y, WIDTH - _RIGHT, y, **_FAINT)
        yield text(_LEFT - 6, y + 5, f"{value:g}", text_anchor="end", fill=_INK)


def _weeks_axis(frame: _Frame, bottom: float) -> Iterator[str]:
    yield line(_LEFT, bottom, WIDTH - _RIGHT, bottom, stroke=_INK)
    yield text(0, bottom + 17, "week", fill=_INK)
    for week in (1, *range(_EVERY, frame.weeks + 1, _EVERY)):
        x = frame.middle(week)
        yield line(x, bottom, x, bottom + 4, stroke=_INK)
        yield text(x, bottom + 17, f"{week}", text_anchor="middle", fill=_INK)


def _path(values: Sequence[float | None], frame: _Frame, **look: object) -> Iterator[str]:
    """Draw steps, one a week; where the kind is not there the line breaks."""
    drawn, pen = [], False
    for week, value in enumerate(values, 1):
        if value is not None:
            y = frame.y(value)
            drawn.append(f"{'V' if pen else f'M{frame.x(week)} '}{y}H{frame.x(week + 1)}")
        pen = value is not None
    if drawn:
        yield element("path", d="".join(drawn), fill="none", stroke=_INK, **look)


def _no_room(ramp: Ramp, frame: _Frame) -> Iterator[str]:
    """Shade the weeks that have no room for it, and say so over the first."""
    for week in ramp.absent:
        yield element(
            "rect",
            x=frame.x(week),
            y=_TOP,
            width=round(frame.x(week + 1) - frame.x(week), 1),
            height=_PLOT,
            fill=_INK,
            fill_opacity=0.12,
        )
    if ramp.absent:
        x = min(frame.x(ramp.absent[0]) + 3, WIDTH - _RIGHT - 60)
        yield text(x, _TOP + _PLOT - 8, "no room", fill=_INK)


def _ceiling(ramp: Ramp, frame: _Frame) -> Iterator[str]:
    if ramp.ceiling is not None:
        y = frame.y(ramp.ceiling)
        look = {"stroke": _INK, "stroke_width": 1.5, "stroke_dasharray": "6 3"}
        yield line(_LEFT, y, WIDTH - _RIGHT, y, **look)
        words = f"at most {ramp.ceiling:g}"
        yield text(WIDTH - _RIGHT, y - 5, words, text_anchor="end", fill=_INK)


def _until(ramp: Ramp, frame: _Frame) -> Iterator[str]:
    """Draw the last day of a clearance; where it lies to the right its words stand before it."""
    if ramp.until:
        day, week = ramp.until
        x = frame.x(min(week, frame.weeks) + 1)
        yield line(x, _TOP, x, _TOP + _PLOT, stroke=_INK, stroke_width=2)
        before = x > (WIDTH + _LEFT) / 2
        place = {"text_anchor": "end" if before else "start", "fill": _INK}
        words = f"only until {day:%-d %b %Y}"
        yield text(x - 5 if before else x + 5, _TOP + _PLOT - 24, words, **place)


def _links(ramp: Ramp, frame: _Frame, link: str) -> Iterator[str]:
    """Lay a link over each stretch of weeks that holds it."""
    for one in ramp.stretches:
        if one.value is not None:
            x, right = frame.x(one.first), frame.x(one.last + 1)
            area = {"x": x, "y": _TOP, "width": round(right - x, 1), "height": _PLOT}
            yield element(
                "a",
                element("title", f"Change week {one.weeks}: {one.value:g} {ramp.axis.unit}"),
                element("rect", **area, fill=_INK, fill_opacity=0, class_="weeks-link"),
                href=f"{link}&from={one.first}&to={one.last}#change",
                tabindex="-1",
            )


def _rows(ramp: Ramp, frame: _Frame, top: float) -> Iterator[str]:
    """Mark the weeks in which each number rises, a row for each."""
    for index, what in enumerate(ramp.what_rises):
        y = top + _ROW * index + 12
        yield text(0, y, what, fill=_INK, font_size="13")
        yield line(_LEFT, y - 4, WIDTH - _RIGHT, y - 4, **_FAINT)
        for rise in ramp.rises:
            if rise.what == what:
                x = frame.middle(rise.week)
                yield element("path", d=f"M{x - 4.5} {y}h9l-4.5 -9z", fill=_INK)
