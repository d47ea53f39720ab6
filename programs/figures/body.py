"""The drawn body: rounded limbs, a head with a nose, far limbs first and paler."""

from __future__ import annotations

import math

from programs.figures.linework import (
    BLACK,
    LIGHT,
    LINE,
    MIDDLE,
    PALE,
    THIN,
    Disc,
    Mark,
    Shape,
    Stroke,
    outlined,
)
from programs.figures.poses import (
    FOOT_BREADTH,
    HEAD,
    SOLE_RADIUS,
    Point,
    Pose,
    Skeleton,
    along,
    between,
)

UPPER_ARM_WIDTH, FOREARM_WIDTH, HAND_WIDTH = 5.0, 4.2, 3.4
THIGH_WIDTH, SHANK_WIDTH = 8.4, 6.0
TRUNK_WIDTH, NECK_WIDTH = 11.0, 5.0


def body_of(pose: Pose, points: Skeleton) -> tuple[Mark, ...]:
    """Return the marks of a body, back to front."""
    front = pose.view == "front"
    far = (LIGHT, BLACK) if front else (PALE, MIDDLE)
    near = (LIGHT, BLACK)
    far_limbs = (*_leg("far", points, far, front), *_arm("far", points, far))
    near_limbs = (*_leg("near", points, near, front), *_arm("near", points, near))
    middle = (*_trunk(points, front), *_head(pose, points))
    if not front:
        return (*far_limbs, *middle, *near_limbs)
    legs = (*_leg("far", points, far, front), *_leg("near", points, near, front))
    arms = (*_arm("far", points, far), *_arm("near", points, near))
    return (*arms, *legs, *middle) if pose.seen_from == "back" else (*legs, *middle, *arms)


def _arm(side: str, points: Skeleton, ink: tuple[str, str]) -> tuple[Mark, ...]:
    shoulder, elbow, wrist, tip = (
        points[f"{side}_{name}"] for name in ("shoulder", "elbow", "wrist", "fingertip")
    )
    return outlined(
        (
            ((shoulder, elbow), UPPER_ARM_WIDTH),
            ((elbow, wrist), FOREARM_WIDTH),
            ((wrist, _short_of(wrist, tip, HAND_WIDTH / 2)), HAND_WIDTH),
        ),
        *ink,
    )


def _leg(side: str, points: Skeleton, ink: tuple[str, str], front: bool) -> tuple[Mark, ...]:
    hip, knee, ankle, heel, toe = (
        points[f"{side}_{name}"] for name in ("hip", "knee", "ankle", "heel", "toe")
    )
    foot = ((heel, toe), FOOT_BREADTH if front else 2.0 * SOLE_RADIUS)
    shank = ((knee, ankle, heel), SHANK_WIDTH - 1.0) if front else ((knee, ankle), SHANK_WIDTH)
    return outlined((((hip, knee), THIGH_WIDTH), shank, foot), *ink, edge=0.8)


def _trunk(points: Skeleton, front: bool) -> tuple[Mark, ...]:
    neck = (points["chest"], points["head"])
    if not front:
        return outlined(
            ((neck, NECK_WIDTH), ((points["hip"], points["chest"]), TRUNK_WIDTH)), LIGHT, BLACK
        )
    return outlined(
        (
            (neck, NECK_WIDTH),
            ((points["near_shoulder"], points["far_shoulder"]), UPPER_ARM_WIDTH),
            ((points["near_hip"], points["far_hip"]), THIGH_WIDTH),
            (_inset(points, "near"), THIGH_WIDTH),
            (_inset(points, "far"), THIGH_WIDTH),
            ((between(points["hip"], points["chest"], 0.12), points["chest"]), 12.0),
        ),
        LIGHT,
        BLACK,
    )


def _inset(points: Skeleton, side: str) -> tuple[Point, ...]:
    """Return one flank, drawn a little inside so that it meets shoulder and hip."""
    inner = between(points["chest"], points[f"{side}_shoulder"], 0.7)
    return ((inner[0], inner[1] - 1.0), points[f"{side}_hip"])


def _head(pose: Pose, points: Skeleton) -> tuple[Mark, ...]:
    centre = points["head"]
    skull = Disc(centre, HEAD / 2 - 0.8, LIGHT, BLACK, LINE)
    looks = pose.nose if pose.nose is not None else pose.head - 90.0
    if pose.view == "side" and looks != FACING:
        tip = along(centre, looks - 4.0, HEAD / 2 + 1.6)
        bridge, under = (along(centre, looks + turn, HEAD / 2 - 0.8) for turn in (12.0, -22.0))
        eye = along(along(centre, looks, 3.2), looks + 90.0, 1.3)
        return (
            Shape((bridge, tip, under), LIGHT, BLACK, 1.2),
            skull,
            Stroke((eye, eye), 1.5, BLACK),
        )
    if pose.seen_from == "back":
        return (skull,)
    eyes = [along(centre, pose.head + turn, 2.6) for turn in (75.0, -75.0)]
    mouth = tuple(along(centre, pose.head + 180.0 + turn, 3.2) for turn in (-25.0, 25.0))
    return (skull, *(Stroke((eye, eye), 1.4, BLACK) for eye in eyes), Stroke(mouth, THIN, BLACK))


#: The direction of a nose that points at the viewer.
FACING = 360.0


def _short_of(start: Point, end: Point, gap: float) -> Point:
    return between(end, start, gap / math.dist(start, end))
