"""A body in a pose: published segment lengths and joint angles become points to draw.

Lengths and heights are percent of body height, after Drillis and Contini 1966 as quoted by
Winter 2009. They are fine for drawings, not for measuring people. A pose is placed in a frame
whose ground line is y = 0, y upward. In the side view the person faces right.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

Point = tuple[float, float]

HEAD, TRUNK = 13.0, 28.8
UPPER_ARM, FOREARM, HAND = 18.6, 14.6, 10.8
THIGH, SHANK, FOOT = 24.5, 24.6, 15.2
FOOT_BREADTH = 5.5
ANKLE_HEIGHT, HIP_HEIGHT, SHOULDER_HEIGHT = 3.9, 53.0, 81.8
#: From the shoulder to the middle of the head: top of the head 100, less half the head.
NECK = 100.0 - HEAD / 2 - SHOULDER_HEIGHT
#: The joints of shoulder and hip lie inside the breadths there (25.9 and 19.1).
SHRUG = 4.6
HALF_SHOULDERS, HALF_HIPS = 10.8, 5.4
#: A hand grips at its middle; the heel stands behind the ankle.
GRIP = HAND / 2
HEEL = 3.5
SOLE_RADIUS = 1.9
#: From under the ankle to where the foot bends when the heel lifts.
BALL = 6.6


@dataclass(frozen=True)
class Arm:
    """An arm by the directions of its parts, degrees from level right, counter-clockwise."""

    upper: float
    fore: float
    hand: float | None = None


@dataclass(frozen=True)
class Reach:
    """An arm whose hand is at a point. hand is its direction; bend turns the elbow over."""

    x: float
    y: float
    hand: float | None = None
    bend: int = 1


@dataclass(frozen=True)
class Leg:
    """A leg by the directions of its parts."""

    thigh: float
    shank: float
    foot: float


@dataclass(frozen=True)
class Plant:
    """A leg whose foot stands at y, the ankle over x when flat.

    A foot turned down stays on its toes, which lie flat; a foot turned up stays on its heel.
    """

    x: float
    y: float = 0.0
    foot: float = 0.0


@dataclass(frozen=True)
class At:
    """A leg whose ankle is at a point, with the direction of the foot."""

    x: float
    y: float
    foot: float
    bend: int = 1


@dataclass(frozen=True)
class Toward:
    """A leg of somebody who sits, in the front view: the thigh points at the viewer.

    x is the knee's, y its height; the foot stands on the floor under it, or at foot_y.
    """

    x: float
    y: float
    foot_y: float = 0.0


@dataclass(frozen=True)
class Ahead:
    """An arm in the front view that reaches away from or at the viewer, and so looks shorter.

    x and y are the hand's; out is how far the elbow stands off the straight way to it.
    """

    x: float
    y: float
    out: float = 3.0


AnyLeg = Leg | Plant | At | Toward
AnyArm = Arm | Reach | Ahead


@dataclass(frozen=True, kw_only=True)
class Pose:
    """A body in the side view (near and far limbs) or the front view (left and right).

    In the front view near is the picture's left. seen_from says whether the face shows.

    curl   degrees by which each half of the back leaves the straight line: round where it is
           more than 0, hollow where it is less
    nose   direction of the gaze where it does not follow the head
    base   how she stands, sits or lies, as told to who cannot see the picture
    shod   in shoes, or on bare feet as in bed
    sunk   the shoulders drawn up, so that the head stands lower between them
    """

    hip: Point
    near_leg: AnyLeg
    far_leg: AnyLeg
    near_arm: AnyArm
    far_arm: AnyArm
    trunk: float = 90.0
    curl: float = 0.0
    head: float = 90.0
    view: str = "side"
    seen_from: str = "front"
    nose: float | None = None
    base: str = "standing"
    shod: bool = True
    sunk: bool = False


Skeleton = Mapping[str, Point]


def along(origin: Point, degrees: float, length: float) -> Point:
    """Return the point at a length from the origin in a direction."""
    turn = math.radians(degrees)
    return (origin[0] + length * math.cos(turn), origin[1] + length * math.sin(turn))


def between(start: Point, end: Point, share: float) -> Point:
    """Return the point that share of the way from start to end."""
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def skeleton(pose: Pose) -> Skeleton:
    """Return the named points of a pose, percent of body height.

    Raises ValueError when a hand or foot is told to be where the limb cannot reach.
    """
    waist = along(pose.hip, pose.trunk + pose.curl, TRUNK / 2.0)
    chest = along(waist, pose.trunk - pose.curl, TRUNK / 2.0)
    points = {
        "hip": pose.hip,
        "waist": waist,
        "chest": chest,
        "head": along(chest, pose.head, NECK - SHRUG if pose.sunk else NECK),
    }
    for side, sign in (("near", -1.0), ("far", 1.0)):
        front = pose.view == "front"
        shoulder = _aside(chest, pose.trunk, sign * HALF_SHOULDERS if front else 0.0)
        hip = _aside(pose.hip, pose.trunk, sign * HALF_HIPS if front else 0.0)
        arm = pose.near_arm if side == "near" else pose.far_arm
        leg = pose.near_leg if side == "near" else pose.far_leg
        limb = _arm(shoulder, arm, flip=front and side == "far") | _leg(hip, leg, front)
        points |= {f"{side}_{name}": point for name, point in limb.items()}
    return points


def _aside(point: Point, trunk: float, width: float) -> Point:
    return along(point, trunk - 90.0, width)


def _arm(shoulder: Point, arm: AnyArm, *, flip: bool) -> dict[str, Point]:
    if isinstance(arm, Ahead):
        return _shortened(shoulder, arm, -1.0 if flip else 1.0)
    if isinstance(arm, Arm):
        elbow = along(shoulder, arm.upper, UPPER_ARM)
        wrist = along(elbow, arm.fore, FOREARM)
        hand = arm.fore if arm.hand is None else arm.hand
    else:
        bend = -arm.bend if flip else arm.bend
        if arm.hand is None:
            elbow = _bent(shoulder, (arm.x, arm.y), UPPER_ARM, FOREARM + GRIP, bend)
            hand = direction(elbow, (arm.x, arm.y))
            wrist = along(elbow, hand, FOREARM)
        else:
            hand = arm.hand
            wrist = along((arm.x, arm.y), hand, -GRIP)
            elbow = _bent(shoulder, wrist, UPPER_ARM, FOREARM, bend)
    return {
        "shoulder": shoulder,
        "elbow": elbow,
        "wrist": wrist,
        "hand": along(wrist, hand, GRIP),
        "fingertip": along(wrist, hand, HAND),
    }


def _shortened(shoulder: Point, arm: Ahead, aside: float) -> dict[str, Point]:
    """Return an arm that reaches along the line of sight; its elbow stands outward."""
    hand = (arm.x, arm.y)
    turn = direction(shoulder, hand)
    share = UPPER_ARM / (UPPER_ARM + FOREARM + GRIP)
    elbow = along(between(shoulder, hand, share), turn - 90.0 * aside, arm.out)
    onward = direction(elbow, hand)
    wrist = along(hand, onward, -GRIP / 2.0)
    return {
        "shoulder": shoulder,
        "elbow": elbow,
        "wrist": wrist,
        "hand": hand,
        "fingertip": along(hand, onward, GRIP / 2.0),
    }


def _leg(hip: Point, leg: AnyLeg, front: bool) -> dict[str, Point]:
    if isinstance(leg, Toward):
        ankle = (leg.x, leg.foot_y + ANKLE_HEIGHT)
        return {"hip": hip, "knee": (leg.x, leg.y), "ankle": ankle} | _front_foot(ankle)
    if isinstance(leg, Leg):
        knee = along(hip, leg.thigh, THIGH)
        ankle = along(knee, leg.shank, SHANK)
    else:
        ankle = _ankle(leg, front)
        bend = -leg.bend if isinstance(leg, At) else -1
        knee = _facing_knee(hip, ankle) if front else _bent(hip, ankle, THIGH, SHANK, bend)
    points = {"hip": hip, "knee": knee, "ankle": ankle}
    if front:
        return points | _front_foot(ankle)
    return points | foot_points(ankle, leg.foot, bent=isinstance(leg, Plant) and leg.foot < 0.0)


def foot_points(ankle: Point, foot: float, *, bent: bool = False) -> dict[str, Point]:
    """Return heel, ball and toe of a foot in the side view, SOLE_RADIUS above its sole.

    bent   the toes lie flat while the heel is lifted
    """
    sole = along(ankle, foot - 90.0, ANKLE_HEIGHT - SOLE_RADIUS)
    ground = along(ankle, foot - 90.0, ANKLE_HEIGHT)
    ball = along(ground, foot, BALL)
    tip = FOOT - HEEL - SOLE_RADIUS
    toe = (ball[0] + tip - BALL, ball[1] + SOLE_RADIUS) if bent else along(sole, foot, tip)
    return {"heel": along(sole, foot, SOLE_RADIUS - HEEL), "ball": ball, "toe": toe}


def _front_foot(ankle: Point) -> dict[str, Point]:
    sole = (ankle[0], ankle[1] - ANKLE_HEIGHT + FOOT_BREADTH / 2)
    return {"heel": sole, "ball": sole, "toe": sole}


def _ankle(leg: Plant | At, front: bool) -> Point:
    if isinstance(leg, At):
        return (leg.x, leg.y)
    return ankle_of(Plant(leg.x, leg.y) if front else leg)


def ankle_of(leg: Plant) -> Point:
    """Return the ankle so that the toes (or the heel) of a turned foot stay where they were."""
    if leg.foot == 0.0:
        return (leg.x, leg.y + ANKLE_HEIGHT)
    end = "ball" if leg.foot < 0.0 else "heel"
    flat = foot_points((leg.x, leg.y + ANKLE_HEIGHT), 0.0)[end]
    turned = foot_points((0.0, 0.0), leg.foot)[end]
    return (flat[0] - turned[0], flat[1] - turned[1])


def _bent(start: Point, end: Point, first: float, second: float, bend: int) -> Point:
    """Return the joint between two parts of known length from start to end."""
    gap = math.dist(start, end)
    if not abs(first - second) <= gap <= first + second + 0.05:
        raise ValueError(f"a limb of {first} and {second} cannot reach from {start} to {end}")
    on_line = min(first, (first**2 - second**2 + gap**2) / (2.0 * gap))
    off_line = math.sqrt(max(0.0, first**2 - on_line**2))
    turn = direction(start, end)
    return along(along(start, turn, on_line), turn - 90.0 * bend, off_line)


def _facing_knee(hip: Point, ankle: Point) -> Point:
    """Return the knee of a leg seen from the front: a bent knee points at the viewer."""
    if math.dist(hip, ankle) > THIGH + SHANK + 0.05:
        raise ValueError(f"a leg cannot reach from {hip} to {ankle}")
    return between(hip, ankle, THIGH / (THIGH + SHANK))


def direction(start: Point, end: Point) -> float:
    """Return the direction from start to end in degrees."""
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
