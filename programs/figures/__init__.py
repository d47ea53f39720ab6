"""The figures of the exercises: a start and an end pose side by side, drawn from a pose table."""

from __future__ import annotations

from html import escape

from programs.figures import (
    of_arms,
    of_balance,
    of_hips_and_back,
    of_impact,
    of_legs,
    of_plate,
    of_posture,
)
from programs.figures.body import body_of
from programs.figures.linework import BLACK, LINE, Frame, Mark, Stroke, arrow, svg_of
from programs.figures.poses import Pose, skeleton
from programs.figures.props import Carried
from programs.figures.scenes import Scene

SCENES: dict[str, Scene] = {
    **of_legs.SCENES,
    **of_hips_and_back.SCENES,
    **of_arms.SCENES,
    **of_impact.SCENES,
    **of_balance.SCENES,
    **of_posture.SCENES,
    **of_plate.SCENES,
}

PANEL_WIDTH, GAP, HEADROOM, FOOTROOM = 150.0, 12.0, 134.0, 6.0
WIDTH, HEIGHT = 2 * PANEL_WIDTH + GAP, HEADROOM + FOOTROOM


def figure_svg(code: str, title: str) -> str:
    """Return one SVG picture of an exercise, with title as its text alternative.

    Same code and title, same bytes. Raises KeyError for an exercise that is not drawn.
    """
    scene = SCENES[code]
    body = "".join(
        svg_of(mark, frame)
        for marks, frame in (
            (_panel(scene.start, scene.around, scene.carried), Frame(0.0, HEADROOM)),
            (_end_panel(scene), Frame(PANEL_WIDTH + GAP, HEADROOM)),
            (_between(), Frame(PANEL_WIDTH, HEADROOM)),
        )
        for mark in marks
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img">'
        f"<title>{escape(title)}</title>{body}</svg>"
    )


def _end_panel(scene: Scene) -> tuple[Mark, ...]:
    around = scene.around if scene.around_end is None else scene.around_end
    carried = scene.carried if scene.carried_end is None else scene.carried_end
    return (*_panel(scene.end, around, carried), *scene.arrows)


def _panel(pose: Pose, around: tuple[Mark, ...], carried: tuple[Carried, ...]) -> tuple[Mark, ...]:
    points = skeleton(pose)
    ground = Stroke(((3.0, -0.8), (PANEL_WIDTH - 3.0, -0.8)), LINE, BLACK)
    held = [mark for draw in carried for mark in draw(points)]
    return (ground, *around, *body_of(pose, points), *held)


def _between() -> tuple[Mark, ...]:
    """Return the small arrow from the first panel to the second."""
    return arrow((-1.0, 122.0), (GAP + 1.0, 122.0), width=1.4)
