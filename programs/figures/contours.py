"""Outlines of the parts of a body: limbs that swell and thin, a foot, a hand, a trunk.

A part is drawn along its own axis; its left is the left of who looks along it.
"""

from __future__ import annotations

import math

from programs.figures.linework import Cap, Curve, Outline
from programs.figures.poses import ANKLE_HEIGHT, BALL, FOOT, HAND, HEEL, Point, along, between

#: Half the breadth of a part at its two ends, and in its middle to the left and the right.
Girth = tuple[float, float, float, float]

UPPER_ARM_GIRTH: Girth = (3.5, 3.1, 2.9, 2.4)
FOREARM_GIRTH: Girth = (2.5, 2.5, 2.4, 1.7)
THIGH_GIRTH: Girth = (5.5, 5.6, 5.0, 3.7)
SHANK_GIRTH: Girth = (3.7, 3.2, 3.9, 2.3)
LOIN_GIRTH: Girth = (5.9, 5.2, 5.3, 5.2)
RIBS_GIRTH: Girth = (5.2, 6.2, 7.4, 3.9)
NECK_GIRTH: Girth = (2.7, 2.5, 2.5, 2.5)
THUMB_GIRTH: Girth = (1.1, 1.1, 1.1, 0.9)
PALM_GIRTH: Girth = (1.6, 2.1, 2.1, 1.3)
FIST_RADIUS = 2.7


def limb(start: Point, end: Point, girth: Girth) -> Outline:
    """Return a part from one joint to the next, round at both ends."""
    first, left, right, last = girth
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    middle = between(start, end, 0.42)
    swell = (first + last) / 2.0
    near, far = (along(joint, turn + 90.0, r) for joint, r in ((start, first), (end, last)))
    back, front = (along(joint, turn - 90.0, r) for joint, r in ((start, first), (end, last)))
    return Outline(
        near,
        (
            Curve(far, (along(middle, turn + 90.0, 2.0 * left - swell),)),
            Cap(front, last),
            Curve(back, (along(middle, turn - 90.0, 2.0 * right - swell),)),
            Cap(near, first),
        ),
    )


def ball(centre: Point, radius: float) -> Outline:
    """Return a circle."""
    left, right = (centre[0] - radius, centre[1]), (centre[0] + radius, centre[1])
    return Outline(left, (Cap(right, radius), Cap(left, radius)))


def placed(
    outline: tuple[Point, tuple[tuple[Point, ...], ...]], origin: Point, turn: float
) -> Outline:
    """Return an outline given in a part's own directions, turned and put at its origin.

    Each step is its points, the last one its end.
    """
    ahead, up = along((0.0, 0.0), turn, 1.0), along((0.0, 0.0), turn + 90.0, 1.0)

    def at(point: Point) -> Point:
        return (
            origin[0] + point[0] * ahead[0] + point[1] * up[0],
            origin[1] + point[0] * ahead[1] + point[1] * up[1],
        )

    start, steps = outline
    curves = (Curve(at(step[-1]), tuple(at(point) for point in step[:-1])) for step in steps)
    return Outline(at(start), tuple(curves))


#: A shoe from its side, from the ankle, toes to the right; its sole is flat.
_SOLE, _TIP = -ANKLE_HEIGHT, FOOT - HEEL
_REAR = (
    (-2.4, 1.4),
    (
        ((0.0, 2.6), (2.4, 1.4)),
        ((4.0, -0.2), (BALL + 0.6, -0.9)),
        ((BALL + 2.2, -2.4), (BALL + 1.0, _SOLE)),
        ((BALL, _SOLE),),
        ((3.4, _SOLE + 0.9), (-0.2, _SOLE)),
        ((-2.6, _SOLE),),
        ((-3.9, _SOLE), (-3.5, -2.4)),
        ((-3.0, -0.6), (-2.4, 1.4)),
    ),
)
#: From the ball of the foot, which may bend.
_TOES = (
    (-1.6, 2.6),
    (
        ((2.0, 3.0), (4.0, 1.7)),
        ((5.2, 1.0), (_TIP - BALL, 0.2)),
        ((_TIP - BALL, 0.0), (_TIP - BALL - 0.6, 0.0)),
        ((-1.6, 0.0),),
    ),
)


def foot(ankle: Point, ball_joint: Point, turn: float, toes: float) -> tuple[Outline, ...]:
    """Return a foot from its side: heel to ball at one angle, the toes at their own."""
    return (placed(_REAR, ankle, turn), placed(_TOES, ball_joint, toes))


def foot_ahead(ankle: Point, outward: float, heel: bool) -> Outline:
    """Return a foot seen from its toes, shortened, or from its heel."""
    x, y = ankle
    wide, lean = (2.5, 0.3) if heel else (3.4, 1.0)
    low = y + _SOLE
    toe = x + outward * lean
    return Outline(
        (x - 2.1, y + 0.6),
        (
            Curve((x + 2.1, y + 0.6), ((x, y + 1.6),)),
            Curve((toe + wide, low + 0.9), ((toe + wide - 0.4, y - 1.4),)),
            Curve((toe + wide - 1.2, low), ((toe + wide, low),)),
            Curve((toe - wide + 1.2, low)),
            Curve((toe - wide, low + 0.9), ((toe - wide, low),)),
            Curve((x - 2.1, y + 0.6), ((toe - wide + 0.4, y - 1.4),)),
        ),
    )


def open_hand(wrist: Point, turn: float, thumb: float) -> tuple[Outline, ...]:
    """Return a flat hand with its thumb to the left (1) or the right (-1)."""
    root = along(along(wrist, turn, 1.2), turn + 90.0 * thumb, 0.6)
    return (
        limb(wrist, along(wrist, turn, HAND - 1.6), PALM_GIRTH),
        limb(root, along(root, turn + 38.0 * thumb, 4.2), THUMB_GIRTH),
    )


def fist(wrist: Point, turn: float) -> tuple[Outline, ...]:
    """Return a hand closed on what it holds."""
    grip = along(wrist, turn, HAND / 2.0)
    return (limb(wrist, grip, (1.7, 2.2, 2.2, FIST_RADIUS)),)
