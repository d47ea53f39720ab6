"""Marks on paper: strokes, shapes and discs in black and grey, and how they become SVG.

Coordinates are those of a pose (percent of body height, ground at y = 0, y upward) until the
mark is written, when the frame says where it stands in the picture.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from programs.figures.poses import Point

BLACK, DARK, MIDDLE, SOFT, LIGHT, PALE, WHITE = (
    "#000000",
    "#444444",
    "#777777",
    "#b4b4b4",
    "#d4d4d4",
    "#efefef",
    "#ffffff",
)
THIN, LINE = 0.9, 1.6


@dataclass(frozen=True)
class Stroke:
    """An open line through points, with round ends."""

    points: tuple[Point, ...]
    width: float = LINE
    colour: str = DARK


@dataclass(frozen=True)
class Lines:
    """Several open lines drawn alike, as one element."""

    each: tuple[tuple[Point, ...], ...]
    width: float = THIN
    colour: str = BLACK


@dataclass(frozen=True)
class Shape:
    """A closed shape; round widens it by a rounded edge of the fill's colour."""

    points: tuple[Point, ...]
    fill: str = WHITE
    line: str = DARK
    width: float = LINE


@dataclass(frozen=True)
class Disc:
    """A filled circle."""

    centre: Point
    radius: float
    fill: str = WHITE
    line: str = DARK
    width: float = LINE


@dataclass(frozen=True)
class Curve:
    """A step of an outline: on to a point, by one or two points that draw it aside."""

    end: Point
    by: tuple[Point, ...] = ()


@dataclass(frozen=True)
class Cap:
    """A step of an outline: round an end of this radius to a point, clockwise as seen."""

    end: Point
    radius: float


@dataclass(frozen=True)
class Outline:
    """A closed outline from a point by its steps; the last one closes it."""

    start: Point
    steps: tuple[Curve | Cap, ...]


@dataclass(frozen=True)
class Body:
    """Outlines drawn as one piece: where they meet there is no line."""

    outlines: tuple[Outline, ...]
    fill: str = WHITE
    line: str = BLACK
    width: float = THIN


Mark = Stroke | Lines | Shape | Disc | Body


@dataclass(frozen=True)
class Frame:
    """Where a panel's origin stands in the picture."""

    left: float
    ground: float


@dataclass(frozen=True)
class Extent:
    """How far marks reach: left, bottom, right, top."""

    left: float
    bottom: float
    right: float
    top: float


def extent_of(marks: Iterable[Mark]) -> Extent:
    """Return how far marks reach, half of their lines included."""
    found = [(x, y, edge) for mark in marks for points, edge in (_edged(mark),) for x, y in points]
    return Extent(
        left=min(x - edge for x, _, edge in found),
        bottom=min(y - edge for _, y, edge in found),
        right=max(x + edge for x, _, edge in found),
        top=max(y + edge for _, y, edge in found),
    )


def _edged(mark: Mark) -> tuple[tuple[Point, ...], float]:
    """Return a mark's points and how far it is drawn beyond them."""
    if isinstance(mark, Disc):
        return (mark.centre,), mark.radius + mark.width / 2
    if isinstance(mark, Body):
        return tuple(point for one in mark.outlines for point in _turns(one)), mark.width
    if isinstance(mark, Lines):
        return tuple(point for line in mark.each for point in line), mark.width / 2
    return mark.points, mark.width / 2


def _turns(outline: Outline) -> tuple[Point, ...]:
    """Return the points an outline passes, or is drawn towards; a round end by its tip."""
    points = [outline.start]
    for step in outline.steps:
        if isinstance(step, Cap):
            points.append(_tip(points[-1], step))
        else:
            points.extend(step.by)
        points.append(step.end)
    return tuple(points)


def _tip(before: Point, cap: Cap) -> Point:
    middle = ((before[0] + cap.end[0]) / 2, (before[1] + cap.end[1]) / 2)
    turn = math.atan2(cap.end[1] - before[1], cap.end[0] - before[0]) + math.pi / 2
    return (
        middle[0] + cap.radius * math.cos(turn),
        middle[1] + cap.radius * math.sin(turn),
    )


def svg_of(mark: Mark, frame: Frame) -> str:
    """Return one SVG element, presentation attributes only."""
    if isinstance(mark, Disc):
        x, y = _placed(mark.centre, frame)
        return (
            f'<circle cx="{x}" cy="{y}" r="{_number(mark.radius)}" fill="{mark.fill}"'
            f' stroke="{mark.line}" stroke-width="{_number(mark.width)}"/>'
        )
    if isinstance(mark, Body):
        return _body_svg(mark, frame)
    if isinstance(mark, Lines):
        return _lines_svg(mark, frame)
    points = " ".join(",".join(_placed(point, frame)) for point in mark.points)
    if isinstance(mark, Shape):
        return (
            f'<polygon points="{points}" fill="{mark.fill}" stroke="{mark.line}"'
            f' stroke-width="{_number(mark.width)}" stroke-linejoin="round"/>'
        )
    return (
        f'<polyline points="{points}" fill="none" stroke="{mark.colour}"'
        f' stroke-width="{_number(mark.width)}" stroke-linecap="round" stroke-linejoin="round"/>'
    )


def _lines_svg(lines: Lines, frame: Frame) -> str:
    path = "".join(
        f"M{_pair(_rounded(line[0], frame), (0.0, 0.0))}L"
        + " ".join(_pair(_rounded(point, frame), (0.0, 0.0)) for point in line[1:])
        for line in lines.each
    )
    return (
        f'<path d="{path}" fill="none" stroke="{lines.colour}"'
        f' stroke-width="{_number(lines.width)}" stroke-linecap="round"/>'
    )


#: A line drawn on an outline, not around it, looks as strong when it is this much wider.
_ALONE = 1.25


def _body_svg(body: Body, frame: Frame) -> str:
    """Return a piece: its line all round first, its fill over the inner half of the line."""
    path = "".join(_path(one, frame) for one in body.outlines)
    if not body.width:
        return f'<path d="{path}" fill="{body.fill}"/>'
    if len(body.outlines) == 1:
        return _inked(path, body, _ALONE * body.width)
    return f'{_inked(path, body, 2 * body.width)}<path d="{path}" fill="{body.fill}"/>'


def _inked(path: str, body: Body, width: float) -> str:
    line = f'stroke="{body.line}" stroke-width="{_number(width)}" stroke-linejoin="round"'
    return f'<path d="{path}" fill="{body.fill}" {line}/>'


def _path(outline: Outline, frame: Frame) -> str:
    """Return an outline as a path; each step is written from where the last one ended."""
    at = _rounded(outline.start, frame)
    drawn = [f"M{_pair(at, (0.0, 0.0))}"]
    for step in outline.steps:
        end = _rounded(step.end, frame)
        by = _round_end(at, end, step.radius) if isinstance(step, Cap) else _all(step.by, frame)
        drawn.append("lqc"[len(by)] + " ".join(_pair(point, at) for point in (*by, end)))
        at = end
    return "".join(drawn) + "z"


def _all(points: tuple[Point, ...], frame: Frame) -> tuple[Point, ...]:
    return tuple(_rounded(point, frame) for point in points)


def _round_end(start: Point, end: Point, radius: float) -> tuple[Point, Point]:
    """Return what draws half a circle, two hundredths wide of it: shorter than an arc."""
    across = math.hypot(end[0] - start[0], end[1] - start[1])
    out = 4.0 / 3.0 * radius / across
    aside = ((end[1] - start[1]) * out, (start[0] - end[0]) * out)
    first, last = ((x + aside[0], y + aside[1]) for x, y in (start, end))
    return first, last


def _rounded(point: Point, frame: Frame) -> Point:
    return round(frame.left + point[0], 1), round(frame.ground - point[1], 1)


def _pair(point: Point, origin: Point) -> str:
    return f"{_short(point[0] - origin[0])} {_short(point[1] - origin[1])}".replace(" -", "-")


def _short(value: float) -> str:
    """Return a number with one decimal at most: a twentieth of a millimetre on paper."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text.replace("0.", ".") if abs(value) < 1.0 else text


def _placed(point: Point, frame: Frame) -> tuple[str, str]:
    return _number(frame.left + point[0]), _number(frame.ground - point[1])


def _number(value: float) -> str:
    """Return a number with two decimals at most, the same on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def box(left: float, bottom: float, right: float, top: float, fill: str = WHITE) -> Shape:
    """Return an upright rectangle."""
    return Shape(((left, bottom), (right, bottom), (right, top), (left, top)), fill)


def arrow(
    start: Point, end: Point, *, bow: float = 0.0, both: bool = False, width: float = 1.8
) -> tuple[Mark, ...]:
    """Return an arrow. bow bends it to its left side; both gives it two heads."""
    path = _bowed(start, end, bow)
    marks: list[Mark] = [Stroke(path[1:-1] if both else path[:-1], width, BLACK)]
    marks.append(_head(path[-2], path[-1]))
    if both:
        marks.append(_head(path[1], path[0]))
    return tuple(marks)


def _bowed(start: Point, end: Point, bow: float, parts: int = 12) -> tuple[Point, ...]:
    across = (start[1] - end[1], end[0] - start[0])
    length = math.hypot(*across)
    points = []
    for step in range(parts + 1):
        t = step / parts
        off = 4.0 * bow * t * (1.0 - t) / length
        points.append(
            (
                start[0] + t * (end[0] - start[0]) + off * across[0],
                start[1] + t * (end[1] - start[1]) + off * across[1],
            )
        )
    return tuple(points)


def _head(behind: Point, tip: Point, size: float = 4.2) -> Shape:
    back = math.atan2(behind[1] - tip[1], behind[0] - tip[0])
    wings = [
        (tip[0] + size * math.cos(back + turn), tip[1] + size * math.sin(back + turn))
        for turn in (0.45, -0.45)
    ]
    return Shape((tip, wings[0], wings[1]), BLACK, BLACK, THIN)
