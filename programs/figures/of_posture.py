"""Scenes of the posture exercises."""

from __future__ import annotations

from programs.figures.body import FACING
from programs.figures.linework import arrow, box
from programs.figures.poses import Arm, Leg, Plant, Reach
from programs.figures.props import (
    bed,
    doorway,
    wall,
    wall_ahead,
)
from programs.figures.scenes import (
    LYING_Y,
    Changes,
    Scene,
    both,
    face,
    lie,
    stand,
)

PILLOWED = bed(pillow=30.0)
AT_WALL: Changes = {"hip": (55.0, 52.7), "near_leg": Plant(58.6), "far_leg": Plant(58.6)}
ON_FRONT: Changes = {
    "hip": (76.0, LYING_Y),
    "near_leg": Leg(181.0, 181.0, 204.0),
    "far_leg": Leg(181.0, 181.0, 204.0),
}
ELBOWS_IN: Changes = {"near_arm": Arm(-98.0, -30.0), "far_arm": Arm(-82.0, 210.0)}

SCENES: dict[str, Scene] = {
    "lie_flat": Scene(
        start=lie(
            near_leg=Leg(-2.0, -2.0, 80.0),
            far_leg=Leg(-2.0, -2.0, 80.0),
        ),
        end=lie(),
        around=PILLOWED,
        arrows=arrow((122.0, 40.0), (106.0, 40.0)),
    ),
    "lying_back_press": Scene(
        start=lie(**both(Arm(2.0, 7.0))),
        end=lie(),
        around=PILLOWED,
        arrows=(*arrow((46.0, 54.0), (46.0, 38.0)), *arrow((66.0, 54.0), (66.0, 38.0))),
    ),
    "lying_head_press": Scene(
        start=lie(head=172.0, nose=98.0),
        end=lie(),
        around=PILLOWED,
        arrows=arrow((31.0, 56.0), (31.0, 40.0)),
    ),
    "heel_slide": Scene(
        start=lie(),
        end=lie(near_leg=Leg(-1.0, -4.0, 84.0)),
        around=PILLOWED,
        arrows=arrow((104.0, 42.0), (122.0, 42.0)),
    ),
    "log_roll": Scene(
        start=lie(),
        end=lie(
            hip=(78.0, LYING_Y),
            trunk=142.0,
            head=128.0,
            nose=FACING,
            near_arm=Reach(44.0, 24.6, 180.0, bend=-1),
            far_arm=Reach(58.0, 24.6, 180.0, bend=-1),
            near_leg=Leg(0.2, -90.0, 0.0),
            far_leg=Leg(0.2, -87.0, 0.0),
        ),
        around=PILLOWED,
        arrows=arrow((34.0, 44.0), (44.0, 64.0), bow=4.0),
    ),
    "chin_tuck": Scene(
        start=stand(**AT_WALL, head=62.0, nose=8.0),
        end=stand(**AT_WALL, head=91.0, nose=0.0),
        around=wall(48.6),
        arrows=arrow((88.0, 92.0), (70.0, 92.0)),
    ),
    "shoulder_blade_squeeze": Scene(
        start=face(seen_from="back", **ELBOWS_IN),
        end=face(seen_from="back", near_arm=Arm(-96.0, 196.0), far_arm=Arm(-84.0, -16.0)),
        arrows=(*arrow((66.0, 72.0), (73.0, 72.0)), *arrow((84.0, 72.0), (77.0, 72.0))),
    ),
    "wall_slide": Scene(
        start=stand(62.0, **both(Reach(85.4, 84.0, 90.0))),
        end=stand(62.0, **both(Reach(85.4, 109.0, 90.0))),
        around=wall_ahead(88.0),
        arrows=arrow((76.0, 104.0), (76.0, 122.0)),
    ),
    "wall_stand_tall": Scene(
        start=stand(
            hip=(55.0, 52.4),
            near_leg=Plant(58.6),
            far_leg=Plant(58.6),
            trunk=82.0,
            head=56.0,
            nose=-18.0,
        ),
        end=stand(**AT_WALL, trunk=90.0, head=91.0),
        around=wall(48.6),
        arrows=arrow((72.0, 104.0), (72.0, 122.0)),
    ),
    "hip_hinge": Scene(
        start=stand(**both(Arm(-86.0, -84.0))),
        end=stand(hip=(47.0, 49.0), trunk=40.0, head=48.0, nose=-25.0, **both(Reach(60.0, 36.0))),
        arrows=arrow((42.0, 64.0), (25.0, 56.0)),
    ),
    "chest_opener": Scene(
        start=face(near_arm=Arm(180.0, 90.0), far_arm=Arm(0.0, 90.0)),
        end=stand(
            hip=(80.0, 49.0),
            trunk=86.0,
            near_leg=Plant(92.0),
            far_leg=Plant(64.0, 0.0, -20.0),
            **both(Arm(192.0, 96.0)),
        ),
        around=doorway(40.0, 110.0),
        around_end=(box(58.0, 0.0, 62.0, 132.0),),
        arrows=arrow((94.0, 78.0), (114.0, 78.0)),
    ),
    "prone_lift": Scene(
        start=stand(**ON_FRONT, trunk=1.0, head=10.0, nose=-90.0, **both(Arm(181.0, 182.0))),
        end=stand(**ON_FRONT, trunk=13.0, head=12.0, nose=-78.0, **both(Arm(186.0, 190.0))),
        around=bed(6.0, 132.0, pillow=80.0),
        arrows=arrow((112.0, 52.0), (112.0, 68.0)),
    ),
    "floor_pick_up": Scene(
        start=stand(52.0),
        end=stand(
            hip=(52.0, 28.6),
            trunk=58.0,
            head=66.0,
            nose=-30.0,
            near_leg=Plant(76.0),
            far_leg=Leg(-93.0, 164.0, 252.0),
            **both(Reach(77.0, 17.0)),
        ),
        around=(box(72.0, 0.0, 92.0, 14.0),),
        arrows=arrow((38.0, 74.0), (38.0, 48.0), both=True),
    ),
}
