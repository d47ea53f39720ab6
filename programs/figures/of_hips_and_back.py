"""Scenes of the resistance exercises for the hips and the back."""

from __future__ import annotations

from programs.figures.linework import MIDDLE, Stroke, arrow, box
from programs.figures.poses import Arm, At, Leg, Plant, Reach
from programs.figures.props import (
    WORKTOP,
    band,
    barbell,
    bed,
    bench,
    chair,
    dumbbell,
    dumbbells,
    foot_plate,
    long_worktop,
    mat,
    wall,
    worktop,
)
from programs.figures.scenes import (
    HANG,
    OUT_FAR,
    Changes,
    Scene,
    back,
    both,
    face,
    hands_ahead,
    legs,
    lie,
    sit,
    stand,
)

HANDS_ON = both(Reach(81.0, WORKTOP + 1.8, 0.0))
BEHIND = long_worktop(30.0, 120.0)
COLUMN = (Stroke(((128.0, 0.0), (128.0, 128.0)), 4.0, MIDDLE), box(120.0, 2.0, 136.0, 26.0))
FOOT_REST = (
    Stroke(((66.0, 2.0), (126.0, 2.0)), 2.6, MIDDLE),
    Stroke(((96.0, 2.0), (96.0, 22.0)), 2.6, MIDDLE),
)
SIDE_COLUMN = (Stroke(((24.0, 0.0), (24.0, 120.0)), 4.0, MIDDLE), box(14.0, 4.0, 32.0, 30.0))
ALL_FOURS: Changes = {
    "hip": (58.0, 28.6),
    "trunk": 12.0,
    "head": 8.0,
    "near_arm": Reach(91.0, 2.0 + 1.8, 0.0),
    "far_arm": Reach(91.0, 2.0 + 1.8, 0.0),
}
KNEEL = Leg(-92.0, 178.0, 196.0)

SCENES: dict[str, Scene] = {
    "deadlift": Scene(
        start=stand(hip=(44.0, 33.4), trunk=39.0, head=56.0, nose=-5.0, **both(Reach(67.0, 13.5))),
        end=stand(**both(Arm(-84.0, -82.0))),
        carried=(barbell("near_hand", radius=12.0),),
        arrows=arrow((96.0, 20.0), (96.0, 48.0)),
    ),
    "dumbbell_hip_hinge": Scene(
        start=stand(**both(Arm(-86.0, -84.0))),
        end=stand(hip=(48.0, 49.0), trunk=36.0, head=46.0, nose=-20.0, **both(Arm(-95.0, -95.0))),
        carried=(dumbbells,),
        arrows=arrow((42.0, 66.0), (26.0, 56.0)),
    ),
    "cable_side_leg": Scene(
        start=face(76.0, near_arm=Reach(26.0, 76.0), far_arm=OUT_FAR),
        end=face(
            76.0,
            near_arm=Reach(26.0, 76.0),
            far_arm=OUT_FAR,
            far_leg=Leg(-60.0, -60.0, 0.0),
        ),
        around=SIDE_COLUMN,
        carried=(band((24.0, 7.0), "far_ankle", width=1.4),),
        arrows=arrow((114.0, 5.0), (125.0, 18.0), bow=-3.0),
    ),
    "band_side_step": Scene(
        start=back(64.0),
        end=back(
            76.0, hip=(76.0, 51.2), near_leg=Plant(57.5), far_leg=Plant(94.5), **hands_ahead(76.0)
        ),
        around=BEHIND,
        carried=(band("near_ankle", "far_ankle", width=2.6),),
        arrows=arrow((100.0, 12.0), (118.0, 12.0)),
    ),
    "bridge": Scene(
        start=lie(),
        end=lie(
            hip=(68.4, 42.0),
            near_leg=Plant(99.0, 22.0),
            far_leg=Plant(99.0, 22.0),
            trunk=208.2,
        ),
        around=bed(),
        arrows=arrow((62.0, 52.0), (62.0, 72.0)),
    ),
    "side_leg_raise": Scene(
        start=back(),
        end=back(far_leg=Leg(-62.0, -62.0, 0.0)),
        around=BEHIND,
        arrows=arrow((113.0, 5.0), (124.0, 18.0), bow=-3.0),
    ),
    "back_leg_raise": Scene(
        start=stand(**HANDS_ON),
        end=stand(near_leg=Leg(-115.0, -115.0, -28.0), trunk=88.0, **HANDS_ON),
        around=worktop(75.0, 110.0),
        arrows=arrow((30.0, 4.0), (19.0, 16.0), bow=3.0),
    ),
    "cable_row": Scene(
        start=sit(
            hip=(46.0, 30.0), trunk=91.0, **legs(At(89.0, 27.0, 82.0)), **both(Reach(80.0, 50.0))
        ),
        end=sit(
            hip=(46.0, 30.0), trunk=93.0, **legs(At(89.0, 27.0, 82.0)), **both(Reach(58.0, 46.0))
        ),
        around=(*COLUMN, *bench(32.0, 66.0, 24.2), *FOOT_REST),
        carried=(foot_plate, band("near_hand", (126.0, 52.0), width=1.4)),
        arrows=arrow((90.0, 60.0), (70.0, 60.0)),
    ),
    "dumbbell_row": Scene(
        start=stand(
            hip=(46.0, 50.0),
            trunk=34.0,
            head=40.0,
            nose=-35.0,
            near_leg=Plant(36.0),
            far_leg=Plant(58.0),
            near_arm=HANG,
            far_arm=Reach(97.0, WORKTOP + 1.8, 0.0),
        ),
        end=stand(
            hip=(46.0, 50.0),
            trunk=34.0,
            head=40.0,
            nose=-35.0,
            near_leg=Plant(36.0),
            far_leg=Plant(58.0),
            near_arm=Arm(196.0, -86.0),
            far_arm=Reach(97.0, WORKTOP + 1.8, 0.0),
        ),
        around=worktop(88.0, 122.0),
        carried=(dumbbell("near_hand"),),
        arrows=arrow((70.0, 26.0), (70.0, 46.0)),
    ),
    "band_row": Scene(
        start=sit(**both(Reach(80.0, 50.0))),
        end=sit(trunk=92.0, **both(Reach(58.0, 46.0))),
        around=(*chair(44.0), Stroke(((126.0, 0.0), (126.0, 100.0)), 5.0, MIDDLE)),
        carried=(band("near_hand", (126.0, 50.0)),),
        arrows=arrow((92.0, 62.0), (72.0, 62.0)),
    ),
    "wall_elbow_press": Scene(
        start=stand(56.0, hip=(56.0, 52.8), **legs(Plant(59.0)), **both(Arm(-92.0, 0.0))),
        end=stand(56.0, hip=(56.0, 52.8), **legs(Plant(59.0)), **both(Arm(-104.0, -4.0))),
        around=wall(48.0),
        arrows=arrow((86.0, 72.0), (64.0, 72.0)),
    ),
    "bird_dog": Scene(
        start=stand(**ALL_FOURS, near_leg=KNEEL, far_leg=KNEEL),
        end=stand(
            **(ALL_FOURS | {"far_arm": Arm(10.0, 10.0)}),
            near_leg=Leg(176.0, 176.0, 262.0),
            far_leg=KNEEL,
        ),
        around=mat(20.0, 116.0),
        arrows=(*arrow((22.0, 10.0), (22.0, 22.0)), *arrow((122.0, 18.0), (122.0, 34.0))),
    ),
}
