"""Scenes of the resistance exercises for the legs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from programs.figures.held import band, barbell, dumbbell, dumbbells, foot_plate, roller, vest
from programs.figures.linework import DARK, LIGHT, Stroke, arrow, box
from programs.figures.poses import Arm, At, Leg, Plant, Pose, Reach
from programs.figures.props import WORKTOP, Marks, chair, rail, step, worktop
from programs.figures.scenes import (
    HANG,
    Changes,
    Panel,
    Scene,
    Way,
    both,
    legs,
    on_toes,
    rounded,
    sit,
    stand,
)

HANDS_ON = both(Reach(81.0, WORKTOP + 1.8, 0.0))
CROSSED: Changes = {"near_arm": Arm(-72.0, 104.0, 172.0), "far_arm": Arm(-66.0, 98.0, 172.0)}
RISE = (Way("head", (15.0, 0.0)),)
SINK = (Way("head", (17.0, 0.0), both=True),)
PAD = ((62.0, 21.5), (44.0, 21.5), (20.0, 60.0))
LEG_PRESS_SEAT: Marks = (
    Stroke(((20.0, 2.0), (116.0, 2.0)), 3.0, DARK),
    Stroke(((46.0, 2.0), (46.0, 22.0)), 3.0, DARK),
    Stroke(((34.0, 2.0), (34.0, 40.0)), 2.0, DARK),
    Stroke(PAD, 5.6, DARK),
    Stroke(PAD, 3.4, LIGHT),
)
EXTENSION_SEAT: Marks = (
    Stroke(((30.0, 1.5), (80.0, 1.5)), 3.0, DARK),
    Stroke(((52.0, 1.5), (52.0, 28.0)), 4.0, DARK),
    box(34.0, 26.5, 68.0, 30.5, LIGHT),
    Stroke(((36.0, 30.0), (34.5, 66.0)), 5.6, DARK),
    Stroke(((36.0, 30.0), (34.5, 66.0)), 3.4, LIGHT),
)
SQUAT: Changes = {"hip": (46.0, 31.0), "trunk": 62.0, "head": 78.0, "nose": 0.0}
STEP_TOP = 9.4


def pressing(reach: float, hip: tuple[float, float] = (48.0, 30.0)) -> Pose:
    return sit(
        hip=hip,
        trunk=122.0,
        head=112.0,
        **legs(At(reach, 40.0, 82.0)),
        **both(Reach(50.0, 28.0)),
    )


def extending(shin: float, foot: float, **changes: Any) -> Pose:
    pose: Changes = {"hip": (46.0, 36.0), "trunk": 96.0} | legs(Leg(0.0, shin, foot))
    return sit(**(pose | both(Reach(54.0, 33.0)) | changes))


def leaning(arms: Changes) -> Pose:
    """Sit at the front of the chair and lean forward, ready to stand."""
    return sit(feet=18.0, trunk=66.0, head=80.0, nose=0.0, **arms)


def chair_stand(arms: Changes, standing: Changes) -> Changes:
    return {
        "start": leaning(arms),
        "end": stand(66.0, **standing),
        "around": chair(44.0),
        "ways": RISE,
        "wrong": rounded(leaning(arms), 30.0, trunk=62.0),
    }


def on_step(arms: Changes, held: float | None) -> Changes:
    """Three poses of stepping up; held is where a rail is, x of the hand in the last one."""

    def reach(x: float) -> Changes:
        return {} if held is None else {"far_arm": Reach(x, 63.0, 0.0)}

    one_up = {"near_leg": Plant(80.0, STEP_TOP), "far_leg": Plant(56.0)}
    return {
        "start": stand(58.0, **(arms | reach(72.0))),
        "between": stand(hip=(64.0, 51.6), trunk=84.0, **(arms | one_up | reach(80.0))),
        "end": stand(hip=(81.0, 62.4), **(arms | legs(Plant(81.0, STEP_TOP)) | reach(96.0))),
    }


def stepping(
    arms: Changes, held: float | None, around: Marks, wrong: Pose | None, **more: Any
) -> Scene:
    poses = on_step(arms, held)
    carried = (dumbbells,) if held is None else ()
    between = Panel(
        pose=poses["between"],
        around=around,
        carried=carried,
        arrows=arrow((103.0, 36.0), (94.0, 18.0), bow=3.0),
    )
    return Scene(
        start=poses["start"],
        between=between,
        end=poses["end"],
        around=around,
        carried=carried,
        grips="both" if held is None else "far",
        ways=(Way("hip", (-11.0, 4.0)),),
        wrong=wrong,
        **more,
    )


STEP = step(72.0, 104.0, STEP_TOP)

SCENES: dict[str, Scene] = {
    "leg_press": Scene(
        start=pressing(80.0),
        end=pressing(95.0),
        around=LEG_PRESS_SEAT,
        carried=(foot_plate,),
        ways=(Way("near_toe", (4.0, 12.0)),),
        wrong=replace(rounded(pressing(78.0, (54.0, 31.0)), 14.0), trunk=128.0, head=112.0),
    ),
    "leg_extension": Scene(
        start=extending(-90.0, 0.0),
        end=extending(-10.0, 78.0),
        around=EXTENSION_SEAT,
        carried=(roller,),
        ways=(Way("near_ankle", (8.0, -9.0), bow=-6.0),),
        wrong=extending(-4.0, 84.0, trunk=122.0, head=112.0, hip=(48.0, 39.0)),
    ),
    "barbell_squat": Scene(
        start=stand(**both(Arm(-112.0, 84.0))),
        end=stand(**SQUAT, **both(Arm(-140.0, 56.0))),
        carried=(barbell("near_hand"),),
        grips="both",
        ways=SINK,
        wrong=rounded(stand(**SQUAT, **both(Arm(-160.0, 30.0))), 32.0, trunk=50.0),
    ),
    "goblet_squat": Scene(
        start=stand(**both(Reach(70.0, 72.0))),
        end=stand(**SQUAT, **both(Reach(70.0, 49.0))),
        carried=(dumbbell("near_hand"),),
        grips="both",
        ways=SINK,
        wrong=rounded(stand(**SQUAT, **both(Reach(75.0, 36.0))), 32.0, trunk=56.0),
    ),
    "dumbbell_chair_stand": Scene(
        **(
            chair_stand(both(HANG), both(HANG))
            | {"wrong": sit(40.0, feet=26.0, trunk=112.0, head=96.0, **both(Arm(-60.0, -40.0)))}
        ),
        carried=(dumbbells,),
        grips="both",
    ),
    "vest_chair_stand": Scene(**chair_stand(CROSSED, CROSSED), carried=(vest,)),
    "chair_stand": Scene(**chair_stand(CROSSED, CROSSED)),
    "chair_stand_with_hands": Scene(
        start=sit(feet=18.0, trunk=74.0, head=84.0, nose=0.0, **both(Reach(53.0, 38.4))),
        end=stand(66.0),
        around=chair(44.0, arms=True),
        ways=RISE,
        unpictured="Rocking and throwing oneself up is a speed, not a posture.",
    ),
    "step_up": stepping(
        {},
        96.0,
        (*rail(62.0, 112.0), *STEP),
        stand(
            hip=(68.0, 54.0),
            trunk=66.0,
            head=76.0,
            nose=0.0,
            near_leg=Plant(80.0, STEP_TOP),
            far_leg=Plant(52.0, 0.0, -46.0),
            far_arm=Reach(96.0, 63.0, 0.0),
        ),
    ),
    "dumbbell_step_up": stepping(
        {},
        None,
        STEP,
        None,
        unpictured="A weight too heavy to balance is not a posture.",
    ),
    "worktop_squat": Scene(
        start=stand(**HANDS_ON),
        end=stand(hip=(48.0, 41.0), trunk=70.0, head=82.0, nose=0.0, **HANDS_ON),
        around=worktop(75.0, 105.0),
        ways=(Way("hip", (-16.0, 0.0), both=True),),
        wrong=stand(
            hip=(56.0, 44.0),
            trunk=48.0,
            head=60.0,
            near_leg=Plant(50.0),
            far_leg=Plant(50.0),
            **both(Reach(84.0, WORKTOP + 1.8, 0.0)),
        ),
    ),
    "band_leg_press": Scene(
        start=sit(near_leg=Leg(32.0, -85.0, 12.0), far_leg=Plant(69.0), **both(Reach(58.0, 44.0))),
        end=sit(near_leg=Leg(8.0, -6.0, 78.0), far_leg=Plant(69.0), **both(Reach(58.0, 44.0))),
        around=chair(44.0),
        carried=(band("near_hand", "near_toe"),),
        grips="both",
        arrows=arrow((92.0, 15.0), (108.0, 18.0)),
        wrong=rounded(
            sit(near_leg=Leg(8.0, -6.0, 78.0), far_leg=Plant(69.0), **both(Reach(58.0, 40.0))),
            24.0,
            trunk=100.0,
        ),
    ),
    "calf_raise": Scene(
        start=stand(**HANDS_ON),
        end=on_toes(**HANDS_ON),
        around=worktop(75.0, 105.0),
        arrows=arrow((42.0, 3.0), (42.0, 18.0), both=True),
        wrong=on_toes(trunk=66.0, head=72.0, **both(Reach(85.0, WORKTOP + 1.8, 0.0))),
    ),
}
