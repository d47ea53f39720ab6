"""Scenes of the positions on a vibration plate."""

from __future__ import annotations

from programs.figures.linework import arrow
from programs.figures.poses import Plant, Pose, Reach
from programs.figures.props import footprints, handle_bar, plate, plate_column
from programs.figures.scenes import Scene, both, face, hands_ahead, legs, stand

TOP = 7.0
HOLD = both(Reach(83.0, 73.5))
PLATE = (*plate_column(98.0, 83.0), *plate(44.0, 100.0))
TILTING = (*handle_bar(58.0, 92.0), *plate(46.0, 104.0, tilting=True))
TILT = (
    *arrow((40.0, 2.0), (40.0, 14.0), both=True),
    *arrow((110.0, 14.0), (110.0, 2.0), both=True),
)
CLOSE = footprints((11.4, 12.0), (18.6, 12.0))
WIDE = footprints((5.0, 12.0), (25.0, 12.0))
STRAIGHT = stand(62.0, hip=(62.0, 59.8), **legs(Plant(62.0, TOP)), **HOLD)
BENT = stand(62.0, hip=(59.0, 58.4), trunk=87.0, **legs(Plant(62.0, TOP)), **HOLD)


def on_tilting(apart: float, hip: float) -> Pose:
    return face(
        hip=(75.0, hip),
        near_leg=Plant(75.0 - apart, TOP),
        far_leg=Plant(75.0 + apart, TOP),
        seen_from="back",
        **hands_ahead(75.0, 73.0, 13.0),
    )


SCENES: dict[str, Scene] = {
    "plate_knees_bent": Scene(
        start=STRAIGHT, end=BENT, around=PLATE, arrows=arrow((34.0, 66.0), (34.0, 54.0))
    ),
    "plate_feet_close": Scene(
        start=on_tilting(17.0, 58.6),
        end=on_tilting(6.5, 58.2),
        around=(*TILTING, *WIDE),
        around_end=(*TILTING, *CLOSE),
        arrows=TILT,
    ),
    "plate_feet_wide": Scene(
        start=on_tilting(6.5, 58.2),
        end=on_tilting(17.0, 57.2),
        around=(*TILTING, *CLOSE),
        around_end=(*TILTING, *WIDE),
        arrows=TILT,
    ),
    "plate_upright": Scene(
        start=stand(26.0),
        end=STRAIGHT,
        around=PLATE,
        arrows=arrow((30.0, 14.0), (42.0, 18.0)),
    ),
    "plate_deep_bend": Scene(
        start=BENT,
        end=stand(
            hip=(53.0, 52.4), trunk=76.0, head=86.0, nose=0.0, **legs(Plant(62.0, TOP)), **HOLD
        ),
        around=PLATE,
        arrows=arrow((30.0, 72.0), (30.0, 52.0)),
    ),
}
