"""Scenes of the balance ladder. An inset shows the feet from above where they matter."""

from __future__ import annotations

from typing import Any

from programs.figures.body import FACING
from programs.figures.linework import arrow
from programs.figures.poses import Arm, At, Leg, Plant, Pose, Reach
from programs.figures.props import (
    WORKTOP,
    blocks,
    cup,
    footprints,
    long_worktop,
    worktop,
)
from programs.figures.scenes import (
    HANG,
    Scene,
    back,
    both,
    face,
    hands_ahead,
    on_toes,
    stand,
)

BEHIND = long_worktop(30.0, 120.0)
ALONG = long_worktop()
AHEAD = worktop(75.0, 110.0)
TOUCH = both(Reach(80.0, WORKTOP + 2.4, -18.0))
SIDE_BY_SIDE = footprints((9.0, 12.0), (21.0, 12.0))
TOGETHER = footprints((11.6, 12.0), (18.4, 12.0))
HALF = footprints((11.6, 6.0), (18.4, 14.5))
LINE = footprints((15.0, 3.5), (15.0, 17.5))
ONE = footprints((15.0, 12.0))


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


SCENES: dict[str, Scene] = {
    "feet_together_held": Scene(
        start=back(apart=9.0),
        end=back(apart=2.9),
        around=(*BEHIND, *SIDE_BY_SIDE),
        around_end=(*BEHIND, *TOGETHER),
        arrows=(*arrow((56.0, 4.0), (66.0, 4.0)), *arrow((94.0, 4.0), (84.0, 4.0))),
    ),
    "weight_shift": Scene(
        start=back(apart=11.0),
        end=back(hip=(84.0, 50.6), near_leg=Plant(64.0), far_leg=Plant(86.0), **hands_ahead(80.0)),
        around=BEHIND,
        arrows=arrow((66.0, 112.0), (88.0, 112.0)),
    ),
    "semi_tandem": Scene(
        start=stand(60.0, far_arm=beside(75.0)),
        end=in_line(56.0, 64.0, far_arm=beside(75.0)),
        around=(*ALONG, *TOGETHER),
        around_end=(*ALONG, *HALF),
        arrows=arrow((84.0, 8.0), (96.0, 8.0)),
    ),
    "side_walk": Scene(
        start=back(58.0, apart=3.2, **hands_ahead(58.0)),
        end=back(hip=(74.0, 51.4), near_leg=Plant(57.0), far_leg=Plant(91.0), **hands_ahead(74.0)),
        around=BEHIND,
        arrows=arrow((104.0, 8.0), (124.0, 8.0)),
    ),
    "tandem": Scene(
        start=stand(56.0, far_arm=beside(72.0)),
        end=in_line(52.0, 68.0, far_arm=beside(76.0)),
        around=(*ALONG, *TOGETHER),
        around_end=(*ALONG, *LINE),
        arrows=arrow((88.0, 8.0), (100.0, 8.0)),
    ),
    "toe_stand": Scene(
        start=stand(**TOUCH),
        end=on_toes(**TOUCH),
        around=AHEAD,
        arrows=arrow((44.0, 2.0), (44.0, 18.0)),
    ),
    "one_leg_stand_held": Scene(
        start=stand(**TOUCH),
        end=stand(near_leg=Leg(-82.0, -135.0, -48.0), **TOUCH),
        around=AHEAD,
        arrows=arrow((30.0, 2.0), (30.0, 18.0)),
    ),
    "slow_turn": Scene(
        start=stand(72.0, far_arm=beside(87.0)),
        end=face(75.0),
        around=ALONG,
        arrows=arrow((56.0, 112.0), (94.0, 112.0), bow=8.0),
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
        around=(*BEHIND, *SIDE_BY_SIDE),
        around_end=(*BEHIND, *ONE),
        arrows=arrow((96.0, 4.0), (96.0, 20.0)),
    ),
    "tandem_walk": Scene(
        start=in_line(40.0, 55.2, near_arm=HANG, far_arm=Arm(-70.0, -60.0)),
        end=in_line(
            70.4,
            55.2,
            near_arm=Arm(-80.0, -65.0),
            far_arm=Arm(-95.0, -85.0),
            near_leg=Plant(55.2),
            far_leg=Plant(70.4),
        ),
        around=(*ALONG, *LINE),
        arrows=arrow((92.0, 8.0), (116.0, 8.0)),
    ),
    "backward_walk": Scene(
        start=stand(86.0, near_arm=HANG, far_arm=Arm(-80.0, -70.0)),
        end=pace(72.0, 56.0, 86.0, near_leg=Plant(55.0, 0.0, -24.0)),
        around=ALONG,
        arrows=arrow((48.0, 20.0), (24.0, 20.0)),
    ),
    "step_over": Scene(
        start=stand(40.0, near_arm=HANG),
        end=stand(
            hip=(52.0, 52.2),
            near_leg=Leg(-14.0, -94.0, -6.0),
            far_leg=Plant(46.0),
            near_arm=Arm(-112.0, -88.0),
            far_arm=Arm(-72.0, -50.0),
        ),
        around=(*ALONG, *blocks(72.0, 104.0)),
        arrows=arrow((94.0, 34.0), (89.0, 8.0), bow=3.0),
    ),
    "tandem_head_turns": Scene(
        start=in_line(52.0, 68.0, near_arm=HANG, far_arm=HANG),
        end=in_line(52.0, 68.0, near_arm=HANG, far_arm=HANG, nose=FACING),
        around=(*ALONG, *LINE),
        arrows=arrow((48.0, 106.0), (72.0, 106.0), bow=8.0, both=True),
    ),
    "walk_and_carry": Scene(
        start=pace(48.0, 60.0, 36.0, near_arm=Reach(68.0, 66.0), far_leg=Plant(32.0, 0.0, -24.0)),
        end=pace(78.0, 66.0, 90.0, near_arm=Reach(98.0, 66.0), near_leg=Plant(62.0, 0.0, -24.0)),
        around=ALONG,
        carried=(cup("near_hand"),),
        arrows=arrow((110.0, 22.0), (132.0, 22.0)),
    ),
}
