"""Scenes of the resistance exercises for the hips and the back."""

from __future__ import annotations

from programs.figures.held import band, barbell, dumbbell, dumbbells, foot_plate
from programs.figures.linework import MIDDLE, Stroke, arrow, box
from programs.figures.poses import Ahead, Arm, At, Leg, Plant, Pose, Reach
from programs.figures.props import WORKTOP, bed, bench, chair, long_worktop, mat, wall, worktop
from programs.figures.scenes import (
    HANG,
    OUT_FAR,
    Changes,
    Scene,
    Way,
    back,
    both,
    face,
    hands_ahead,
    legs,
    lie,
    rounded,
    sit,
    stand,
)

HANDS_ON = both(Reach(81.0, WORKTOP + 1.8, 0.0))
BEHIND = long_worktop(42.0, 112.0)
COLUMN = (Stroke(((128.0, 0.0), (128.0, 100.0)), 4.0, MIDDLE), box(120.0, 2.0, 136.0, 26.0))
FOOT_REST = (
    Stroke(((66.0, 2.0), (126.0, 2.0)), 2.6, MIDDLE),
    Stroke(((96.0, 2.0), (96.0, 22.0)), 2.6, MIDDLE),
)
SIDE_COLUMN = (Stroke(((34.0, 0.0), (34.0, 100.0)), 4.0, MIDDLE), box(25.0, 4.0, 43.0, 30.0))
FRAME_HELD: Changes = {"near_arm": Reach(36.0, 70.0), "far_arm": OUT_FAR}
HANDS_DOWN = both(Reach(91.0, 2.0 + 1.8, 0.0))
ALL_FOURS: Changes = {
    "hip": (58.0, 28.6),
    "trunk": 12.0,
    "head": 8.0,
    "base": "hands_and_knees",
} | HANDS_DOWN
KNEEL = Leg(-92.0, 178.0, 196.0)
ROW_STANCE: Changes = {
    "hip": (46.0, 50.0),
    "trunk": 34.0,
    "head": 40.0,
    "nose": -35.0,
    "near_leg": Plant(36.0),
    "far_leg": Plant(58.0),
    "far_arm": Reach(97.0, WORKTOP + 1.8, 0.0),
}
POST = Stroke(((112.0, 0.0), (112.0, 84.0)), 5.0, MIDDLE)
ON_MACHINE: Changes = {"hip": (46.0, 30.0)} | legs(At(89.0, 27.0, 82.0))
AT_WALL: Changes = {"hip": (56.0, 52.8)} | legs(Plant(59.0))
HINGED: Changes = {"hip": (48.0, 49.0), "trunk": 36.0, "head": 46.0, "nose": -20.0}
#: A bar lifted by the back, its legs nearly straight; and weights let down to the floor.
DEAD_BENT = stand(hip=(48.0, 47.0), trunk=8.0, head=28.0, **both(Reach(64.0, 18.0)))
BENT_OVER = stand(hip=(52.0, 52.0), trunk=4.0, head=20.0, **both(Arm(-95.0, -92.0)))


def pulling(hands: Reach, trunk: float, **changes: float) -> Pose:
    return sit(**(ON_MACHINE | {"trunk": trunk} | both(hands) | changes))


SCENES: dict[str, Scene] = {
    "deadlift": Scene(
        start=stand(hip=(44.0, 33.4), trunk=39.0, head=56.0, nose=-5.0, **both(Reach(67.0, 13.5))),
        end=stand(**both(Arm(-84.0, -82.0))),
        carried=(barbell("near_hand", radius=10.0),),
        grips="both",
        ways=(Way("near_hand", (20.0, 0.0)),),
        wrong=rounded(DEAD_BENT, 30.0),
    ),
    "dumbbell_hip_hinge": Scene(
        start=stand(**both(Arm(-86.0, -84.0))),
        end=stand(**HINGED, **both(Arm(-95.0, -95.0))),
        carried=(dumbbells,),
        grips="both",
        ways=(Way("hip", (-13.0, 6.0)),),
        wrong=rounded(BENT_OVER, 30.0),
    ),
    "cable_side_leg": Scene(
        start=face(76.0, **FRAME_HELD),
        end=face(76.0, **FRAME_HELD, far_leg=Leg(-62.0, -62.0, 0.0)),
        around=SIDE_COLUMN,
        behind=(band((36.0, 7.0), "far_ankle", width=1.6),),
        grips="near",
        arrows=arrow((112.0, 4.0), (122.0, 17.0), bow=-3.0),
        wrong=face(
            72.0,
            hip=(76.0, 52.8),
            trunk=108.0,
            head=104.0,
            near_leg=Plant(70.6),
            far_leg=Leg(-58.0, -58.0, 0.0),
            near_arm=Reach(36.0, 70.0),
            far_arm=OUT_FAR,
        ),
    ),
    "band_side_step": Scene(
        start=back(66.0),
        end=back(
            76.0, hip=(76.0, 51.2), near_leg=Plant(60.0), far_leg=Plant(92.0), **hands_ahead(76.0)
        ),
        around=BEHIND,
        carried=(band("near_ankle", "far_ankle", width=2.6),),
        arrows=arrow((100.0, 12.0), (118.0, 12.0)),
        unpictured="A band that snaps the foot in is a speed, not a posture.",
    ),
    "bridge": Scene(
        start=lie(),
        end=lie(
            hip=(68.4, 42.0),
            near_leg=Plant(99.0, 22.0),
            far_leg=Plant(99.0, 22.0),
            trunk=208.2,
        ),
        around=bed(22.0, 122.0),
        arrows=arrow((66.0, 54.0), (66.0, 68.0)),
        wrong=lie(
            hip=(68.0, 47.0),
            near_leg=Plant(99.0, 22.0),
            far_leg=Plant(99.0, 22.0),
            trunk=212.0,
            curl=-18.0,
            head=170.0,
        ),
    ),
    "side_leg_raise": Scene(
        start=back(),
        end=back(far_leg=Leg(-62.0, -62.0, 0.0)),
        around=BEHIND,
        arrows=arrow((112.0, 4.0), (122.0, 17.0), bow=-3.0),
        wrong=back(
            trunk=106.0,
            head=102.0,
            near_leg=Plant(69.6),
            far_leg=Leg(-56.0, -56.0, 0.0),
            near_arm=Ahead(56.0, WORKTOP + 1.5),
            far_arm=Ahead(80.0, WORKTOP + 1.5),
        ),
    ),
    "back_leg_raise": Scene(
        start=stand(**HANDS_ON),
        end=stand(near_leg=Leg(-115.0, -115.0, -28.0), trunk=88.0, **HANDS_ON),
        around=worktop(75.0, 105.0),
        arrows=arrow((30.0, 4.0), (19.0, 16.0), bow=3.0),
        wrong=stand(
            near_leg=Leg(-138.0, -138.0, -50.0),
            trunk=56.0,
            curl=-14.0,
            head=70.0,
            nose=0.0,
            **both(Reach(86.0, WORKTOP + 1.8, 0.0)),
        ),
    ),
    "cable_row": Scene(
        start=pulling(Reach(80.0, 50.0), 91.0),
        end=pulling(Reach(58.0, 46.0), 93.0),
        around=(*COLUMN, *bench(32.0, 66.0, 24.2), *FOOT_REST),
        carried=(foot_plate, band("near_hand", (126.0, 52.0), width=1.6)),
        grips="both",
        ways=(Way("near_hand", (6.0, 12.0)),),
        wrong=rounded(pulling(Reach(84.0, 46.0), 72.0), 26.0),
    ),
    "dumbbell_row": Scene(
        start=stand(**ROW_STANCE, near_arm=HANG),
        end=stand(**ROW_STANCE, near_arm=Arm(196.0, -86.0)),
        around=worktop(88.0, 118.0),
        carried=(dumbbell("near_hand"),),
        grips="near",
        arrows=arrow((74.0, 26.0), (74.0, 44.0)),
        unpictured="A twist of the trunk cannot be told from the side.",
    ),
    "band_row": Scene(
        start=sit(**both(Reach(80.0, 50.0))),
        end=sit(trunk=92.0, **both(Reach(58.0, 46.0))),
        around=(*chair(44.0), POST),
        carried=(band("near_hand", (112.0, 50.0), width=2.2),),
        grips="both",
        ways=(Way("near_hand", (8.0, 12.0)),),
        wrong=sit(trunk=118.0, head=104.0, **both(Reach(50.0, 50.0))),
    ),
    "wall_elbow_press": Scene(
        start=stand(56.0, **AT_WALL, **both(Arm(-92.0, 0.0))),
        end=stand(56.0, **AT_WALL, **both(Arm(-104.0, -4.0))),
        around=wall(48.0, 108.0),
        arrows=arrow((80.0, 54.0), (64.0, 54.0)),
        wrong=stand(
            56.0,
            **(AT_WALL | {"hip": (60.0, 52.6)}),
            trunk=98.0,
            curl=-20.0,
            head=84.0,
            **both(Arm(-104.0, -4.0)),
        ),
    ),
    "bird_dog": Scene(
        start=stand(**ALL_FOURS, near_leg=KNEEL, far_leg=KNEEL),
        end=stand(
            **(ALL_FOURS | {"far_arm": Arm(10.0, 10.0)}),
            near_leg=Leg(176.0, 176.0, 262.0),
            far_leg=KNEEL,
        ),
        around=mat(20.0, 116.0),
        ways=(Way("near_heel", (2.0, -12.0)), Way("far_hand", (4.0, -12.0))),
        wrong=stand(
            **(ALL_FOURS | {"far_arm": Arm(24.0, 24.0), "curl": -22.0, "head": 40.0}),
            near_leg=Leg(160.0, 160.0, 246.0),
            far_leg=KNEEL,
        ),
    ),
}
