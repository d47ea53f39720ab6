"""Scenes of the impact exercises."""

from __future__ import annotations

from programs.figures.linework import arrow
from programs.figures.poses import Arm, At, Leg, Plant, Reach
from programs.figures.props import WORKTOP, landing, long_worktop, rail, step, worktop
from programs.figures.scenes import HANG, Changes, Scene, both, face, in_air, legs, on_toes, stand

HANDS_ON = both(Reach(81.0, WORKTOP + 1.8, 0.0))
AHEAD = worktop(75.0, 110.0)
ALONG = long_worktop()
#: One hand on a worktop beside the body.
BESIDE: Changes = {"far_arm": Reach(75.0, WORKTOP + 1.8, 0.0)}
DOWN = arrow((46.0, 18.0), (46.0, 4.0))
JUMP_UP = arrow((38.0, 14.0), (38.0, 38.0))


def stride(x: float, *, near_ahead: bool) -> Changes:
    ahead, behind = Plant(x + 15.0, 0.0, 14.0), Plant(x - 19.0, 0.0, -34.0)
    swing, trail = Arm(-62.0, -38.0), Arm(-116.0, -92.0)
    return {
        "hip": (x, 51.0),
        "near_leg": ahead if near_ahead else behind,
        "far_leg": behind if near_ahead else ahead,
        "near_arm": trail if near_ahead else swing,
        "far_arm": swing if near_ahead else trail,
    }


def stamping(knee: Leg, strength: int) -> Scene:
    return Scene(
        start=stand(near_leg=knee, **BESIDE),
        end=stand(**BESIDE),
        around=ALONG,
        around_end=(*ALONG, *landing(60.0, strength)),
        arrows=arrow((84.0, 24.0), (84.0, 4.0)),
    )


SCENES: dict[str, Scene] = {
    "march": Scene(
        start=stand(near_arm=Arm(-80.0, -50.0), **BESIDE),
        end=stand(near_leg=Leg(-22.0, -92.0, -6.0), near_arm=Arm(-112.0, -85.0), **BESIDE),
        around=ALONG,
        arrows=arrow((102.0, 10.0), (102.0, 32.0)),
    ),
    "brisk_walk": Scene(
        start=stand(**stride(62.0, near_ahead=True)),
        end=stand(**stride(70.0, near_ahead=False)),
        arrows=arrow((100.0, 62.0), (124.0, 62.0)),
    ),
    "soft_heel_raise": Scene(
        start=on_toes(**HANDS_ON),
        end=stand(**HANDS_ON),
        around=AHEAD,
        arrows=DOWN,
    ),
    "step_down_low": Scene(
        start=stand(48.0, hip=(48.0, 59.2), **legs(Plant(48.0, 6.3)), far_arm=Reach(66.0, 65.0)),
        end=stand(
            hip=(63.0, 50.6),
            near_leg=Plant(75.0),
            far_leg=Plant(48.0, 6.3),
            far_arm=Reach(83.0, 65.0),
        ),
        around=(*rail(28.0, 120.0, 64.0), *step(28.0, 64.0, 6.3)),
        arrows=arrow((92.0, 26.0), (92.0, 6.0)),
    ),
    "gentle_stamp": stamping(Leg(-62.0, -108.0, -14.0), 1),
    "forward_step": Scene(
        start=stand(42.0, near_arm=HANG, far_arm=Reach(57.0, WORKTOP + 1.8, 0.0)),
        end=stand(
            hip=(62.0, 45.0),
            near_leg=Plant(82.0),
            far_leg=Plant(38.0, 0.0, -40.0),
            far_arm=Reach(78.0, WORKTOP + 1.8, 0.0),
        ),
        around=ALONG,
        around_end=(*ALONG, *landing(82.0, 2)),
        arrows=arrow((94.0, 34.0), (106.0, 12.0), bow=4.0),
    ),
    "stamp": stamping(Leg(-42.0, -100.0, -8.0), 2),
    "held_jump": Scene(
        start=stand(hip=(53.0, 44.0), trunk=74.0, head=84.0, nose=0.0, **HANDS_ON),
        end=in_air(61.0, 3.0, hip=(60.0, 57.0), **both(Reach(78.0, WORKTOP + 1.8, 0.0))),
        around=AHEAD,
        arrows=JUMP_UP,
    ),
    "small_jump": Scene(
        start=stand(hip=(52.0, 43.0), trunk=68.0, head=80.0, nose=0.0, **both(Arm(-128.0, -115.0))),
        end=in_air(60.0, 5.0, **both(Arm(-30.0, 5.0))),
        arrows=JUMP_UP,
    ),
    "one_leg_hop": Scene(
        start=stand(
            46.0,
            hip=(42.0, 48.0),
            trunk=80.0,
            near_leg=Plant(46.0),
            far_leg=Leg(-76.0, -164.0, -80.0),
            near_arm=Arm(-120.0, -100.0),
            far_arm=Arm(-110.0, -90.0),
        ),
        end=stand(
            hip=(84.0, 56.0),
            trunk=86.0,
            near_leg=At(89.0, 11.0, -12.0),
            far_leg=Leg(-76.0, -164.0, -80.0),
            near_arm=Arm(-40.0, -5.0),
            far_arm=Arm(-50.0, -15.0),
        ),
        around=long_worktop(20.0, 136.0),
        arrows=arrow((44.0, 108.0), (70.0, 108.0), bow=7.0),
    ),
    "firm_stamp": stamping(Leg(-18.0, -95.0, -5.0), 3),
    "heel_drop": Scene(
        start=on_toes(**HANDS_ON),
        end=stand(**HANDS_ON),
        around=AHEAD,
        around_end=(*AHEAD, *landing(60.0, 3)),
        arrows=arrow((42.0, 30.0), (42.0, 8.0), width=2.6),
    ),
    "star_jump": Scene(
        start=face(apart=3.2),
        end=face(
            hip=(75.0, 56.0),
            near_leg=Leg(-112.0, -112.0, 0.0),
            far_leg=Leg(-68.0, -68.0, 0.0),
            near_arm=Arm(142.0, 142.0),
            far_arm=Arm(38.0, 38.0),
        ),
        arrows=(
            *arrow((48.0, 66.0), (34.0, 84.0), bow=4.0),
            *arrow((102.0, 66.0), (116.0, 84.0), bow=-4.0),
        ),
    ),
}
