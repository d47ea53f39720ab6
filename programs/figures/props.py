"""What stands around the body in a figure.

Heights are percent of body height: a worktop of 90 cm is 55 for a body of 164 cm.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from programs.figures.linework import (
    BLACK,
    DARK,
    LIGHT,
    LINE,
    MIDDLE,
    PALE,
    THIN,
    WHITE,
    Body,
    Curve,
    Disc,
    Lines,
    Mark,
    Outline,
    Shape,
    Stroke,
    box,
)
from programs.figures.poses import Point, Skeleton, along

Marks = tuple[Mark, ...]
#: Something that goes with the body: drawn from the points of the pose.
Carried = Callable[[Skeleton], Marks]

WORKTOP, SEAT, BED, RAIL = 55.0, 22.6, 22.0, 62.0
WHEELED_SEAT = 27.0


def worktop(left: float, right: float) -> Marks:
    """The fixed kitchen worktop seen from its end: slab, cupboard with its handle, plinth."""
    return (
        box(left + 8.0, 0.0, right, 6.0, LIGHT),
        box(left + 4.0, 5.0, right, WORKTOP - 3.0),
        Stroke(((left + 2.6, WORKTOP - 8.0), (left + 2.6, WORKTOP - 16.0)), LINE, DARK),
        box(left, WORKTOP - 3.6, right, WORKTOP, LIGHT),
    )


def long_worktop(left: float = 12.0, right: float = 138.0) -> Marks:
    """The same worktop along the picture, behind the body: slab, two doors, plinth."""
    middle, top = (left + right) / 2, WORKTOP - 3.6
    handles = tuple(
        Stroke(((x, top - 4.0), (x, top - 11.0)), LINE, MIDDLE) for x in (middle - 4, middle + 4)
    )
    return (
        _quiet(left + 2.0, 5.0, right - 2.0, top),
        _quiet(left + 4.0, 0.0, right - 4.0, 5.0, PALE),
        Stroke(((middle, 5.0), (middle, top)), THIN, MIDDLE),
        *handles,
        _quiet(left, top, right, WORKTOP, PALE),
    )


def _quiet(left: float, bottom: float, right: float, top: float, fill: str = WHITE) -> Shape:
    return Shape(((left, bottom), (right, bottom), (right, top), (left, top)), fill, MIDDLE, THIN)


def wall(x: float, height: float = 128.0) -> Marks:
    """A wall seen edge-on, hatched on the side away from the body (to the left of x)."""
    return _wall(x, -1.0, height)


def wall_ahead(x: float, height: float = 128.0) -> Marks:
    """A wall seen edge-on with the body on its left."""
    return _wall(x, 1.0, height)


def _wall(x: float, away: float, height: float) -> Marks:
    hatch = tuple(
        ((x + away * 0.8, float(y)), (x + away * 5.0, y - 5.0)) for y in range(8, int(height), 8)
    )
    return (Lines(hatch, THIN, MIDDLE), Stroke(((x, 0.0), (x, height)), 2.2, BLACK))


def chair(x: float, *, arms: bool = False) -> Marks:
    """A firm chair facing right, the seat around x."""
    rest: Marks = (
        Stroke(((x - 10.0, 36.5), (x + 8.0, 36.5)), 2.2, DARK),
        Stroke(((x + 6.0, SEAT), (x + 6.0, 36.5)), LINE, DARK),
    )
    return (
        Stroke(((x - 13.0, 0.0), (x - 12.0, SEAT), (x - 15.0, 54.0)), 2.4, DARK),
        Stroke(((x + 10.0, 0.0), (x + 9.0, SEAT - 2.0)), 2.4, DARK),
        *(rest if arms else ()),
        box(x - 12.5, SEAT - 3.0, x + 11.0, SEAT, LIGHT),
    )


def wheelchair(x: float) -> Marks:
    """A wheelchair facing right, the seat around x: a hand rim, foot rests, a caster."""
    hub = (x - 6.0, 18.0)
    spokes = tuple((hub, along(hub, 45.0 * turn, 15.4)) for turn in range(8))
    front = x + 11.0
    return (
        Stroke(((x - 12.0, 14.0), (x - 14.0, 58.0), (x - 20.0, 59.0)), 2.4, DARK),
        box(x - 12.5, WHEELED_SEAT - 3.0, front, WHEELED_SEAT, LIGHT),
        Stroke(((front, WHEELED_SEAT), (x + 18.0, 5.0), (x + 34.0, 5.0)), 2.2, DARK),
        Stroke(((front - 2.0, WHEELED_SEAT - 3.0), (front - 1.0, 8.0)), 2.0, DARK),
        Disc((front - 1.0, 4.6), 3.8, WHITE, DARK, 1.8),
        Lines(spokes, THIN, MIDDLE),
        Disc(hub, 18.0, "none", DARK, 2.6),
        Disc(hub, 15.4, "none", DARK, THIN),
    )


def chair_ahead(x: float = 75.0, *, rest: bool = True) -> Marks:
    """A firm chair seen from the front, or a stool where it has no rest."""
    behind: Marks = (
        Stroke(((x - 13.0, SEAT), (x - 13.0, 56.0)), 2.4, DARK),
        Stroke(((x + 13.0, SEAT), (x + 13.0, 56.0)), 2.4, DARK),
        box(x - 13.0, 46.0, x + 13.0, 55.0, LIGHT),
    )
    return (
        *(behind if rest else ()),
        Stroke(((x - 15.0, 0.0), (x - 14.0, SEAT - 2.0)), 2.4, DARK),
        Stroke(((x + 15.0, 0.0), (x + 14.0, SEAT - 2.0)), 2.4, DARK),
        box(x - 16.0, SEAT - 3.0, x + 16.0, SEAT, LIGHT),
    )


def bench(left: float, right: float, top: float) -> Marks:
    """A padded bench seen from its side."""
    legs = tuple(Stroke(((x, 0.0), (x, top - 3.0)), 2.2, DARK) for x in (left + 4.0, right - 4.0))
    return (*legs, box(left, top - 3.5, right, top, LIGHT))


def bed(left: float = 14.0, right: float = 128.0, pillow: float | None = None) -> Marks:
    """A firm bed seen from its side, with a thin pillow around x."""
    soft: Marks = (
        ()
        if pillow is None
        else (Shape(_rounded(pillow - 9.0, BED, pillow + 8.0, BED + 3.0), WHITE, MIDDLE, THIN),)
    )
    return (
        Stroke(((left + 3.0, 0.0), (left + 3.0, BED - 8.0)), 2.4, DARK),
        Stroke(((right - 3.0, 0.0), (right - 3.0, BED - 8.0)), 2.4, DARK),
        Stroke(((left, 4.0), (left, BED + 14.0)), 2.8, DARK),
        box(left, BED - 8.0, right, BED, WHITE),
        *soft,
    )


def propped_bed(hip: float = 72.0, left: float = 20.0, right: float = 136.0) -> Marks:
    """A bed seen from its side with pillows stacked behind a body propped up at hip."""
    foot, top = hip - 1.5, BED + 40.0
    slope = ((foot, BED), (foot - 40.0, top), (left + 2.0, top), (left + 2.0, BED))
    seams = tuple(
        Stroke(((foot - up, BED + up), (left + 2.0, BED + up)), THIN, MIDDLE) for up in (13.0, 26.0)
    )
    return (*bed(left, right), Shape(slope, WHITE, MIDDLE, THIN), *seams)


def bed_ahead(x: float = 75.0) -> Marks:
    """A bed seen from its foot, with pillows stacked at its head."""
    return (
        box(x - 40.0, 8.0, x + 40.0, BED),
        Stroke(((x - 37.0, 0.0), (x - 37.0, 8.0)), 2.4, DARK),
        Stroke(((x + 37.0, 0.0), (x + 37.0, 8.0)), 2.4, DARK),
        Shape(_rounded(x - 27.0, BED, x + 27.0, BED + 24.0), WHITE, MIDDLE, THIN),
        Shape(_rounded(x - 25.0, BED + 24.0, x + 25.0, BED + 48.0), WHITE, MIDDLE, THIN),
    )


def bed_from_above(middle: float = 40.0, left: float = 8.0, right: float = 136.0) -> Marks:
    """A bed seen from above, its pillow on the left."""
    pillow = _rounded(left + 4.0, middle - 18.0, left + 30.0, middle + 18.0)
    return (
        box(left, middle - 32.0, right, middle + 32.0),
        Shape(pillow, WHITE, MIDDLE, THIN),
    )


def rolled_towel(x: float, radius: float) -> Carried:
    """A rolled towel on the bed in front of the body, seen from its end."""
    centre = (x, BED + radius)
    return lambda _: (
        Disc(centre, radius, WHITE, DARK, THIN),
        Disc(centre, radius * 0.55, WHITE, MIDDLE, THIN),
    )


def mat(left: float, right: float) -> Marks:
    """A mat on the floor."""
    return (box(left, 0.0, right, 2.0, LIGHT),)


def step(left: float, right: float, height: float) -> Marks:
    """A firm step."""
    return (box(left, 0.0, right, height, LIGHT),)


def rail(left: float, right: float, height: float = RAIL) -> Marks:
    """A fixed hand rail behind the body."""
    posts = tuple(Stroke(((x, 0.0), (x, height)), LINE, MIDDLE) for x in (left + 4.0, right - 4.0))
    return (*posts, Stroke(((left, height), (right, height)), 2.4, MIDDLE))


def plate(left: float, right: float, *, tilting: bool = False) -> Marks:
    """A vibration plate with waves under its top, or a pivot where it tilts."""
    middle = (left + right) / 2
    if tilting:
        pivot = Shape(((middle, 4.4), (middle - 5.0, 0.0), (middle + 5.0, 0.0)), DARK, DARK, THIN)
        return (pivot, box(left, 4.4, right, 7.0, LIGHT))
    wave = tuple(
        (left + 4.0 + i * (right - left - 8.0) / 24.0, 2.4 + 0.9 * math.sin(i * math.pi / 2))
        for i in range(25)
    )
    return (box(left, 0.0, right, 7.0, LIGHT), Stroke(wave, THIN, DARK))


def plate_column(x: float, handle: float) -> Marks:
    """The column of a plate with a handle reaching back to the hands at x = handle."""
    return (
        Stroke(((x, 0.0), (x + 2.0, 78.0)), 3.2, MIDDLE),
        Stroke(((x + 2.0, 72.0), (handle, 72.0)), 2.4, DARK),
    )


def handle_bar(left: float, right: float, height: float = 72.0) -> Marks:
    """A plate's column and handle bar seen from behind the body."""
    middle = (left + right) / 2
    return (
        Stroke(((middle, 4.0), (middle, height)), 4.0, MIDDLE),
        Stroke(((left, height), (right, height)), 2.6, DARK),
    )


def doorway(left: float, right: float) -> Marks:
    """A door frame seen from the front."""
    return tuple(box(x - 2.0, 0.0, x + 2.0, 132.0, LIGHT) for x in (left, right))


def blocks(*at: float) -> Marks:
    """Small soft blocks on the floor."""
    return tuple(box(x - 3.0, 0.0, x + 3.0, 6.0, WHITE) for x in at)


def landing(x: float, strength: int) -> Marks:
    """Short rays at a foot that has just met the floor, more of them the firmer it is."""
    rays = ((168.0, 12.0), (138.0, 42.0), (108.0, 72.0))[:strength]
    ends = ((x - 6.5, 0), (x + 14.5, 1))
    drawn = tuple(
        (along((end, 1.0), pair[i], 2.0), along((end, 1.0), pair[i], 8.5))
        for pair in rays
        for end, i in ends
    )
    return (Lines(drawn, 1.6),)


def footprints(
    *soles: tuple[float, float], at: Point = (96.0, 66.0), marks: tuple[float, ...] = ()
) -> Marks:
    """An inset that shows the feet from above: where each heel is, across and forward.

    marks   lines on what she stands on, across
    """
    left, bottom = at
    frame = Shape(
        ((left, bottom), (left + 32, bottom), (left + 32, bottom + 32), (left, bottom + 32)),
        WHITE,
        DARK,
        THIN,
    )
    ruled = tuple(((left + x, bottom + 2.0), (left + x, bottom + 30.0)) for x in marks)
    lines = (Lines(ruled, THIN, MIDDLE),) if marks else ()
    feet = tuple(mark for x, y in soles for mark in _sole(left + x, bottom + y))
    return (frame, *lines, *feet)


def _sole(x: float, y: float) -> Marks:
    """One shoe from above, narrow at the heel."""
    steps = (
        ((x + 2.4, y - 0.8), (x + 2.2, y + 2.0)),
        ((x + 1.8, y + 5.0), (x + 3.0, y + 8.0)),
        ((x + 3.4, y + 12.4), (x, y + 12.4)),
        ((x - 3.4, y + 12.4), (x - 3.0, y + 8.0)),
        ((x - 1.8, y + 5.0), (x - 2.2, y + 2.0)),
        ((x - 2.4, y - 0.8), (x, y - 0.4)),
    )
    curves = tuple(Curve(end, (by,)) for by, end in steps)
    return (Body((Outline((x, y - 0.4), curves),), MIDDLE, BLACK, THIN / 2.0),)


def _rounded(left: float, bottom: float, right: float, top: float) -> tuple[Point, ...]:
    nip = 1.2
    return (
        (left + nip, bottom),
        (right - nip, bottom),
        (right, bottom + nip),
        (right - nip, top),
        (left + nip, top),
        (left, bottom + nip),
    )
