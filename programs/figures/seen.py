"""What is seen of a pose, for who cannot see the picture: read off the pose itself."""

from __future__ import annotations

from collections.abc import Iterator

from programs.figures.poses import (
    Arm,
    At,
    Leg,
    Plant,
    Pose,
    Reach,
    Skeleton,
    direction,
    skeleton,
)
from programs.figures.props import WORKTOP

#: A knee bent more than this is told, a trunk that leans more than this, in degrees.
BENT_KNEE, LEANING = 20.0, 14.0
BENT_ELBOW = 55.0
#: What is not the floor, by its height.
_STANDS_ON = {7.0: "plate", 6.3: "step", 9.4: "step"}


def seen(pose: Pose) -> tuple[str, ...]:
    """Return what is to be said of a pose: its base, then what is seen of it, as codes."""
    points = skeleton(pose)
    parts = (*_legs(pose, points), *_trunk(pose), *_hands(pose, points))
    return (_base(pose), *dict.fromkeys(parts))


def _base(pose: Pose) -> str:
    """Return the base, by what both feet stand on where it is not the floor."""
    heights = {leg.y for leg in (pose.near_leg, pose.far_leg) if isinstance(leg, Plant)}
    (height, *others) = heights or {0.0}
    if pose.base != "standing" or others:
        return pose.base
    return _STANDS_ON.get(height, pose.base)


def _legs(pose: Pose, points: Skeleton) -> Iterator[str]:
    legs = (pose.near_leg, pose.far_leg)
    loose = [leg for leg in legs if isinstance(leg, Leg | At)]
    if pose.base == "standing":
        yield from _standing(pose, points, len(loose))
    if pose.base in ("standing", "sitting", "wheelchair"):
        turned = [leg.foot for leg in legs if isinstance(leg, Plant)]
        if len(turned) == 2 and max(turned) < -10.0:
            yield "heels"
        if len(turned) == 2 and min(turned) > 10.0:
            yield "toes"
    if pose.base in ("sitting", "wheelchair", "lying") and pose.view == "side":
        yield from _stretched(pose, points, len(loose))
    if pose.base == "hands_and_knees" and points["near_ankle"][1] > points["far_ankle"][1] + 8.0:
        yield "leg_back"


def _standing(pose: Pose, points: Skeleton, loose: int) -> Iterator[str]:
    near, far = pose.near_leg, pose.far_leg
    if loose == 2:
        yield "airborne"
    if loose == 1:
        side = "near" if isinstance(near, Leg | At) else "far"
        yield _lifted(pose, points, side)
    if isinstance(near, Plant) and isinstance(far, Plant):
        gap = abs(near.x - far.x)
        if near.y != far.y:
            yield "on_step"
        elif pose.view == "side" and gap > 7.0:
            yield "stride"
        elif pose.view == "front" and gap > 22.0:
            yield "apart"
        elif pose.view == "front" and gap < 8.0:
            yield "together"
        if pose.view == "side" and min(_knee(points, s) for s in ("near", "far")) > BENT_KNEE:
            yield "knees"


def _lifted(pose: Pose, points: Skeleton, side: str) -> str:
    across = points[f"{side}_ankle"][0] - points["hip"][0]
    if pose.view == "front":
        return "leg_aside" if abs(across) > 16.0 else "one_foot"
    return "leg_back" if across < -12.0 and _knee(points, side) < BENT_KNEE else "one_foot"


def _stretched(pose: Pose, points: Skeleton, loose: int) -> Iterator[str]:
    """Tell a leg held out or lifted, and bent knees of who lies."""
    bends = [_knee(points, side) for side in ("near", "far")]
    if loose == 1 and bends[0] < BENT_KNEE:
        yield "leg_ahead"
    elif loose == 1 and points["near_ankle"][1] > points["far_ankle"][1] + 1.0:
        yield "one_foot"
    if pose.base == "lying" and max(bends) > 60.0:
        yield "knees"


def _knee(points: Skeleton, side: str) -> float:
    hip, knee, ankle = (points[f"{side}_{name}"] for name in ("hip", "knee", "ankle"))
    return abs((direction(hip, knee) - direction(knee, ankle) + 180.0) % 360.0 - 180.0)


def _trunk(pose: Pose) -> Iterator[str]:
    upright = pose.base in ("standing", "sitting", "wheelchair", "one_knee")
    lean = 90.0 - pose.trunk
    if pose.curl >= 12.0:
        yield "round"
    elif pose.curl <= -12.0:
        yield "hollow"
    elif upright and pose.view == "front" and abs(lean) > 5.0:
        yield "aside"
    elif upright and lean > LEANING:
        yield "forward"
    elif upright and lean < -LEANING:
        yield "backward"
    if pose.base == "lying" and pose.trunk > 190.0 and pose.view == "side":
        yield "hips"
    if upright and pose.view == "side" and pose.trunk - pose.head > 20.0:
        yield "head"
    if pose.sunk:
        yield "shrug"


def _hands(pose: Pose, points: Skeleton) -> Iterator[str]:
    arms = (pose.near_arm, pose.far_arm)
    resting = [arm for arm in arms if isinstance(arm, Reach) and abs(arm.y - WORKTOP - 2.0) < 1.0]
    ahead = pose.seen_from == "back" and points["near_hand"][1] == WORKTOP + 1.5
    if pose.base == "standing" and (len(resting) == 2 or ahead):
        yield "worktop"
    elif pose.base == "standing" and resting:
        yield "one_worktop"
    yield from _free_arms(pose, points)


def _free_arms(pose: Pose, points: Skeleton) -> Iterator[str]:
    held = {side: _held(pose, points, side) for side in ("near", "far")}
    for part in ("up", "out", "reach", "elbows"):
        sides = [side for side, told in held.items() if told == part]
        if sides:
            yield part if len(sides) == 2 or part == "elbows" else f"one_{part}"


def _held(pose: Pose, points: Skeleton, side: str) -> str:
    """Return how one arm is held: up, out to the side, ahead, or its elbow bent."""
    shoulder, hand = points[f"{side}_shoulder"], points[f"{side}_hand"]
    across, up = hand[0] - shoulder[0], hand[1] - shoulder[1]
    if pose.base == "hands_and_knees":
        return "reach" if up > -8.0 else ""
    if up > 22.0:
        return "up"
    if pose.base not in ("lying", "prone") and abs(across) > 26.0 and up > -12.0:
        return "out" if pose.view == "front" else "reach"
    bent = isinstance(pose.near_arm, Arm) and _elbow(points) > BENT_ELBOW
    return "elbows" if bent else ""


def _elbow(points: Skeleton) -> float:
    shoulder, elbow, wrist = (points[f"near_{name}"] for name in ("shoulder", "elbow", "wrist"))
    return abs((direction(shoulder, elbow) - direction(elbow, wrist) + 180.0) % 360.0 - 180.0)
