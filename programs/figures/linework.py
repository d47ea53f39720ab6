"""Marks on paper: strokes, shapes and discs in black and grey, and how they become SVG.

Coordinates are those of a pose (percent of body height, ground at y = 0, y upward) until the
mark is written, when the frame says where it stands in the picture.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from programs.figures.poses import Point

BLACK, DARK, MIDDLE, LIGHT, PALE, WHITE = (
    "#000000",
    "#444444",
    "#777777",
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


Mark = Stroke | Shape | Disc


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
    return mark.points, mark.width / 2


def svg_of(mark: Mark, frame: Frame) -> str:
    """Return one SVG element, presentation attributes only."""
    if isinstance(mark, Disc):
        x, y = _placed(mark.centre, frame)
        return (
            f'<circle cx="{x}" cy="{y}" r="{_number(mark.radius)}" fill="{mark.fill}"'
            f' stroke="{mark.line}" stroke-width="{_number(mark.width)}"/>'
        )
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


def outlined(
    segments: Iterable[tuple[tuple[Point, ...], float]], fill: str, line: str, edge: float = 0.8
) -> tuple[Mark, ...]:
    """Return rounded parts drawn as one piece: all outlines first, then all fills."""
    parts = tuple(segments)
    outlines = [Stroke(points, width + 2.0 * edge, line) for points, width in parts]
    return (*outlines, *(Stroke(points, width, fill) for points, width in parts))
