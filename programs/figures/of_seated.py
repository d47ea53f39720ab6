"""Scenes of the exercises on a seat: lifting, balance and posture of who does not stand."""

from __future__ import annotations

from programs.figures.held import band, dumbbells, towel
from programs.figures.linework import arrow
from programs.figures.poses import Ahead, Arm, Leg, Plant, Reach, Toward
from programs.figures.props import chair, chair_ahead, wheelchair
from programs.figures.scenes import (
    HANG,
    Changes,
    Panel,
    Scene,
    Way,
    both,
    legs,
    rounded,
    shrugging,
    sit,
    sit_facing,
    wheeled,
)

ON_SEAT = both(Reach(52.0, 26.0))
ON_THIGHS = both(Reach(64.0, 35.0))
#: Sitting well back, near the rest of a chair around 44.
BACK_X = 38.5
TOWEL: Changes = {"near_arm": Reach(69.0, 41.0, 0.0), "far_arm": Reach(81.0, 41.0, 180.0)}
LAP: Changes = {"near_arm": Arm(-118.0, -52.0), "far_arm": Arm(-62.0, -128.0)}
DRAWN_BACK: Changes = {"near_arm": Arm(-100.0, -62.0), "far_arm": Arm(-80.0, -118.0)}

SLUMPED_KNEE = rounded(
    sit(BACK_X, feet=24.0, near_leg=Leg(2.0, -6.0, 84.0), **both(Reach(44.0, 26.0))), 24.0
)
ON_LAP = both(Reach(64.0, 40.0))

SCENES: dict[str, Scene] = {
    "sitting_march": Scene(
        start=sit(**ON_SEAT),
        end=sit(near_leg=Leg(24.0, -88.0, 0.0), **ON_SEAT),
        around=chair(44.0),
        arrows=arrow((86.0, 30.0), (86.0, 48.0)),
        wrong=rounded(sit(trunk=112.0, near_leg=Leg(24.0, -88.0, 0.0), **ON_SEAT), 24.0),
    ),
    "knee_straightening": Scene(
        start=sit(BACK_X, feet=24.0, **both(Reach(44.0, 26.0))),
        end=sit(BACK_X, feet=24.0, near_leg=Leg(2.0, -6.0, 84.0), **both(Reach(44.0, 26.0))),
        around=chair(44.0),
        ways=(Way("near_ankle", (8.0, -8.0), bow=-6.0),),
        wrong=SLUMPED_KNEE,
    ),
    "sitting_toe_heel_raise": Scene(
        start=sit(**ON_THIGHS),
        between=Panel(
            pose=sit(**legs(Plant(69.0, 0.0, -28.0)), **ON_THIGHS),
            around=chair(44.0),
            ways=(Way("near_heel", (-6.0, 4.0)),),
        ),
        end=sit(**legs(Plant(69.0, 0.0, 24.0)), **ON_THIGHS),
        around=chair(44.0),
        arrows=arrow((90.0, 2.0), (89.0, 16.0), bow=-2.0),
        unpictured="Rocking is a movement, not a posture.",
    ),
    "band_knees_apart": Scene(
        start=sit_facing(apart=6.5),
        end=sit_facing(near_leg=Toward(57.5, 25.5), far_leg=Toward(92.5, 25.5)),
        around=chair_ahead(),
        carried=(band("near_knee", "far_knee", width=3.4),),
        arrows=(*arrow((51.0, 12.0), (38.0, 12.0)), *arrow((99.0, 12.0), (112.0, 12.0))),
        unpictured="A band that snaps the knees in is a speed, not a posture.",
    ),
    "sitting_elbow_press": Scene(
        start=sit(BACK_X, feet=27.0, **both(Arm(-84.0, 4.0))),
        end=sit(BACK_X, feet=27.0, **both(Arm(-110.0, -4.0))),
        around=chair(44.0),
        arrows=arrow((74.0, 30.0), (56.0, 30.0)),
        wrong=sit(
            BACK_X + 4.0, feet=23.0, trunk=100.0, curl=-24.0, head=84.0, **both(Arm(-112.0, -4.0))
        ),
    ),
    "sitting_palm_press": Scene(
        start=sit_facing(52.0, near_arm=Ahead(50.6, 47.0, 8.0), far_arm=Ahead(53.4, 47.0, 8.0)),
        end=wheeled(**both(Reach(78.0, 56.0, 40.0))),
        around=chair_ahead(52.0),
        around_end=wheelchair(44.0),
        arrows=arrow((66.0, 70.0), (88.0, 70.0)),
        wrong=shrugging(
            sit_facing(52.0, near_arm=Ahead(50.6, 47.0, 8.0), far_arm=Ahead(53.4, 47.0, 8.0))
        ),
        around_wrong=chair_ahead(52.0),
    ),
    "sitting_curl": Scene(
        start=wheeled(**both(HANG)),
        end=wheeled(**both(Arm(-92.0, 58.0))),
        around=wheelchair(44.0),
        carried=(dumbbells,),
        grips="both",
        ways=(Way("near_hand", (12.0, 0.0), bow=-5.0),),
        wrong=wheeled(trunk=116.0, head=104.0, **both(Arm(-70.0, 58.0))),
    ),
    "sitting_towel_wring": Scene(
        start=sit_facing(**TOWEL),
        end=sit_facing(**TOWEL),
        around=chair_ahead(),
        carried=(towel(False),),
        carried_end=(towel(True),),
        grips="both",
        arrows=(
            *arrow((50.0, 31.0), (66.0, 31.0), bow=-5.0),
            *arrow((100.0, 52.0), (84.0, 52.0), bow=-5.0),
        ),
        unpictured="A turn of the trunk cannot be told from the front.",
    ),
    "sitting_reach": Scene(
        start=sit_facing(),
        end=sit_facing(trunk=82.0, head=86.0, far_arm=Arm(4.0, 4.0), near_arm=Ahead(62.0, 29.0)),
        around=chair_ahead(),
        arrows=(
            *arrow((100.0, 68.0), (122.0, 68.0)),
            *arrow((118.0, 74.0), (104.0, 96.0), bow=5.0),
        ),
        wrong=sit_facing(
            hip=(80.0, 30.0),
            trunk=52.0,
            head=56.0,
            far_arm=Arm(-6.0, -6.0),
            near_arm=Arm(-150.0, -120.0),
        ),
    ),
    "sitting_weight_shift": Scene(
        start=sit_facing(),
        end=sit_facing(
            hip=(80.0, 29.5),
            trunk=86.0,
            head=92.0,
            near_leg=Toward(68.0, 25.5),
            far_leg=Toward(87.0, 25.5),
            near_arm=Ahead(69.0, 29.0),
            far_arm=Ahead(88.0, 29.0),
        ),
        around=chair_ahead(),
        arrows=arrow((64.0, 86.0), (90.0, 86.0)),
        wrong=sit_facing(
            trunk=64.0, head=56.0, near_arm=Ahead(70.0, 30.0), far_arm=Ahead(92.0, 28.0)
        ),
    ),
    "sitting_foot_lift": Scene(
        start=sit(52.0, **both(Reach(68.0, 35.0))),
        end=sit(52.0, near_leg=Leg(12.0, -90.0, 0.0), **both(Reach(68.0, 36.0))),
        around=chair(44.0),
        arrows=arrow((94.0, 4.0), (94.0, 20.0)),
        wrong=sit(52.0, trunk=116.0, head=104.0, near_leg=Leg(12.0, -90.0, 0.0), **both(HANG)),
    ),
    "sit_tall": Scene(
        start=rounded(wheeled(**ON_LAP), 20.0, trunk=92.0, head=56.0, nose=-20.0),
        end=wheeled(head=91.0, **ON_LAP),
        around=wheelchair(44.0),
        ways=(Way("head", (14.0, 2.0)),),
        wrong=wheeled(trunk=96.0, curl=-24.0, head=86.0, **both(Reach(62.0, 40.0))),
    ),
    "trunk_lean": Scene(
        start=sit(**ON_THIGHS),
        end=sit(trunk=62.0, head=66.0, nose=-16.0, **both(Reach(68.0, 34.0))),
        around=chair(44.0),
        arrows=arrow((52.0, 88.0), (76.0, 82.0), bow=4.0),
        wrong=rounded(sit(trunk=66.0, **both(Reach(72.0, 30.0))), 34.0),
    ),
    "sitting_shoulder_squeeze": Scene(
        start=sit_facing(seen_from="back", **LAP),
        end=sit_facing(seen_from="back", **DRAWN_BACK),
        around=chair_ahead(rest=False),
        arrows=(*arrow((64.0, 48.0), (73.0, 46.0)), *arrow((86.0, 48.0), (77.0, 46.0))),
        wrong=shrugging(sit_facing(seen_from="back", **DRAWN_BACK)),
    ),
    "sitting_chin_tuck": Scene(
        start=sit(BACK_X, feet=27.0, head=60.0, nose=8.0, **both(Reach(54.0, 34.0))),
        end=sit(BACK_X, feet=27.0, head=91.0, nose=0.0, **both(Reach(54.0, 34.0))),
        around=chair(44.0),
        ways=(Way("head", (15.0, 2.0)),),
        wrong=sit(BACK_X, feet=27.0, head=78.0, nose=-44.0, **both(Reach(54.0, 34.0))),
    ),
}
