"""A scene: its poses, what stands around them, the way of the movement, and the wrong way.

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
    Ahead,
    AnyArm,
    AnyLeg,
    Arm,
    At,
    Plant,
    Point,
    Pose,
    Reach,
    Toward,
    along,
    ankle_of,
    foot_points,
)
from programs.figures.props import BED, WHEELED_SEAT, WORKTOP, Carried

#: Parts of a pose by name, to be changed from an upright one.
Changes = dict[str, Any]

LEG = THIGH + SHANK
HANG = Arm(-92.0, -88.0)
OUT = Arm(-98.0, -92.0)
OUT_FAR = Arm(-82.0, -88.0)
#: The hip of a body that sits with level thighs, and of one that lies on the bed.
SEATED_Y = 28.5
LYING_Y = BED + 6.4
#: The trunk of a body propped up on pillows, and the height of a wheelchair's foot rests.
PROPPED = 135.0
FOOT_REST = 6.3


@dataclass(frozen=True)
class Way:
    """The way of one joint from the pose before, shown by an arrow beside it.

    off   how far beside the joint, across and up
    """

    joint: str
    off: Point
    bow: float = 0.0
    both: bool = False


@dataclass(frozen=True, kw_only=True)
class Panel:
    """One pose with what stands around it, goes with it behind and before it, and its arrows."""

    pose: Pose
    around: tuple[Mark, ...] = ()
    behind: tuple[Carried, ...] = ()
    carried: tuple[Carried, ...] = ()
    ways: tuple[Way, ...] = ()
    arrows: tuple[Mark, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Scene:
    """One to three poses with their surroundings, and the wrong way.

    still        only the end is drawn, with a clock: there is nothing to move
    between      a pose on the way, with its own arrows
    around       stands still behind the body in all panels
    around_end   stands behind the body in the end panel instead, where given
    carried      goes with the body, in front of it; carried_end likewise for the end panel
    behind       goes with the body, behind it
    ways, arrows lead to the end pose; arrows stand where they are told
    grips        the hands closed on something: "near", "far" or "both"
    clock        where a clock stands: the end is held for a time
    traced       the pose before is shown as a shade behind
    wrong        what not to do, to be crossed out; or unpictured says why it has no picture
    around_wrong stands behind the wrong pose instead, where given; carried_wrong goes with it
    """

    start: Pose
    end: Pose
    between: Panel | None = None
    still: bool = False
    around: tuple[Mark, ...] = ()
    around_end: tuple[Mark, ...] | None = None
    behind: tuple[Carried, ...] = ()
    carried: tuple[Carried, ...] = ()
    carried_end: tuple[Carried, ...] | None = None
    ways: tuple[Way, ...] = ()
    arrows: tuple[Mark, ...] = ()
    grips: str = ""
    clock: Point | None = None
    traced: bool = True
    wrong: Pose | None = None
    unpictured: str = ""
    around_wrong: tuple[Mark, ...] | None = None
    carried_wrong: tuple[Carried, ...] | None = None

    @property
    def panels(self) -> tuple[Panel, ...]:
        """Return what is drawn, in the order of the movement."""
        around = self.around if self.around_end is None else self.around_end
        end = Panel(
            pose=self.end,
            around=around,
            behind=self.behind,
            carried=self.carried if self.carried_end is None else self.carried_end,
            ways=self.ways,
            arrows=self.arrows,
        )
        if self.still:
            return (end,)
        start = replace(end, pose=self.start, around=self.around, carried=self.carried)
        start = replace(start, ways=(), arrows=())
        return (start, end) if self.between is None else (start, self.between, end)

    @property
    def wrong_panel(self) -> Panel | None:
        """Return the wrong pose where the right one ends."""
        if self.wrong is None:
            return None
        end = replace(self.panels[-1], pose=self.wrong, ways=(), arrows=())
        if self.around_wrong is not None:
            end = replace(end, around=self.around_wrong)
        if self.carried_wrong is not None:
            end = replace(end, behind=(), carried=self.carried_wrong)
        return end


def rounded(pose: Pose, curl: float = 20.0, **changes: Any) -> Pose:
    """Return a pose with a round back and the head hung forward; curl below 0 hollows it."""
    hung = {"curl": curl, "head": pose.head - 1.4 * curl if curl > 0.0 else pose.head, "nose": None}
    return replace(pose, **(hung | changes))


def shrugging(pose: Pose) -> Pose:
    """Return a pose with the shoulders drawn up to the ears: the head sinks between them."""
    return replace(pose, sunk=True)


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


def hands_ahead(x: float, y: float = WORKTOP + 1.5, apart: float = 15.0) -> Changes:
    """Rest both hands on something ahead (seen from behind)."""
    return {"near_arm": Ahead(x - apart, y), "far_arm": Ahead(x + apart, y)}


def both(arm: AnyArm) -> Changes:
    """Do the same with both arms (side view)."""
    return {"near_arm": arm, "far_arm": arm}


def legs(leg: AnyLeg) -> Changes:
    """Do the same with both legs (side view)."""
    return {"near_leg": leg, "far_leg": leg}


def sit(x: float = 48.0, feet: float = 21.0, **changes: Any) -> Pose:
    """Sit upright on a chair in the side view, ankles that far ahead of the hip."""
    seated = stand(x, hip=(x, SEATED_Y), base="sitting", **legs(Plant(x + feet)))
    return replace(seated, **changes)


def wheeled(x: float = 48.0, **changes: Any) -> Pose:
    """Sit upright in a wheelchair in the side view, feet on the foot rests."""
    seated = sit(
        x, hip=(x, WHEELED_SEAT + 6.0), base="wheelchair", **legs(Plant(x + 21.0, FOOT_REST))
    )
    return replace(seated, **changes)


def sit_facing(x: float = 75.0, apart: float = 9.0, **changes: Any) -> Pose:
    """Sit upright in the front view, each knee apart from the middle, hands on the thighs."""
    knees = {"near_leg": Toward(x - apart, 25.5), "far_leg": Toward(x + apart, 25.5)}
    lap = {"near_arm": Ahead(x - 9.0, 29.0), "far_arm": Ahead(x + 9.0, 29.0)}
    seat = {"hip": (x, SEATED_Y), "base": "sitting"}
    return face(x, **(seat | knees | lap | changes))


def propped(at: float = 72.0, **changes: Any) -> Pose:
    """Rest half sitting on the bed in the side view, knees a little bent, hands in the lap."""
    resting = lie(
        at,
        feet=40.0,
        trunk=PROPPED,
        head=PROPPED - 14.0,
        base="propped",
        **both(Reach(at + 8.0, BED + 14.0)),
    )
    return replace(resting, **changes)


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
        base="lying",
        shod=False,
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
