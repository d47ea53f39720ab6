"""Signs beside a body: where it stands, how far a foot is lifted, which way a joint goes,
which muscles work, how long a rest is, and what is wrong."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from programs.figures.linework import (
    BLACK,
    DARK,
    WHITE,
    Disc,
    Extent,
    Lines,
    Mark,
    Stroke,
    arrow,
)
from programs.figures.poses import (
    ANKLE_HEIGHT,
    SOLE_RADIUS,
    Plant,
    Point,
    Pose,
    Skeleton,
    along,
    between,
    direction,
)
from programs.figures.scenes import Way

#: An arrow is this long at least and at most.
SHORTEST, LONGEST = 12.0, 26.0
#: A foot lifted more than this shows how far; a higher one is seen by itself.
LEAST_GAP, MOST_GAP = 1.6, 16.0
#: Where muscles are hatched: the part they are on, from where to where on it, and on which
#: half of it: to the left (1) or the right (-1) of its way, or on all of it (0).
_AT_WORK: Mapping[str, tuple[str, str, float, float, float, int]] = {
    "front of the thighs": ("near_hip", "near_knee", 0.3, 0.85, 4.6, 1),
    "back of the thighs": ("near_hip", "near_knee", 0.3, 0.85, 4.4, -1),
    "thighs": ("near_hip", "near_knee", 0.3, 0.85, 4.6, 1),
    "buttocks": ("hip", "waist", -0.35, 0.3, 6.0, 1),
    "calves": ("near_knee", "near_ankle", 0.12, 0.6, 3.2, -1),
    "shins": ("near_knee", "near_ankle", 0.2, 0.7, 2.8, 1),
    "upper back": ("waist", "chest", 0.2, 0.9, 5.4, 1),
    "back": ("hip", "chest", 0.2, 0.85, 5.0, 1),
    "belly": ("hip", "waist", 0.2, 1.0, 4.8, -1),
    "chest": ("waist", "chest", 0.35, 0.95, 6.0, -1),
    "back of the arms": ("near_shoulder", "near_elbow", 0.25, 0.85, 2.6, -1),
    "front of the arms": ("near_shoulder", "near_elbow", 0.25, 0.85, 2.8, 1),
    "forearms": ("near_elbow", "near_wrist", 0.1, 0.8, 2.2, 0),
}
#: Two places are enough to look at.
MOST_PLACES = 2


def contacts(pose: Pose, points: Skeleton) -> tuple[Mark, ...]:
    """Return a dark pad under each foot, or part of one, that bears weight."""
    return tuple(
        Stroke(((left, leg.y - 0.9), (right, leg.y - 0.9)), 2.6, BLACK)
        for side, leg in _legs(pose)
        if isinstance(leg, Plant)
        for left, right in (_pad(pose, points, side, leg),)
    )


def _pad(pose: Pose, points: Skeleton, side: str, leg: Plant) -> tuple[float, float]:
    heel, ball, toe = (points[f"{side}_{name}"][0] for name in ("heel", "ball", "toe"))
    if pose.view == "front":
        return heel - 2.2, heel + 2.2
    if leg.foot < 0.0:
        return ball, toe + 0.6
    return (heel - 0.6, toe) if leg.foot == 0.0 else (heel - 1.0, heel + 1.0)


def _legs(pose: Pose) -> Iterable[tuple[str, object]]:
    return (("near", pose.near_leg), ("far", pose.far_leg))


def gaps(pose: Pose, points: Skeleton) -> tuple[Mark, ...]:
    """Return a mark between the floor and each part of a foot that is lifted off it."""
    floors = [leg.y for _, leg in _legs(pose) if isinstance(leg, Plant)]
    if not floors or not pose.shod:
        return ()
    found = []
    for side, leg in _legs(pose):
        floor = leg.y if isinstance(leg, Plant) else min(floors)
        x, low = _lifted(pose, points, side, leg)
        if LEAST_GAP < low - floor < MOST_GAP:
            found.append((x, floor, low))
    return tuple(mark for gap in dict.fromkeys(found) for mark in _gap(*gap))


def _lifted(pose: Pose, points: Skeleton, side: str, leg: object) -> tuple[float, float]:
    """Return where the lifted part of a foot is, and how high its sole."""
    heel, toe, ankle = (points[f"{side}_{name}"] for name in ("heel", "toe", "ankle"))
    if pose.view == "front":
        return ankle[0], ankle[1] - ANKLE_HEIGHT
    if isinstance(leg, Plant) and leg.foot < 0.0:
        return heel[0] - 1.0, heel[1] - SOLE_RADIUS
    if isinstance(leg, Plant) and leg.foot > 0.0:
        return toe[0] + 1.0, toe[1] - SOLE_RADIUS
    low = min(heel, toe, key=lambda point: point[1])
    return low[0], low[1] - SOLE_RADIUS


def _gap(x: float, floor: float, low: float) -> tuple[Mark, ...]:
    ends = ((x, floor + 0.6), (x, low - 0.8))
    return (Lines((ends, *(((x - 2.2, y), (x + 2.2, y)) for _, y in ends))),)


def way_marks(way: Way, before: Skeleton, after: Skeleton) -> tuple[Mark, ...]:
    """Return the arrow of a joint's way, beside the joint, up to where it comes to be."""
    start, end = before[way.joint], after[way.joint]
    turn = direction(start, end)
    length = min(max(math.dist(start, end), SHORTEST), LONGEST)
    tip = (end[0] + way.off[0], end[1] + way.off[1])
    return arrow(along(tip, turn, -length), tip, bow=way.bow, both=way.both)


def at_work(muscles: Iterable[str], pose: Pose, points: Skeleton) -> tuple[Mark, ...]:
    """Return hatching over the first muscles that a view from the side can show."""
    if pose.view != "side":
        return ()
    seen = [_AT_WORK[muscle] for muscle in muscles if muscle in _AT_WORK][:MOST_PLACES]
    return tuple(mark for place in seen for mark in _hatched(points, *place))


def _hatched(
    points: Skeleton, first: str, last: str, low: float, high: float, half: float, side: int
) -> tuple[Mark, ...]:
    start, end = points[first], points[last]
    turn = direction(start, end)
    count = round((high - low) * math.dist(start, end) / 2.2)
    inner, outer = (-half + 0.8, half - 0.8) if side == 0 else (0.4 * side, (half - 0.6) * side)
    lines = []
    for step in range(count + 1):
        middle = between(start, end, low + (high - low) * step / count)
        ends = (along(middle, turn + 90.0, inner), along(middle, turn + 90.0, outer))
        lines.append((ends[0], along(ends[1], turn, 1.6)))
    return (Lines(tuple(lines), 0.7),)


def clock(centre: Point, radius: float = 8.0) -> tuple[Mark, ...]:
    """Return a clock: stay so for a time."""
    ticks = tuple(
        (along(centre, turn, radius - 2.2), along(centre, turn, radius - 1.0))
        for turn in range(0, 360, 90)
    )
    return (
        Disc(centre, radius, WHITE, BLACK, 1.4),
        Lines(ticks),
        Stroke((along(centre, 90.0, radius - 3.0), centre, along(centre, -20.0, 3.6)), 1.4, BLACK),
    )


def cross(reach: Extent) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """Return a cross to stand behind a body, and the thin lines of it that go on in front."""
    ends = (
        ((reach.left, reach.bottom), (reach.right, reach.top)),
        ((reach.left, reach.top), (reach.right, reach.bottom)),
    )
    return (Lines(ends, 5.2, WHITE), Lines(ends, 3.0, DARK)), (Lines(ends, 1.0, DARK),)
