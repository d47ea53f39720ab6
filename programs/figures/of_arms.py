"""Scenes of the resistance exercises for the chest, the shoulders, the arms and the grip."""

from __future__ import annotations

from programs.figures.linework import MIDDLE, Stroke, arrow, box
from programs.figures.poses import Arm, Plant, Reach
from programs.figures.props import (
    WORKTOP,
    band,
    band_behind_back,
    barbell,
    bench,
    chair,
    dumbbells,
    mat,
    towel,
    wall_ahead,
    worktop,
)
from programs.figures.scenes import HANG, Changes, Scene, both, face, lie, sit, slope, stand

ON_BENCH: Changes = {"hip": (70.0, 34.4), "near_leg": Plant(86.0), "far_leg": Plant(86.0)}
ON_MAT_Y = 8.4
EDGE = Reach(88.0, WORKTOP + 1.8, 0.0)
PALM = Reach(97.0, 83.0, 90.0)
SHOULDER_HEIGHT_HANDS = both(Reach(54.5, 61.0))
PULLEY = (
    Stroke(((108.0, 0.0), (108.0, 131.0), (58.0, 131.0)), 4.0, MIDDLE),
    box(100.0, 2.0, 116.0, 30.0),
    *bench(34.0, 62.0, 22.6),
)

SCENES: dict[str, Scene] = {
    "bench_press": Scene(
        start=lie(**ON_BENCH, **both(Reach(45.0, 44.0))),
        end=lie(**ON_BENCH, **both(Arm(90.0, 90.0))),
        around=bench(20.0, 76.0, 28.0),
        carried=(barbell("near_hand", radius=9.0),),
        arrows=arrow((60.0, 56.0), (60.0, 76.0)),
    ),
    "dumbbell_chest_press": Scene(
        start=lie(y=ON_MAT_Y, **both(Arm(-10.0, 92.0))),
        end=lie(y=ON_MAT_Y, **both(Arm(90.0, 90.0))),
        around=mat(18.0, 122.0),
        carried=(dumbbells,),
        arrows=arrow((60.0, 32.0), (60.0, 50.0)),
    ),
    "band_chest_press": Scene(
        start=sit(**both(Reach(58.0, 51.0))),
        end=sit(**both(Reach(84.0, 54.0))),
        around=chair(44.0),
        carried=(band_behind_back,),
        arrows=arrow((70.0, 66.0), (90.0, 66.0)),
    ),
    "worktop_push_up": Scene(
        start=slope(24.0, 64.0, EDGE),
        end=slope(24.0, 53.0, EDGE),
        around=worktop(82.0, 116.0),
        arrows=arrow((52.0, 100.0), (68.0, 90.0), both=True),
    ),
    "wall_push_up": Scene(
        start=slope(52.0, 80.0, PALM),
        end=slope(52.0, 70.0, PALM),
        around=wall_ahead(100.0),
        arrows=arrow((60.0, 110.0), (80.0, 106.0), both=True),
    ),
    "dumbbell_overhead_press": Scene(
        start=sit(**SHOULDER_HEIGHT_HANDS),
        end=sit(**both(Arm(84.0, 91.0))),
        around=chair(44.0),
        carried=(dumbbells,),
        arrows=arrow((68.0, 72.0), (68.0, 94.0)),
    ),
    "barbell_overhead_press": Scene(
        start=stand(**both(Reach(67.0, 83.0))),
        end=stand(**both(Arm(86.0, 91.0))),
        carried=(barbell("near_hand", radius=9.0),),
        arrows=arrow((82.0, 92.0), (82.0, 116.0)),
    ),
    "chair_press_up": Scene(
        start=sit(trunk=86.0, **both(Reach(53.0, 38.4))),
        end=sit(hip=(47.0, 37.0), trunk=84.0, **both(Reach(53.0, 38.4))),
        around=chair(44.0, arms=True),
        arrows=arrow((76.0, 46.0), (76.0, 62.0)),
    ),
    "lat_pull_down": Scene(
        start=sit(**both(Arm(76.0, 86.0))),
        end=sit(trunk=93.0, **both(Reach(58.0, 64.0))),
        around=PULLEY,
        carried=(barbell("near_hand", radius=2.4), band("near_hand", (58.0, 130.0), width=1.2)),
        arrows=arrow((72.0, 90.0), (72.0, 68.0)),
    ),
    "band_pull_apart": Scene(
        start=face(near_arm=Reach(68.0, 76.0, 60.0), far_arm=Reach(82.0, 76.0, 120.0)),
        end=face(near_arm=Arm(180.0, 180.0), far_arm=Arm(0.0, 0.0)),
        carried=(band("near_hand", "far_hand", width=2.4),),
        arrows=(*arrow((50.0, 94.0), (30.0, 94.0)), *arrow((100.0, 94.0), (120.0, 94.0))),
    ),
    "biceps_curl": Scene(
        start=stand(**both(HANG)),
        end=stand(**both(Arm(-92.0, 58.0))),
        carried=(dumbbells,),
        arrows=arrow((78.0, 48.0), (80.0, 68.0), bow=-5.0),
    ),
    "towel_wring": Scene(
        start=face(near_arm=Reach(69.0, 62.0, 0.0), far_arm=Reach(81.0, 62.0, 180.0)),
        end=face(near_arm=Reach(69.0, 62.0, 0.0), far_arm=Reach(81.0, 62.0, 180.0)),
        carried=(towel(False),),
        carried_end=(towel(True),),
        arrows=(
            *arrow((58.0, 53.0), (72.0, 53.0), bow=-4.0),
            *arrow((92.0, 71.0), (78.0, 71.0), bow=-4.0),
        ),
    ),
}
