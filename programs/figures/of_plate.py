"""Scenes of the positions on a vibration plate."""

from __future__ import annotations

from programs.figures.linework import arrow
from programs.figures.poses import Ahead, Arm, Plant, Pose, Reach
from programs.figures.props import footprints, handle_bar, plate, plate_column
from programs.figures.scenes import Scene, both, face, legs, stand

TOP = 7.0
HOLD = both(Reach(83.0, 73.5))
PLATE = (*plate_column(98.0, 83.0), *plate(44.0, 100.0))
TILTING = (*handle_bar(58.0, 92.0), *plate(46.0, 104.0, tilting=True))
TILT = (
    *arrow((40.0, 2.0), (40.0, 14.0), both=True),
    *arrow((110.0, 14.0), (110.0, 2.0), both=True),
)
#: The plate from above: its middle line and the marks to both sides of it.
MARKS = (4.5, 10.0, 16.0, 22.0, 27.5)
CLOSE = footprints((12.4, 9.0), (19.6, 9.0), at=(112.0, 60.0), marks=MARKS)
WIDE = footprints((4.5, 9.0), (27.5, 9.0), at=(112.0, 60.0), marks=MARKS)
STRAIGHT = stand(62.0, hip=(62.0, 59.8), **legs(Plant(62.0, TOP)), **HOLD)
BENT = stand(62.0, hip=(59.0, 58.4), trunk=87.0, **legs(Plant(62.0, TOP)), **HOLD)


def on_tilting(left: float, right: float, hip: float) -> Pose:
    """Stand on a tilting plate, seen from behind, each foot so far from its middle line."""
    return face(
        hip=(75.0, hip),
        near_leg=Plant(75.0 - left, TOP),
        far_leg=Plant(75.0 + right, TOP),
        seen_from="back",
        near_arm=Ahead(62.0, 72.0, 5.0),
        far_arm=Ahead(88.0, 72.0, 5.0),
    )


SCENES: dict[str, Scene] = {
    "plate_knees_bent": Scene(
        start=STRAIGHT,
        end=BENT,
        around=PLATE,
        grips="both",
        arrows=arrow((40.0, 68.0), (40.0, 54.0)),
        wrong=STRAIGHT,
    ),
    "plate_feet_close": Scene(
        start=on_tilting(5.0, 5.0, 58.2),
        end=on_tilting(5.0, 5.0, 58.2),
        still=True,
        around=(*TILTING, *CLOSE),
        arrows=TILT,
        wrong=on_tilting(5.0, 17.0, 57.6),
        around_wrong=TILTING,
    ),
    "plate_feet_wide": Scene(
        start=on_tilting(17.0, 17.0, 56.8),
        end=on_tilting(17.0, 17.0, 56.8),
        still=True,
        around=(*TILTING, *WIDE),
        arrows=TILT,
        wrong=on_tilting(25.0, 25.0, 53.0),
        around_wrong=TILTING,
    ),
    "plate_upright": Scene(
        start=STRAIGHT,
        end=STRAIGHT,
        still=True,
        around=PLATE,
        grips="both",
        wrong=stand(
            62.0,
            hip=(58.0, 58.8),
            trunk=68.0,
            curl=22.0,
            head=44.0,
            **legs(Plant(62.0, TOP)),
            **both(Arm(-60.0, 30.0)),
        ),
    ),
    "plate_deep_bend": Scene(
        start=BENT,
        end=stand(
            hip=(53.0, 52.4), trunk=76.0, head=86.0, nose=0.0, **legs(Plant(62.0, TOP)), **HOLD
        ),
        around=PLATE,
        grips="both",
        arrows=arrow((34.0, 70.0), (34.0, 50.0)),
        wrong=stand(
            hip=(50.0, 40.0),
            trunk=72.0,
            head=84.0,
            nose=0.0,
            **legs(Plant(62.0, TOP, -34.0)),
            **both(Reach(83.0, 73.5)),
        ),
    ),
}
