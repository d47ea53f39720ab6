"""Scenes of the exercises in bed, flat or propped up: lifting and balance."""

from __future__ import annotations

from programs.figures.held import dumbbells
from programs.figures.linework import arrow
from programs.figures.poses import Ahead, Arm, Leg, Pose, Reach, Toward
from programs.figures.props import BED, bed, bed_ahead, bed_from_above, propped_bed, rolled_towel
from programs.figures.scenes import Scene, Way, both, face, lie, propped, shrugging

PILLOWED = bed(20.0, 122.0, pillow=30.0)
LONG = Leg(-2.0, -2.0, 80.0)
RAISED = propped(near_arm=Arm(-4.0, 0.0))


def from_above(far_leg: Leg) -> Pose:
    """Lie on the back, seen from above, head to the left."""
    return face(
        hip=(74.0, 40.0),
        trunk=180.0,
        head=180.0,
        near_leg=Leg(-4.0, -2.0, 0.0),
        far_leg=far_leg,
        near_arm=Arm(-14.0, -2.0),
        far_arm=Arm(14.0, 2.0),
        base="lying",
        shod=False,
    )


def facing(hip: tuple[float, float], **changes: float) -> Pose:
    """Sit propped up in bed, seen from its foot, hands on the belly."""
    x, y = hip
    return face(
        hip=hip,
        near_leg=Toward(x - 8.0, 37.0, BED),
        far_leg=Toward(x + 8.0, 37.0, BED),
        near_arm=Ahead(x - 3.0, y + 12.0, 7.0),
        far_arm=Ahead(x + 3.0, y + 12.0, 7.0),
        base="propped",
        shod=False,
        **changes,
    )


SCENES: dict[str, Scene] = {
    "bed_chest_press": Scene(
        start=lie(**both(Arm(-10.0, 92.0))),
        end=lie(**both(Arm(90.0, 90.0))),
        around=PILLOWED,
        carried=(dumbbells,),
        grips="both",
        arrows=arrow((60.0, 48.0), (60.0, 68.0)),
        unpictured="Bent wrists are too small to be seen at this size.",
    ),
    "propped_arm_raise": Scene(
        start=propped(),
        end=RAISED,
        around=propped_bed(right=124.0),
        arrows=arrow((118.0, 40.0), (114.0, 56.0), bow=-3.0),
        wrong=shrugging(propped(near_arm=Arm(-4.0, 0.0), head=92.0, curl=10.0)),
    ),
    "bed_elbow_press": Scene(
        start=lie(**both(Arm(10.0, 92.0))),
        end=lie(**both(Arm(-10.0, 92.0))),
        around=PILLOWED,
        arrows=arrow((74.0, 50.0), (74.0, 36.0)),
        wrong=lie(**both(Arm(-10.0, 92.0)), curl=-30.0, hip=(72.0, 29.4)),
    ),
    "bed_knee_straightening": Scene(
        start=lie(near_leg=Leg(18.0, -27.0, 62.0), far_leg=LONG),
        end=lie(near_leg=Leg(18.0, 14.0, 104.0), far_leg=LONG),
        around=bed(20.0, 134.0, pillow=30.0),
        carried=(rolled_towel(95.0, 4.9),),
        ways=(Way("near_heel", (9.0, 4.0), bow=-3.0),),
        wrong=lie(near_leg=Leg(38.0, 34.0, 124.0), far_leg=LONG),
    ),
    "lying_side_slide": Scene(
        start=from_above(Leg(4.0, 2.0, 0.0)),
        end=from_above(Leg(26.0, 26.0, 0.0)),
        around=bed_from_above(),
        ways=(Way("far_ankle", (10.0, 2.0), bow=-3.0),),
        unpictured="A leg that rolls out looks the same from above.",
    ),
    "propped_reach": Scene(
        start=propped(),
        end=propped(trunk=112.0, head=104.0, near_arm=Arm(-12.0, -6.0), far_arm=Reach(80.0, 36.0)),
        around=propped_bed(right=124.0),
        ways=(Way("near_hand", (0.0, 10.0)),),
        unpictured="The edge of the bed is not in a view from the side.",
    ),
    "propped_weight_shift": Scene(
        start=facing((75.0, 28.0)),
        end=facing((81.0, 29.0), trunk=84.0, head=90.0),
        around=bed_ahead(),
        arrows=arrow((66.0, 88.0), (92.0, 88.0)),
        wrong=propped(84.0, trunk=152.0, curl=22.0, head=112.0),
        around_wrong=propped_bed(right=128.0),
    ),
}
