"""Scenes of the posture exercises, and of getting up from the floor."""

from __future__ import annotations

from dataclasses import replace

from programs.figures.held import backpack
from programs.figures.linework import LIGHT, MIDDLE, Mark, Shape, Stroke, arrow, box
from programs.figures.poses import Ahead, Arm, Leg, Plant, Pose, Reach, Skeleton
from programs.figures.props import BED, Carried, bed, chair, doorway, wall, wall_ahead
from programs.figures.scenes import (
    LYING_Y,
    Changes,
    Panel,
    Scene,
    Way,
    both,
    face,
    lie,
    rounded,
    shrugging,
    sit,
    stand,
)

PILLOWED = bed(20.0, 126.0, pillow=30.0)
WALL = wall(48.6, 106.0)
AT_WALL: Changes = {"hip": (55.0, 52.7), "near_leg": Plant(58.6), "far_leg": Plant(58.6)}
ON_FRONT: Changes = {
    "hip": (76.0, LYING_Y),
    "near_leg": Leg(181.0, 181.0, 204.0),
    "far_leg": Leg(181.0, 181.0, 204.0),
    "base": "prone",
    "shod": False,
}
ELBOWS_IN: Changes = {"near_arm": Arm(-98.0, -30.0), "far_arm": Arm(-82.0, 210.0)}
BACK_DRAWN: Changes = {"near_arm": Arm(-96.0, 196.0), "far_arm": Arm(-84.0, -16.0)}
HINGED: Changes = {"hip": (47.0, 49.0), "trunk": 40.0, "head": 48.0, "nose": -25.0}
PRONE_BED = bed(6.0, 124.0, pillow=80.0)


def prone(trunk: float, nose: float, arms: Arm, **changes: float) -> Pose:
    pose = ON_FRONT | {"trunk": trunk, "head": trunk + 4.0, "nose": nose} | both(arms)
    return stand(**(pose | changes))


FLAT, LIFTED = prone(1.0, -90.0, Arm(181.0, 182.0)), prone(11.0, -80.0, Arm(186.0, 190.0))
TOO_HIGH = prone(22.0, -20.0, Arm(196.0, 200.0), curl=-12.0, head=62.0)


def thick_pillow(x: float) -> tuple[Mark, ...]:
    """A pillow so thick that it pushes the head forward."""
    return (Shape(((x - 10, BED), (x + 9, BED), (x + 6, BED + 11), (x - 10, BED + 11)), LIGHT),)


#: Lying on her side with drawn-up knees, seen from before her: one shoulder above the other.
ON_SIDE = face(
    hip=(74.0, BED + 10.4),
    trunk=180.0,
    head=180.0,
    near_leg=Leg(-26.0, 14.0, 0.0),
    far_leg=Leg(-24.0, 10.0, 0.0),
    near_arm=Ahead(30.0, 27.0, 2.0),
    far_arm=Ahead(58.0, 23.0, 4.0),
    base="on_side",
    shod=False,
)
SITTING_UP = sit(
    84.0,
    20.0,
    hip=(84.0, LYING_Y),
    near_arm=Reach(70.0, BED + 1.8, 200.0, bend=-1),
    far_arm=Reach(76.0, BED + 1.8, 200.0, bend=-1),
    base="on_bed",
    shod=False,
)
PARCEL = 7.0


def parcel(x: float, y: float) -> tuple[Mark, ...]:
    """A parcel that stands on the floor or is held, its middle at a point."""
    return (
        box(x - PARCEL, y - PARCEL, x + PARCEL, y + PARCEL, LIGHT),
        Stroke(((x, y - PARCEL), (x, y + PARCEL)), 1.6, MIDDLE),
    )


def held_parcel(points: Skeleton) -> tuple[Mark, ...]:
    x, y = points["near_hand"]
    return parcel(x + 2.0, y)


HELD: tuple[Carried, ...] = (held_parcel,)
ON_ONE_KNEE: Changes = {
    "hip": (52.0, 28.6),
    "near_leg": Plant(76.0),
    "far_leg": Leg(-93.0, 164.0, 252.0),
    "base": "one_knee",
}
CHAIR_AHEAD_X = 104.0


def facing_chair(x: float) -> tuple[Mark, ...]:
    """The same chair turned to the left, its seat towards the body."""
    marks = (mark for mark in chair(x) if isinstance(mark, Stroke | Shape))
    return tuple(
        replace(mark, points=tuple((2.0 * x - across, up) for across, up in mark.points))
        for mark in marks
    )


SCENES: dict[str, Scene] = {
    "lie_flat": Scene(
        start=lie(),
        end=lie(),
        still=True,
        around=PILLOWED,
        wrong=lie(head=138.0, nose=70.0),
        around_wrong=(*bed(20.0, 126.0), *thick_pillow(28.0)),
    ),
    "lying_back_press": Scene(
        start=lie(**both(Arm(9.0, 11.0))),
        end=lie(),
        around=PILLOWED,
        arrows=(*arrow((46.0, 50.0), (46.0, 36.0)), *arrow((66.0, 50.0), (66.0, 36.0))),
        wrong=lie(trunk=180.0, curl=-30.0, hip=(72.0, LYING_Y + 1.0)),
    ),
    "lying_head_press": Scene(
        start=lie(head=172.0, nose=98.0),
        end=lie(),
        around=PILLOWED,
        arrows=arrow((31.0, 56.0), (31.0, 40.0)),
        wrong=lie(head=186.0, nose=124.0),
    ),
    "heel_slide": Scene(
        start=lie(),
        end=lie(near_leg=Leg(-1.0, -4.0, 84.0)),
        around=bed(20.0, 134.0, pillow=30.0),
        ways=(Way("near_heel", (2.0, 15.0)),),
        wrong=lie(near_leg=Leg(-1.0, -4.0, 84.0), curl=-30.0, hip=(72.0, LYING_Y + 1.0)),
    ),
    "log_roll": Scene(
        start=lie(),
        between=Panel(
            pose=ON_SIDE,
            around=PILLOWED,
            arrows=arrow((44.0, 48.0), (78.0, 48.0), bow=6.0),
        ),
        end=SITTING_UP,
        around=PILLOWED,
        traced=False,
        arrows=arrow((50.0, 34.0), (66.0, 66.0), bow=8.0),
        wrong=lie(trunk=146.0, curl=24.0, head=110.0, **both(Arm(-30.0, -20.0))),
    ),
    "chin_tuck": Scene(
        start=stand(**AT_WALL, head=62.0, nose=8.0),
        end=stand(**AT_WALL, head=91.0, nose=0.0),
        around=WALL,
        ways=(Way("head", (14.0, 2.0)),),
        wrong=stand(**AT_WALL, head=78.0, nose=-44.0),
    ),
    "shoulder_blade_squeeze": Scene(
        start=face(seen_from="back", **ELBOWS_IN),
        end=face(seen_from="back", **BACK_DRAWN),
        arrows=(*arrow((64.0, 72.0), (73.0, 70.0)), *arrow((86.0, 72.0), (77.0, 70.0))),
        wrong=shrugging(face(seen_from="back", **BACK_DRAWN)),
    ),
    "wall_slide": Scene(
        start=stand(62.0, **both(Reach(85.4, 84.0, 90.0))),
        end=stand(62.0, **both(Reach(85.4, 109.0, 90.0))),
        around=wall_ahead(88.0, 122.0),
        arrows=arrow((76.0, 102.0), (76.0, 118.0)),
        wrong=stand(
            60.0,
            hip=(66.0, 52.2),
            trunk=104.0,
            curl=-22.0,
            head=98.0,
            **both(Reach(85.4, 104.0, 90.0)),
        ),
    ),
    "wall_stand_tall": Scene(
        start=rounded(stand(**AT_WALL), 16.0, trunk=84.0, head=58.0, nose=-18.0),
        end=stand(**AT_WALL, trunk=90.0, head=91.0),
        around=WALL,
        ways=(Way("head", (16.0, 4.0)),),
        wrong=stand(**(AT_WALL | {"hip": (58.0, 52.6)}), trunk=96.0, curl=-20.0, head=88.0),
    ),
    "hip_hinge": Scene(
        start=stand(**both(Arm(-86.0, -84.0))),
        end=stand(**HINGED, **both(Reach(60.0, 36.0))),
        ways=(Way("hip", (-13.0, 6.0)),),
        wrong=rounded(stand(hip=(56.0, 52.6), trunk=30.0, **both(Arm(-92.0, -92.0))), 32.0),
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
        around=doorway(44.0, 106.0),
        around_end=(box(58.0, 0.0, 62.0, 116.0),),
        arrows=arrow((96.0, 78.0), (112.0, 78.0)),
        wrong=stand(
            hip=(80.0, 49.0),
            trunk=80.0,
            head=44.0,
            nose=0.0,
            near_leg=Plant(92.0),
            far_leg=Plant(64.0, 0.0, -20.0),
            **both(Arm(192.0, 96.0)),
        ),
    ),
    "prone_lift": Scene(
        start=FLAT,
        end=LIFTED,
        around=PRONE_BED,
        arrows=arrow((128.0, 32.0), (128.0, 48.0)),
        wrong=TOO_HIGH,
    ),
    "loaded_prone_lift": Scene(
        start=FLAT,
        end=LIFTED,
        around=PRONE_BED,
        carried=(backpack,),
        arrows=arrow((128.0, 32.0), (128.0, 48.0)),
        wrong=TOO_HIGH,
    ),
    "floor_pick_up": Scene(
        start=stand(52.0, hip=(52.0, 52.4), near_leg=Plant(57.0), far_leg=Plant(48.0)),
        between=Panel(
            pose=stand(**ON_ONE_KNEE, trunk=46.0, head=60.0, nose=-20.0, **both(Reach(82.0, 12.0))),
            around=parcel(84.0, PARCEL),
            arrows=arrow((38.0, 72.0), (38.0, 50.0)),
        ),
        end=stand(**ON_ONE_KNEE, trunk=82.0, head=88.0, **both(Reach(70.0, 44.0))),
        around=parcel(84.0, PARCEL),
        around_end=(),
        carried_end=HELD,
        traced=False,
        arrows=arrow((98.0, 30.0), (98.0, 52.0)),
        wrong=rounded(
            stand(60.0, hip=(58.0, 52.6), trunk=14.0, head=40.0, **both(Arm(-84.0, -84.0))), 28.0
        ),
        around_wrong=parcel(92.0, PARCEL),
    ),
    "get_up": Scene(
        start=stand(
            hip=(50.0, 28.6),
            trunk=12.0,
            head=14.0,
            nose=-20.0,
            near_leg=Leg(-92.0, 178.0, 196.0),
            far_leg=Leg(-92.0, 178.0, 196.0),
            base="hands_and_knees",
            **both(Reach(83.0, 1.8, 0.0)),
        ),
        between=Panel(
            pose=stand(
                hip=(62.0, 28.6),
                trunk=66.0,
                head=78.0,
                near_leg=Plant(84.0),
                far_leg=Leg(-93.0, 164.0, 252.0),
                base="one_knee",
                **both(Reach(92.0, 24.6, 0.0)),
            ),
            around=facing_chair(CHAIR_AHEAD_X),
            arrows=arrow((52.0, 62.0), (66.0, 84.0)),
        ),
        end=sit(52.0, feet=18.0, **both(Reach(66.0, 35.0))),
        around=facing_chair(CHAIR_AHEAD_X),
        around_end=chair(48.0),
        traced=False,
        arrows=arrow((76.0, 72.0), (72.0, 52.0), bow=3.0),
        unpictured="It is no exercise: there is nothing to be avoided but haste.",
    ),
}
