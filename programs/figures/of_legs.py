"""Scenes of the resistance exercises for the legs."""

from __future__ import annotations

from programs.figures.linework import DARK, LIGHT, Stroke, arrow, box
from programs.figures.poses import Arm, At, Leg, Plant, Reach
from programs.figures.props import (
    WORKTOP,
    band,
    barbell,
    chair,
    dumbbell,
    dumbbells,
    foot_plate,
    rail,
    roller,
    step,
    vest,
    worktop,
)
from programs.figures.scenes import HANG, Changes, Scene, both, legs, on_toes, sit, stand

HANDS_ON = both(Reach(81.0, WORKTOP + 1.8, 0.0))
CROSSED: Changes = {"near_arm": Arm(-72.0, 104.0, 172.0), "far_arm": Arm(-66.0, 98.0, 172.0)}
UP = arrow((92.0, 46.0), (92.0, 74.0))
AHEAD: Changes = {"trunk": 62.0, "head": 74.0, "nose": 0.0}


def chair_stand(arms: Changes, standing: Changes) -> Changes:
    return {
        "start": sit(feet=18.0, trunk=72.0, head=82.0, nose=0.0, **arms),
        "end": stand(66.0, **standing),
        "around": chair(44.0),
        "arrows": UP,
    }


SQUAT: Changes = {"hip": (46.0, 31.0), "trunk": 62.0, "head": 78.0, "nose": 0.0}

SCENES: dict[str, Scene] = {
    "leg_press": Scene(
        start=sit(
            hip=(48.0, 30.0),
            trunk=122.0,
            head=112.0,
            **legs(At(80.0, 40.0, 82.0)),
            **both(Reach(50.0, 28.0)),
        ),
        end=sit(
            hip=(48.0, 30.0),
            trunk=122.0,
            head=112.0,
            **legs(At(95.0, 40.0, 82.0)),
            **both(Reach(50.0, 28.0)),
        ),
        around=(
            Stroke(((20.0, 2.0), (136.0, 2.0)), 3.0, DARK),
            Stroke(((46.0, 2.0), (46.0, 22.0)), 3.0, DARK),
            Stroke(((34.0, 2.0), (34.0, 40.0)), 2.0, DARK),
            Stroke(((62.0, 21.5), (44.0, 21.5), (20.0, 60.0)), 5.6, DARK),
            Stroke(((62.0, 21.5), (44.0, 21.5), (20.0, 60.0)), 3.4, LIGHT),
        ),
        carried=(foot_plate,),
        arrows=arrow((84.0, 68.0), (104.0, 68.0)),
    ),
    "leg_extension": Scene(
        start=sit(
            hip=(46.0, 36.0), trunk=96.0, **legs(Leg(0.0, -90.0, 0.0)), **both(Reach(54.0, 33.0))
        ),
        end=sit(
            hip=(46.0, 36.0), trunk=96.0, **legs(Leg(0.0, -10.0, 78.0)), **both(Reach(54.0, 33.0))
        ),
        around=(
            Stroke(((30.0, 1.5), (80.0, 1.5)), 3.0, DARK),
            Stroke(((52.0, 1.5), (52.0, 28.0)), 4.0, DARK),
            box(34.0, 26.5, 68.0, 30.5, LIGHT),
            Stroke(((36.0, 30.0), (34.5, 66.0)), 5.6, DARK),
            Stroke(((36.0, 30.0), (34.5, 66.0)), 3.4, LIGHT),
        ),
        carried=(roller,),
        arrows=arrow((84.0, 8.0), (106.0, 24.0), bow=-5.0),
    ),
    "barbell_squat": Scene(
        start=stand(**both(Arm(-112.0, 84.0))),
        end=stand(**SQUAT, **both(Arm(-140.0, 56.0))),
        carried=(barbell("near_hand", radius=9.0),),
        arrows=arrow((92.0, 80.0), (92.0, 52.0), both=True),
    ),
    "goblet_squat": Scene(
        start=stand(**both(Reach(70.0, 72.0))),
        end=stand(**SQUAT, **both(Reach(70.0, 49.0))),
        carried=(dumbbell("near_hand"),),
        arrows=arrow((96.0, 80.0), (96.0, 52.0), both=True),
    ),
    "dumbbell_chair_stand": Scene(**chair_stand(both(HANG), both(HANG)), carried=(dumbbells,)),
    "vest_chair_stand": Scene(**chair_stand(CROSSED, CROSSED), carried=(vest,)),
    "chair_stand": Scene(**chair_stand(CROSSED, CROSSED)),
    "chair_stand_with_hands": Scene(
        start=sit(feet=18.0, trunk=78.0, head=86.0, nose=0.0, **both(Reach(53.0, 38.4))),
        end=stand(66.0),
        around=chair(44.0, arms=True),
        arrows=UP,
    ),
    "step_up": Scene(
        start=stand(
            hip=(62.0, 52.0),
            near_leg=Plant(80.0, 9.4),
            far_leg=Plant(56.0),
            far_arm=Reach(80.0, 63.0),
        ),
        end=stand(hip=(84.0, 62.4), **legs(Plant(84.0, 9.4)), far_arm=Reach(103.0, 63.0)),
        around=(*rail(66.0, 136.0), *step(72.0, 112.0, 9.4)),
        arrows=arrow((48.0, 50.0), (62.0, 74.0)),
    ),
    "dumbbell_step_up": Scene(
        start=stand(hip=(62.0, 52.0), near_leg=Plant(80.0, 9.4), far_leg=Plant(56.0)),
        end=stand(hip=(84.0, 62.4), **legs(Plant(84.0, 9.4))),
        around=step(72.0, 112.0, 9.4),
        carried=(dumbbells,),
        arrows=arrow((48.0, 50.0), (62.0, 74.0)),
    ),
    "worktop_squat": Scene(
        start=stand(**HANDS_ON),
        end=stand(hip=(48.0, 41.0), trunk=70.0, head=82.0, nose=0.0, **HANDS_ON),
        around=worktop(75.0, 110.0),
        arrows=arrow((30.0, 66.0), (30.0, 40.0), both=True),
    ),
    "band_leg_press": Scene(
        start=sit(near_leg=Leg(32.0, -85.0, 12.0), far_leg=Plant(69.0), **both(Reach(58.0, 44.0))),
        end=sit(near_leg=Leg(8.0, -6.0, 78.0), far_leg=Plant(69.0), **both(Reach(58.0, 44.0))),
        around=chair(44.0),
        carried=(band("near_hand", "near_toe"),),
        arrows=arrow((84.0, 52.0), (106.0, 46.0)),
    ),
    "calf_raise": Scene(
        start=stand(**HANDS_ON),
        end=on_toes(**HANDS_ON),
        around=worktop(75.0, 110.0),
        arrows=arrow((44.0, 2.0), (44.0, 16.0)),
    ),
}
