"""Scenes of the balance ladder. An inset shows the feet from above where they matter."""

from __future__ import annotations

from typing import Any

from programs.figures.body import FACING
from programs.figures.held import cup
from programs.figures.linework import arrow
from programs.figures.poses import Ahead, Arm, At, Leg, Plant, Pose, Reach
from programs.figures.props import WORKTOP, Marks, blocks, footprints, long_worktop, worktop
from programs.figures.scenes import (
    HANG,
    Panel,
    Scene,
    Way,
    back,
    both,
    face,
    hands_ahead,
    on_toes,
    stand,
)

BEHIND = long_worktop(42.0, 108.0)
ALONG = long_worktop(32.0, 100.0)
AHEAD = worktop(75.0, 105.0)
TOUCH = both(Reach(80.0, WORKTOP + 2.4, -18.0))
ABOVE = (102.0, 60.0)
OVER_INSET, OVER_WORKTOP = (118.0, 102.0), (92.0, 84.0)


def soles(*heels: tuple[float, float]) -> Marks:
    return footprints(*heels, at=ABOVE)


SIDE_BY_SIDE = soles((9.0, 10.0), (23.0, 10.0))
TOGETHER = soles((12.9, 10.0), (19.1, 10.0))
HALF = soles((12.9, 4.0), (19.1, 15.0))
LINE = soles((16.0, 3.5), (16.0, 16.0))
ONE = soles((16.0, 10.0))
NEXT = soles((10.5, 10.0), (21.5, 10.0))


def in_line(x: float, front: float, **changes: Any) -> Pose:
    """Stand with one foot in front of the other, the weight between them."""
    gap = front - x
    pose = {"hip": (x + gap / 2, 52.0), "near_leg": Plant(front), "far_leg": Plant(x)}
    return stand(x, **(pose | changes))


def beside(x: float, height: float = WORKTOP + 1.8) -> Reach:
    """Rest the far hand on the worktop beside the body."""
    return Reach(x, height, 0.0)


def pace(x: float, lead: float, trail: float, **changes: Any) -> Pose:
    """Walk: near foot at lead, far foot at trail, whichever is ahead."""
    pose = {
        "hip": (x, 51.0),
        "near_leg": Plant(lead),
        "far_leg": Plant(trail),
        "near_arm": Arm(-100.0, -85.0),
        "far_arm": Arm(-78.0, -60.0),
    }
    return stand(x, **(pose | changes))


LOOKING_DOWN = {"head": 58.0, "nose": -58.0}
WALKING = long_worktop(28.0, 106.0)
OVER = (*WALKING, *blocks(72.0, 100.0))

SCENES: dict[str, Scene] = {
    "feet_together_held": Scene(
        start=back(apart=10.0),
        end=back(apart=3.4),
        clock=OVER_INSET,
        around=(*BEHIND, *SIDE_BY_SIDE),
        around_end=(*BEHIND, *TOGETHER),
        arrows=(*arrow((52.0, 5.0), (65.0, 5.0)), *arrow((98.0, 5.0), (85.0, 5.0))),
        wrong=stand(trunk=88.0, **LOOKING_DOWN, **both(Reach(81.0, WORKTOP + 1.8, 0.0))),
        around_wrong=AHEAD,
    ),
    "weight_shift": Scene(
        start=back(hip=(75.0, 51.6), near_leg=Plant(63.0), far_leg=Plant(87.0)),
        end=back(hip=(83.0, 50.6), near_leg=Plant(63.0), far_leg=Plant(87.0), **hands_ahead(79.0)),
        around=BEHIND,
        ways=(Way("head", (6.0, 13.0)),),
        wrong=back(
            hip=(75.0, 49.8),
            trunk=66.0,
            head=60.0,
            near_leg=Plant(63.0),
            far_leg=Plant(87.0),
            near_arm=Ahead(68.0, WORKTOP + 1.5),
            far_arm=Ahead(98.0, WORKTOP + 1.5),
        ),
    ),
    "semi_tandem": Scene(
        start=stand(60.0, far_arm=beside(75.0)),
        end=in_line(55.0, 64.0, far_arm=beside(75.0)),
        clock=OVER_INSET,
        around=(*ALONG, *NEXT),
        around_end=(*ALONG, *HALF),
        ways=(Way("near_toe", (8.0, 5.0)),),
        unpictured="Holding the breath is not a posture.",
    ),
    "side_walk": Scene(
        start=back(66.0, apart=4.0, **hands_ahead(66.0)),
        end=back(hip=(76.0, 51.4), near_leg=Plant(62.0), far_leg=Plant(90.0), **hands_ahead(76.0)),
        around=BEHIND,
        arrows=arrow((98.0, 10.0), (116.0, 10.0)),
        wrong=back(75.0, hip=(75.0, 50.4), near_leg=Plant(80.0), far_leg=Plant(70.0)),
    ),
    "tandem": Scene(
        start=stand(56.0, far_arm=beside(72.0)),
        end=in_line(51.0, 67.0, far_arm=beside(74.0)),
        clock=OVER_INSET,
        around=(*ALONG, *NEXT),
        around_end=(*ALONG, *LINE),
        ways=(Way("near_toe", (10.0, 5.0)),),
        wrong=in_line(51.0, 67.0, far_arm=beside(74.0), **LOOKING_DOWN),
        around_wrong=ALONG,
    ),
    "toe_stand": Scene(
        start=stand(**TOUCH),
        end=on_toes(**TOUCH),
        clock=OVER_WORKTOP,
        around=AHEAD,
        ways=(Way("near_heel", (-9.0, 3.0)),),
        wrong=on_toes(trunk=66.0, head=72.0, **both(Reach(85.0, WORKTOP + 1.8, 0.0))),
    ),
    "one_leg_stand_held": Scene(
        start=stand(**TOUCH),
        end=stand(near_leg=Leg(-52.0, -104.0, -4.0), **TOUCH),
        clock=OVER_WORKTOP,
        around=AHEAD,
        arrows=arrow((42.0, 4.0), (42.0, 20.0)),
        wrong=back(
            75.0,
            hip=(73.0, 52.8),
            near_leg=Plant(70.0),
            far_leg=At(75.0, 24.0, 0.0),
        ),
        around_wrong=BEHIND,
    ),
    "slow_turn": Scene(
        start=stand(66.0, far_arm=beside(81.0)),
        between=Panel(
            pose=face(66.0), around=ALONG, arrows=arrow((52.0, 108.0), (80.0, 108.0), bow=6.0)
        ),
        end=face(66.0, seen_from="back"),
        around=ALONG,
        traced=False,
        arrows=arrow((52.0, 108.0), (80.0, 108.0), bow=6.0),
        unpictured="Spinning and hurrying are a speed, not a posture.",
    ),
    "one_leg_stand": Scene(
        start=face(),
        end=face(
            hip=(73.0, 52.8),
            near_leg=Plant(70.0),
            far_leg=At(81.0, 19.0, 0.0),
            near_arm=Arm(-115.0, -100.0),
            far_arm=Arm(-65.0, -80.0),
        ),
        clock=OVER_INSET,
        around=(*BEHIND, *SIDE_BY_SIDE),
        around_end=(*BEHIND, *ONE),
        arrows=arrow((93.0, 6.0), (93.0, 22.0)),
        unpictured="Toes that grip inside a shoe cannot be seen.",
    ),
    "tandem_walk": Scene(
        start=in_line(40.0, 54.0, near_arm=HANG, far_arm=Arm(-70.0, -60.0)),
        between=Panel(
            pose=stand(
                hip=(58.0, 52.4),
                near_leg=Plant(54.0),
                far_leg=Leg(-62.0, -100.0, -4.0),
                near_arm=Arm(-80.0, -65.0),
                far_arm=Arm(-95.0, -85.0),
            ),
            around=WALKING,
        ),
        end=in_line(
            70.0,
            54.0,
            near_arm=Arm(-80.0, -65.0),
            far_arm=Arm(-95.0, -85.0),
            near_leg=Plant(54.0),
            far_leg=Plant(70.0),
        ),
        around=WALKING,
        around_end=(*WALKING, *LINE),
        traced=False,
        arrows=arrow((88.0, 8.0), (104.0, 8.0)),
        unpictured="Rushing is a speed, not a posture.",
    ),
    "backward_walk": Scene(
        start=stand(80.0, near_arm=HANG, far_arm=Arm(-80.0, -70.0)),
        end=pace(68.0, 54.0, 80.0, near_leg=Plant(52.0, 0.0, -24.0)),
        around=WALKING,
        traced=False,
        arrows=arrow((46.0, 20.0), (26.0, 20.0)),
        wrong=pace(66.0, 52.0, 80.0, near_leg=Plant(50.0, 0.0, -24.0), trunk=112.0, head=104.0),
    ),
    "step_over": Scene(
        start=stand(46.0, near_arm=HANG),
        between=Panel(
            pose=stand(
                hip=(54.0, 52.2),
                near_leg=Leg(-10.0, -92.0, -4.0),
                far_leg=Plant(48.0),
                near_arm=Arm(-112.0, -88.0),
                far_arm=Arm(-72.0, -50.0),
            ),
            around=OVER,
            arrows=arrow((64.0, 20.0), (64.0, 34.0)),
        ),
        end=stand(
            hip=(72.0, 51.0),
            near_leg=Plant(86.0),
            far_leg=Plant(56.0, 0.0, -30.0),
            near_arm=Arm(-112.0, -88.0),
            far_arm=Arm(-72.0, -50.0),
        ),
        around=OVER,
        traced=False,
        arrows=arrow((78.0, 34.0), (92.0, 16.0), bow=4.0),
        wrong=face(
            68.0,
            hip=(68.0, 52.6),
            near_leg=Plant(64.0),
            far_leg=Leg(-40.0, -60.0, 0.0),
            trunk=98.0,
            head=96.0,
        ),
        around_wrong=blocks(82.0),
    ),
    "tandem_head_turns": Scene(
        start=in_line(52.0, 68.0, near_arm=HANG, far_arm=HANG),
        end=in_line(52.0, 68.0, near_arm=HANG, far_arm=HANG, nose=FACING),
        around=(*ALONG, *LINE),
        arrows=arrow((48.0, 107.0), (72.0, 107.0), bow=6.0, both=True),
        unpictured="Dizziness is not a posture.",
    ),
    "walk_and_carry": Scene(
        start=pace(56.0, 68.0, 40.0, near_arm=Reach(76.0, 66.0), far_leg=Plant(40.0, 0.0, -24.0)),
        end=pace(66.0, 50.0, 78.0, near_arm=Reach(86.0, 66.0), near_leg=Plant(50.0, 0.0, -24.0)),
        around=WALKING,
        carried=(cup("near_hand"),),
        grips="near",
        traced=False,
        arrows=arrow((94.0, 22.0), (110.0, 22.0)),
        unpictured="A hot drink is not a posture.",
    ),
}
