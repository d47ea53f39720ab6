"""Scenes of the impact exercises."""

from __future__ import annotations

from programs.figures.linework import Mark, arrow
from programs.figures.poses import Arm, At, Leg, Plant, Pose, Reach
from programs.figures.props import WORKTOP, landing, long_worktop, rail, step, worktop
from programs.figures.scenes import (
    HANG,
    Changes,
    Panel,
    Scene,
    Way,
    both,
    face,
    in_air,
    legs,
    on_toes,
    stand,
)

HANDS_ON = both(Reach(81.0, WORKTOP + 1.8, 0.0))
AHEAD = worktop(75.0, 105.0)
ALONG = long_worktop(32.0, 104.0)
#: One hand on a worktop beside the body.
BESIDE: Changes = {"far_arm": Reach(75.0, WORKTOP + 1.8, 0.0)}
#: A body that lands, knees and hips a little bent; and one that lands on straight legs.
SOFT: Changes = {"hip": (55.0, 46.0), "trunk": 76.0, "head": 86.0, "nose": 0.0}
FREE = both(Arm(-60.0, -30.0))
STIFF = "A locked knee and one that is just straight look the same."


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


LONG_STEP: Changes = {"near_leg": Plant(86.0, 0.0, 18.0), "hip": (64.0, 46.0)}


def stiff(**changes: object) -> Pose:
    """Land bolt upright on straight knees."""
    return stand(**(both(Arm(-70.0, -50.0)) | changes))


def stamping(knee: Leg, strength: int, height: tuple[Mark, ...]) -> Scene:
    """Stand, lift one foot, stamp: higher and harder by strength."""
    lifted = stand(near_leg=knee, near_arm=HANG, **BESIDE)
    return Scene(
        start=stand(**BESIDE),
        between=Panel(pose=lifted, around=ALONG, arrows=height),
        end=stand(hip=(59.0, 52.4), near_leg=Plant(62.0), far_leg=Plant(60.0), **BESIDE),
        around=ALONG,
        around_end=(*ALONG, *landing(62.0, strength)),
        arrows=arrow((86.0, 12.0 + 12.0 * strength), (86.0, 4.0), width=1.2 + 0.6 * strength),
        traced=True,
        unpictured=STIFF,
    )


def hopping(hip: tuple[float, float], foot: Plant | At, trunk: float, arms: Arm) -> Pose:
    return stand(
        hip=hip,
        trunk=trunk,
        near_leg=foot,
        far_leg=Leg(-76.0, -164.0, -80.0),
        **both(arms),
    )


HOP_ALONG = long_worktop(24.0, 112.0)

SCENES: dict[str, Scene] = {
    "march": Scene(
        start=stand(
            near_leg=Plant(60.0),
            far_leg=Leg(-24.0, -94.0, -6.0),
            near_arm=Arm(-64.0, -30.0),
            **BESIDE,
        ),
        end=stand(near_leg=Leg(-24.0, -94.0, -6.0), near_arm=Arm(-118.0, -85.0), **BESIDE),
        around=ALONG,
        arrows=arrow((96.0, 12.0), (96.0, 34.0)),
        traced=False,
        wrong=stand(
            trunk=112.0,
            head=104.0,
            near_leg=Leg(-8.0, -80.0, 0.0),
            near_arm=Arm(-118.0, -85.0),
            far_arm=Arm(-70.0, -60.0),
        ),
    ),
    "brisk_walk": Scene(
        start=stand(**stride(62.0, near_ahead=True)),
        end=stand(**stride(62.0, near_ahead=False)),
        traced=False,
        arrows=arrow((84.0, 62.0), (104.0, 62.0)),
        wrong=stand(
            **(
                stride(62.0, near_ahead=True)
                | {"near_leg": Plant(86.0, 0.0, 18.0), "hip": (64.0, 46.0)}
            ),
            trunk=80.0,
            head=44.0,
            nose=-52.0,
        ),
    ),
    "soft_heel_raise": Scene(
        start=stand(**HANDS_ON),
        between=Panel(
            pose=on_toes(**HANDS_ON), around=AHEAD, ways=(Way("near_heel", (-9.0, 3.0)),)
        ),
        end=stand(**HANDS_ON),
        around=AHEAD,
        around_end=(*AHEAD, *landing(60.0, 1)),
        arrows=arrow((44.0, 20.0), (44.0, 7.0)),
        unpictured=STIFF,
    ),
    "step_down_low": Scene(
        start=stand(
            48.0, hip=(48.0, 59.2), **legs(Plant(48.0, 6.3)), far_arm=Reach(66.0, 65.0, 0.0)
        ),
        end=stand(
            hip=(63.0, 50.6),
            near_leg=Plant(75.0),
            far_leg=Plant(48.0, 6.3),
            far_arm=Reach(83.0, 65.0, 0.0),
        ),
        around=(*rail(32.0, 104.0, 64.0), *step(28.0, 64.0, 6.3)),
        grips="far",
        arrows=arrow((94.0, 26.0), (92.0, 6.0)),
        wrong=stand(
            hip=(62.0, 52.4),
            near_leg=Plant(67.0),
            far_leg=Plant(48.0, 6.3),
            far_arm=Reach(83.0, 65.0, 0.0),
            trunk=98.0,
            head=94.0,
        ),
    ),
    "gentle_stamp": stamping(
        Leg(-66.0, -106.0, -10.0), 1, arrow((84.0, 4.0), (84.0, 14.0), width=1.4)
    ),
    "forward_step": Scene(
        start=stand(42.0, near_arm=HANG, far_arm=Reach(57.0, WORKTOP + 1.8, 0.0)),
        end=stand(
            hip=(62.0, 45.0),
            near_leg=Plant(82.0),
            far_leg=Plant(38.0, 0.0, -40.0),
            far_arm=Reach(78.0, WORKTOP + 1.8, 0.0),
        ),
        around=long_worktop(28.0, 108.0),
        around_end=(*long_worktop(28.0, 108.0), *landing(82.0, 2)),
        traced=False,
        arrows=arrow((90.0, 36.0), (102.0, 14.0), bow=4.0),
        wrong=stand(
            hip=(62.0, 45.0),
            trunk=48.0,
            head=50.0,
            near_leg=Plant(82.0),
            far_leg=Plant(38.0, 0.0, -40.0),
            far_arm=Arm(-70.0, -60.0),
        ),
    ),
    "stamp": stamping(Leg(-42.0, -100.0, -8.0), 2, arrow((88.0, 6.0), (88.0, 24.0), width=1.8)),
    "held_jump": Scene(
        start=stand(hip=(53.0, 44.0), trunk=74.0, head=84.0, nose=0.0, **HANDS_ON),
        between=Panel(
            pose=in_air(61.0, 3.0, hip=(60.0, 57.0), **both(Reach(78.0, WORKTOP + 1.8, 0.0))),
            around=AHEAD,
            arrows=arrow((36.0, 16.0), (36.0, 36.0)),
        ),
        end=stand(hip=(53.0, 44.0), trunk=74.0, head=84.0, nose=0.0, **HANDS_ON),
        around=AHEAD,
        around_end=(*AHEAD, *landing(60.0, 2)),
        arrows=arrow((36.0, 36.0), (36.0, 16.0)),
        wrong=stand(**HANDS_ON),
    ),
    "small_jump": Scene(
        start=stand(hip=(52.0, 43.0), trunk=68.0, head=80.0, nose=0.0, **both(Arm(-128.0, -115.0))),
        between=Panel(
            pose=in_air(60.0, 5.0, **both(Arm(-30.0, 5.0))),
            arrows=arrow((40.0, 14.0), (40.0, 36.0)),
        ),
        end=stand(**SOFT, **FREE),
        around_end=landing(60.0, 2),
        arrows=arrow((38.0, 36.0), (38.0, 14.0)),
        wrong=stiff(),
    ),
    "one_leg_hop": Scene(
        start=hopping((42.0, 48.0), Plant(46.0), 80.0, Arm(-120.0, -100.0)),
        between=Panel(
            pose=hopping((64.0, 56.0), At(69.0, 11.0, -12.0), 86.0, Arm(-50.0, -15.0)),
            around=HOP_ALONG,
            arrows=arrow((44.0, 106.0), (66.0, 106.0), bow=6.0),
        ),
        end=hopping((80.0, 46.0), Plant(85.0), 78.0, Arm(-70.0, -40.0)),
        around=HOP_ALONG,
        around_end=(*HOP_ALONG, *landing(85.0, 2)),
        traced=False,
        arrows=arrow((64.0, 104.0), (82.0, 98.0), bow=4.0),
        unpictured="Being tired or unsteady is not a posture.",
    ),
    "firm_stamp": stamping(Leg(-14.0, -95.0, -5.0), 3, arrow((94.0, 8.0), (94.0, 36.0), width=2.4)),
    "heel_drop": Scene(
        start=stand(**HANDS_ON),
        between=Panel(
            pose=on_toes(**HANDS_ON), around=AHEAD, ways=(Way("near_heel", (-9.0, 3.0)),)
        ),
        end=stand(hip=(60.0, 52.6), near_leg=Plant(60.4), far_leg=Plant(60.4), **HANDS_ON),
        around=AHEAD,
        around_end=(*AHEAD, *landing(60.0, 3)),
        arrows=arrow((40.0, 34.0), (40.0, 7.0), width=3.0),
        unpictured=STIFF,
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
        wrong=stiff(),
    ),
}
