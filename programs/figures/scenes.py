"""A scene: a start and an end pose, what stands around them, and the way of the movement.

Also the few poses that most scenes begin from. The frame of one panel is 150 wide and 136 high.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from programs.figures.linework import Mark
from programs.figures.poses import (
    HALF_HIPS,
    HIP_HEIGHT,
    SHANK,
    SOLE_RADIUS,
    THIGH,
    Arm,
    At,
    Leg,
    Plant,
    Pose,
    Reach,
    along,
    ankle_of,
    foot_points,
)
from programs.figures.props import BED, WORKTOP, Carried

#: Parts of a pose by name, to be changed from an upright one.
Changes = dict[str, Any]

LEG = THIGH + SHANK
HANG = Arm(-92.0, -88.0)
OUT = Arm(-98.0, -92.0)
OUT_FAR = Arm(-82.0, -88.0)
#: The hip of a body that sits with level thighs, and of one that lies on the bed.
SEATED_Y = 28.5
LYING_Y = BED + 6.4


@dataclass(frozen=True, kw_only=True)
class Scene:
    """Two poses with their surroundings; arrows are drawn with the end pose.

    around       stands still behind the body in both panels
    around_end   stands behind the body in the end panel instead, where given
    carried      goes with the body, in front of it; carried_end likewise for the end panel
    """

    start: Pose
    end: Pose
    around: tuple[Mark, ...] = ()
    around_end: tuple[Mark, ...] | None = None
    carried: tuple[Carried, ...] = ()
    carried_end: tuple[Carried, ...] | None = None
    arrows: tuple[Mark, ...] = ()


def stand(x: float = 60.0, **changes: Any) -> Pose:
    """Stand upright in the side view, ankles under the hips."""
    upright = Pose(
        hip=(x, HIP_HEIGHT),
        near_leg=Plant(x),
        far_leg=Plant(x),
        near_arm=HANG,
        far_arm=HANG,
    )
    return replace(upright, **changes)


def face(x: float = 75.0, apart: float = HALF_HIPS, **changes: Any) -> Pose:
    """Stand upright in the front view, each foot apart from the middle."""
    upright = Pose(
        hip=(x, HIP_HEIGHT - 0.2),
        near_leg=Plant(x - apart),
        far_leg=Plant(x + apart),
        near_arm=OUT,
        far_arm=OUT_FAR,
        view="front",
    )
    return replace(upright, **changes)


def back(x: float = 75.0, apart: float = HALF_HIPS, **changes: Any) -> Pose:
    """Stand upright seen from behind with both hands on a worktop ahead."""
    return face(x, apart, **({"seen_from": "back"} | hands_ahead(x) | changes))


def hands_ahead(x: float, y: float = WORKTOP + 2.0, apart: float = 15.0) -> Changes:
    """Rest both hands on something ahead (seen from behind)."""
    return {"near_arm": Reach(x - apart, y, 90.0), "far_arm": Reach(x + apart, y, 90.0)}


def both(arm: Arm | Reach) -> Changes:
    """Do the same with both arms (side view)."""
    return {"near_arm": arm, "far_arm": arm}


def legs(leg: Leg | Plant | At) -> Changes:
    """Do the same with both legs (side view)."""
    return {"near_leg": leg, "far_leg": leg}


def sit(x: float = 48.0, feet: float = 21.0, **changes: Any) -> Pose:
    """Sit upright on a chair in the side view, ankles that far ahead of the hip."""
    seated = stand(x, hip=(x, SEATED_Y), **legs(Plant(x + feet)))
    return replace(seated, **changes)


def lie(at: float = 72.0, y: float = LYING_Y, feet: float = 27.0, **changes: Any) -> Pose:
    """Lie on the back, head to the left, knees bent, feet flat on what the body lies on."""
    floor = y - (LYING_Y - BED)
    lying = Pose(
        hip=(at, y),
        near_leg=Plant(at + feet, floor),
        far_leg=Plant(at + feet, floor),
        near_arm=Reach(at + 9.0, floor + 2.4, 0.0),
        far_arm=Reach(at + 9.0, floor + 2.4, 0.0),
        trunk=180.0,
        head=180.0,
    )
    return replace(lying, **changes)


def on_toes(x: float = 60.0, foot: float = -38.0, **changes: Any) -> Pose:
    """Stand upright on the toes, which stay where they were."""
    plant = Plant(x, 0.0, foot)
    ankle = ankle_of(plant)
    raised = stand(x, hip=(ankle[0], ankle[1] + LEG), **legs(plant))
    return replace(raised, **changes)


def slope(x: float, degrees: float, hand: Reach) -> Pose:
    """Lean on the hands with the body in one line at an angle to the floor, on the toes."""
    plant = Plant(x, 0.0, degrees - 90.0)
    hip = along(ankle_of(plant), degrees, LEG)
    return stand(x, hip=hip, trunk=degrees, head=degrees, **legs(plant), **both(hand))


def in_air(x: float, height: float, **changes: Any) -> Pose:
    """Hang in the air with long legs and loose toes that height above the floor."""
    foot = -35.0
    lowest = min(y for _, y in foot_points((x, 0.0), foot).values()) - SOLE_RADIUS
    ankle = At(x, height - lowest, foot)
    return stand(x, **({"hip": (x, ankle.y + LEG - 0.6)} | legs(ankle) | changes))
