"""What goes with the body in a figure: held in the hands, worn, or moved by the feet."""

from __future__ import annotations

import math

from programs.figures.linework import (
    BLACK,
    DARK,
    LINE,
    MIDDLE,
    THIN,
    WHITE,
    Disc,
    Lines,
    Shape,
    Stroke,
    box,
)
from programs.figures.poses import SOLE_RADIUS, Point, Skeleton, along, between, direction
from programs.figures.props import Carried, Marks


def dumbbells(points: Skeleton) -> Marks:
    """A weight in each hand."""
    return tuple(mark for side in ("far", "near") for mark in dumbbell(f"{side}_hand")(points))


def dumbbell(joint: str) -> Carried:
    """A weight in a hand: two blocks beside the fist, across the hand's direction."""
    side = joint.removesuffix("_hand")

    def draw(points: Skeleton) -> Marks:
        turn = direction(points[f"{side}_wrist"], points[joint]) + 90.0
        centre = points[joint]
        return tuple(
            Stroke((along(centre, turn, 4.0 * way), along(centre, turn, 6.0 * way)), width, colour)
            for way in (-1.0, 1.0)
            for width, colour in ((6.0, BLACK), (4.2, MIDDLE))
        )

    return draw


def barbell(joint: str, across: float = 0.0, up: float = 0.0, radius: float = 6.5) -> Carried:
    """A bar with its weights, seen from its end, off a joint by across and up."""

    def draw(points: Skeleton) -> Marks:
        centre = (points[joint][0] + across, points[joint][1] + up)
        return (
            Disc(centre, radius, MIDDLE, BLACK),
            Disc(centre, 1.6, WHITE, BLACK, THIN),
        )

    return draw


def long_bar(reach: float = 8.0, weights: bool = True) -> Carried:
    """A bar through both hands, seen from the front, its weights beyond them."""

    def draw(points: Skeleton) -> Marks:
        left, right = points["near_hand"], points["far_hand"]
        ends = ((left[0] - reach, left[1]), (right[0] + reach, right[1]))
        bar = Stroke(ends, 2.0, BLACK)
        discs = tuple(box(x - 1.8, y - 7.0, x + 1.8, y + 7.0, MIDDLE) for x, y in ends)
        return (bar, *(discs if weights else ()))

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


def backpack(points: Skeleton) -> Marks:
    """A small backpack high on the back (side view)."""
    hip, chest = points["hip"], points["chest"]
    up = math.degrees(math.atan2(chest[1] - hip[1], chest[0] - hip[0])) + 90.0
    low, high = (between(hip, chest, share) for share in (0.45, 0.92))
    corners = (
        along(low, up, 5.5),
        along(high, up, 5.5),
        along(high, up, 12.0),
        along(low, up, 13.0),
    )
    strap = Stroke((along(high, up, 9.0), along(high, up - 90.0, 5.0), high), LINE, DARK)
    return (Shape(corners, MIDDLE, BLACK), strap)


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
        turns = tuple(
            ((x - 1.6, left[1] - 2.0), (x + 1.6, left[1] + 2.0))
            for x in (ends[0][0] + 1.0 + 2.0 * i for i in range(int((right[0] - left[0]) / 2) + 6))
        )
        lines = (Lines(turns, THIN, DARK),)
        return (Stroke(ends, 5.6, DARK), Stroke(ends, 4.0, WHITE), *(lines if twisted else ()))

    return draw
