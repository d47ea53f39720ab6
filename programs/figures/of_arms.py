"""Scenes of the resistance exercises for the chest, the shoulders, the arms and the grip."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from programs.figures.held import band, band_behind_back, barbell, dumbbells, long_bar, towel
from programs.figures.linework import MIDDLE, Mark, Stroke, arrow, box
from programs.figures.poses import Ahead, Arm, Plant, Pose, Reach, Skeleton
from programs.figures.props import WORKTOP, bench, chair, chair_ahead, mat, wall_ahead, worktop
from programs.figures.scenes import (
    HANG,
    Changes,
    Scene,
    Way,
    both,
    face,
    lie,
    sit,
    sit_facing,
    slope,
    stand,
)

ON_BENCH: Changes = {
    "hip": (70.0, 34.4),
    "near_leg": Plant(86.0),
    "far_leg": Plant(86.0),
    "shod": True,
}
ON_MAT_Y = 8.4
EDGE = Reach(88.0, WORKTOP + 1.8, 0.0)
PALM = Reach(97.0, 83.0, 90.0)
MAST: tuple[Mark, ...] = (
    Stroke(((75.0, 0.0), (75.0, 128.0)), 5.0, MIDDLE),
    box(65.0, 2.0, 85.0, 16.0),
)
TOWEL: Changes = {"near_arm": Reach(69.0, 62.0, 0.0), "far_arm": Reach(81.0, 62.0, 180.0)}


def hands_up(middle: float, apart: float, height: float) -> Changes:
    """Both hands above the shoulders, seen from the front or the back."""
    return {
        "near_arm": Reach(middle - apart, height, 90.0, bend=-1),
        "far_arm": Reach(middle + apart, height, 90.0, bend=-1),
    }


def sagging(x: float, leg: float, trunk: float, hand: Reach) -> Pose:
    """Lean on the hands with the hips sunk and the head hung."""
    leaning = slope(x, leg, hand)
    return replace(leaning, trunk=trunk, curl=-10.0, head=leg - 30.0)


def under_bar(apart: float, height: float, **changes: Any) -> Pose:
    arms = hands_up(75.0, apart, height)
    return sit_facing(**({"seen_from": "back"} | arms | changes))


def cable_down(points: Skeleton) -> tuple[Mark, ...]:
    """The cable from the top of the mast to the middle of the bar."""
    height = points["near_hand"][1]
    return (Stroke(((75.0, 127.0), (75.0, height)), 1.6, MIDDLE),)


SCENES: dict[str, Scene] = {
    "bench_press": Scene(
        start=lie(**ON_BENCH, **both(Reach(45.0, 44.0))),
        end=lie(**ON_BENCH, **both(Arm(90.0, 90.0))),
        around=bench(20.0, 76.0, 28.0),
        carried=(barbell("near_hand"),),
        grips="both",
        ways=(Way("near_hand", (14.0, 0.0)),),
        unpictured="Lifting alone and bouncing the bar are no postures.",
    ),
    "dumbbell_chest_press": Scene(
        start=lie(y=ON_MAT_Y, **both(Arm(-10.0, 92.0))),
        end=lie(y=ON_MAT_Y, **both(Arm(90.0, 90.0))),
        around=mat(18.0, 116.0),
        carried=(dumbbells,),
        grips="both",
        arrows=arrow((60.0, 30.0), (60.0, 50.0)),
        unpictured="Bent wrists are too small to be seen at this size.",
    ),
    "band_chest_press": Scene(
        start=sit(**both(Reach(58.0, 51.0))),
        end=sit(**both(Reach(84.0, 54.0))),
        around=chair(44.0),
        carried=(band_behind_back,),
        grips="both",
        ways=(Way("near_hand", (2.0, 10.0)),),
        wrong=sit(head=52.0, nose=4.0, curl=8.0, **both(Reach(84.0, 54.0))),
    ),
    "worktop_push_up": Scene(
        start=slope(24.0, 64.0, EDGE),
        end=slope(24.0, 53.0, EDGE),
        around=worktop(82.0, 112.0),
        ways=(Way("chest", (-11.0, 8.0), both=True),),
        wrong=sagging(24.0, 46.0, 68.0, EDGE),
    ),
    "wall_push_up": Scene(
        start=slope(52.0, 80.0, PALM),
        end=slope(52.0, 70.0, PALM),
        around=wall_ahead(100.0, 112.0),
        ways=(Way("chest", (-12.0, 8.0), both=True),),
        wrong=sagging(52.0, 64.0, 86.0, PALM),
    ),
    "dumbbell_overhead_press": Scene(
        start=sit_facing(**hands_up(75.0, 17.0, 62.0)),
        end=sit_facing(**hands_up(75.0, 13.0, 94.0)),
        around=chair_ahead(),
        carried=(dumbbells,),
        grips="both",
        arrows=(*arrow((50.0, 70.0), (50.0, 92.0)), *arrow((100.0, 70.0), (100.0, 92.0))),
        wrong=sit(trunk=104.0, curl=-20.0, head=96.0, **both(Arm(96.0, 96.0))),
        around_wrong=chair(44.0),
    ),
    "barbell_overhead_press": Scene(
        start=face(**hands_up(75.0, 17.0, 83.0)),
        end=face(**hands_up(75.0, 17.0, 118.0)),
        carried=(long_bar(14.0),),
        grips="both",
        arrows=(*arrow((47.0, 92.0), (47.0, 109.0)), *arrow((103.0, 92.0), (103.0, 109.0))),
        wrong=stand(trunk=104.0, curl=-20.0, head=98.0, **both(Arm(96.0, 96.0))),
        carried_wrong=(barbell("near_hand"),),
    ),
    "chair_press_up": Scene(
        start=sit(trunk=86.0, **both(Reach(53.0, 38.4))),
        end=sit(hip=(47.0, 37.0), trunk=84.0, **both(Reach(53.0, 38.4))),
        around=chair(44.0, arms=True),
        grips="both",
        ways=(Way("head", (15.0, 0.0)),),
        wrong=sit(
            hip=(47.0, 33.0), trunk=80.0, head=62.0, nose=-6.0, curl=10.0, **both(Reach(53.0, 38.4))
        ),
    ),
    "lat_pull_down": Scene(
        start=under_bar(24.0, 93.0),
        end=under_bar(24.0, 68.0),
        around=(*MAST, *chair_ahead(rest=False)),
        behind=(cable_down, long_bar(7.0, weights=False)),
        grips="both",
        arrows=(*arrow((38.0, 88.0), (38.0, 68.0)), *arrow((112.0, 88.0), (112.0, 68.0))),
        wrong=sit(trunk=120.0, head=112.0, **both(Reach(46.0, 66.0))),
        around_wrong=bench(34.0, 62.0, 22.6),
        carried_wrong=(barbell("near_hand", radius=2.4), band("near_hand", (60.0, 110.0))),
    ),
    "band_pull_apart": Scene(
        start=face(near_arm=Ahead(68.0, 76.0, 5.0), far_arm=Ahead(82.0, 76.0, 5.0)),
        end=face(near_arm=Arm(180.0, 180.0), far_arm=Arm(0.0, 0.0)),
        carried=(band("near_hand", "far_hand", width=2.4),),
        grips="both",
        arrows=(*arrow((50.0, 90.0), (30.0, 90.0)), *arrow((100.0, 90.0), (120.0, 90.0))),
        wrong=stand(head=52.0, nose=4.0, curl=10.0, **both(Arm(0.0, 0.0))),
    ),
    "biceps_curl": Scene(
        start=stand(**both(HANG)),
        end=stand(**both(Arm(-92.0, 58.0))),
        carried=(dumbbells,),
        grips="both",
        ways=(Way("near_hand", (12.0, -4.0), bow=-5.0),),
        wrong=stand(trunk=108.0, curl=-12.0, head=100.0, **both(Arm(-70.0, 60.0))),
    ),
    "towel_wring": Scene(
        start=face(**TOWEL),
        end=face(**TOWEL),
        carried=(towel(False),),
        carried_end=(towel(True),),
        grips="both",
        arrows=(
            *arrow((52.0, 50.0), (70.0, 50.0), bow=-6.0),
            *arrow((98.0, 74.0), (80.0, 74.0), bow=-6.0),
        ),
        unpictured="A turn of the trunk cannot be told from the front.",
    ),
}
