"""What stands around the body in a figure, and what is held in the hands.

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
    THIN,
    WHITE,
    Disc,
    Mark,
    Shape,
    Stroke,
    box,
)
from programs.figures.poses import SOLE_RADIUS, Point, Skeleton, along, between

Marks = tuple[Mark, ...]
#: Something that goes with the body: drawn from the points of the pose.
Carried = Callable[[Skeleton], Marks]

WORKTOP, SEAT, BED, RAIL = 55.0, 22.6, 22.0, 62.0


def worktop(left: float, right: float) -> Marks:
    """A fixed worktop seen from its end: slab and cupboard."""
    cupboard = box(left + 4.0, 0.0, right, WORKTOP - 3.0)
    return (cupboard, box(left, WORKTOP - 3.0, right, WORKTOP, LIGHT))


def long_worktop(left: float = 12.0, right: float = 138.0) -> Marks:
    """A fixed worktop along the picture, behind the body."""
    legs = tuple(
        Stroke(((x, 0.0), (x, WORKTOP - 3.0)), THIN, MIDDLE) for x in (left + 3.0, right - 3.0)
    )
    return (
        *legs,
        Shape(
            ((left, WORKTOP - 3), (right, WORKTOP - 3), (right, WORKTOP), (left, WORKTOP)),
            WHITE,
            MIDDLE,
            THIN,
        ),
    )


def wall(x: float, height: float = 128.0) -> Marks:
    """A wall seen edge-on, hatched on the side away from the body (to the left of x)."""
    return _wall(x, -1.0, height)


def wall_ahead(x: float, height: float = 128.0) -> Marks:
    """A wall seen edge-on with the body on its left."""
    return _wall(x, 1.0, height)


def _wall(x: float, away: float, height: float) -> Marks:
    hatch = tuple(
        Stroke(((x + away * 0.8, y), (x + away * 5.0, y - 5.0)), THIN, MIDDLE)
        for y in range(8, int(height), 8)
    )
    return (*hatch, Stroke(((x, 0.0), (x, height)), 2.2, BLACK))


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
        box(left, BED - 8.0, right, BED, WHITE),
        *soft,
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
    rays = ((168.0, 12.0), (140.0, 40.0), (112.0, 68.0))[:strength]
    ends = ((x - 6.5, 0), (x + 14.5, 1))
    return tuple(
        Stroke((along((end, 1.0), pair[i], 2.0), along((end, 1.0), pair[i], 6.5)), 1.3, BLACK)
        for pair in rays
        for end, i in ends
    )


def footprints(*soles: tuple[float, float], at: Point = (114.0, 95.0)) -> Marks:
    """An inset that shows the feet from above: where each heel is, across and forward."""
    left, bottom = at
    frame = Shape(
        ((left, bottom), (left + 30, bottom), (left + 30, bottom + 34), (left, bottom + 34)),
        WHITE,
        MIDDLE,
        THIN,
    )
    feet = tuple(
        Stroke(((left + x, bottom + y), (left + x, bottom + y + 8.5)), width, colour)
        for x, y in soles
        for width, colour in ((5.6, BLACK), (4.2, LIGHT))
    )
    return (frame, *feet)


def dumbbells(points: Skeleton) -> Marks:
    """A weight in each hand."""
    return tuple(mark for side in ("far", "near") for mark in dumbbell(f"{side}_hand")(points))


def dumbbell(joint: str) -> Carried:
    """A weight at one joint, seen from its end."""
    return lambda points: (
        Disc(points[joint], 4.4, MIDDLE, BLACK),
        Disc(points[joint], 1.2, BLACK, BLACK, THIN),
    )


def barbell(joint: str, across: float = 0.0, up: float = 0.0, radius: float = 11.0) -> Carried:
    """A bar with a disc, seen from its end, off a joint by across and up."""

    def draw(points: Skeleton) -> Marks:
        centre = (points[joint][0] + across, points[joint][1] + up)
        ring = tuple(along(centre, 10.0 * turn, radius) for turn in range(37))
        return (Stroke(ring, 3.0, DARK), Disc(centre, 1.8, BLACK, BLACK, THIN))

    return draw


def band(*joints: str | Point, width: float = 1.8) -> Carried:
    """A band or cable through joints and fixed points."""
    return lambda points: (
        Stroke(tuple(points[j] if isinstance(j, str) else j for j in joints), width, BLACK),
    )


def band_behind_back(points: Skeleton) -> Marks:
    """A band from the back of the chest to the near hand."""
    chest, hand = points["chest"], points["near_hand"]
    return (Stroke(((chest[0] - 7.2, chest[1] - 8.0), hand), 1.8, BLACK),)


def vest(points: Skeleton) -> Marks:
    """A weighted vest on the trunk (side view)."""
    hip, chest = points["hip"], points["chest"]
    ends = (between(hip, chest, 0.4), between(hip, chest, 0.92))
    return (Stroke(ends, 12.6, BLACK), Stroke(ends, 11.0, MIDDLE))


def foot_plate(points: Skeleton) -> Marks:
    """The plate the near foot pushes on, square to the sole."""
    heel, toe = points["near_heel"], points["near_toe"]
    turn = math.degrees(math.atan2(toe[1] - heel[1], toe[0] - heel[0]))
    sole = along(heel, turn - 90.0, SOLE_RADIUS + 1.9)
    return (Stroke((along(sole, turn, -7.0), along(sole, turn, 20.0)), 2.8, DARK),)


def roller(points: Skeleton) -> Marks:
    """The padded roller in front of the near shin, with its lever to the knee."""
    knee, ankle = points["near_knee"], points["near_ankle"]
    turn = math.degrees(math.atan2(ankle[1] - knee[1], ankle[0] - knee[0]))
    centre = along(along(ankle, turn, -2.0), turn + 90.0, 6.6)
    return (Stroke((knee, centre), LINE, DARK), Disc(centre, 3.2, MIDDLE, BLACK))


def cup(joint: str) -> Carried:
    """A cup in a hand."""

    def draw(points: Skeleton) -> Marks:
        x, y = points[joint]
        return (Shape(((x - 2.4, y), (x + 2.4, y), (x + 3.2, y + 7), (x - 3.2, y + 7)), WHITE),)

    return draw


def towel(twisted: bool) -> Carried:
    """A rolled towel through both hands; cross lines show the twist."""

    def draw(points: Skeleton) -> Marks:
        left, right = points["near_hand"], points["far_hand"]
        ends = ((left[0] - 7.0, left[1]), (right[0] + 7.0, right[1]))
        lines = tuple(
            Stroke(((x - 1.6, left[1] - 2.0), (x + 1.6, left[1] + 2.0)), THIN, DARK)
            for x in (left[0] + 1.0 + 2.0 * i for i in range(int((right[0] - left[0]) / 2)))
        )
        return (Stroke(ends, 5.6, DARK), Stroke(ends, 4.0, WHITE), *(lines if twisted else ()))

    return draw


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
