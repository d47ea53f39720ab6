"""The figures of the exercises: a start and an end pose side by side, drawn from a pose table."""

from __future__ import annotations

from dataclasses import dataclass
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
from programs.figures.linework import BLACK, LINE, Frame, Mark, Stroke, arrow, extent_of, svg_of
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

#: Air around what is drawn in a panel, and between the two panels.
AIR, GAP = 3.0, 12.0
#: The panel's share below the ground, with room for the words under it.
FOOTROOM = 4.0
#: Width of a panel at least, so that the words under it have room.
NARROWEST = 48.0
#: Printed width of one unit (a hundredth of body height), and of a picture at most, in mm.
UNIT_MM, WIDEST_MM = 0.39, 96.0
#: Size of the words on paper: 14 pt in mm; their line, and the air above it.
WORDS_MM, LINE_MM = 14 / 72 * 25.4, 6.4
FACE = "Atkinson Hyperlegible, Paper Fallback"


def figure_svg(code: str, title: str, words: tuple[str, str]) -> str:
    """Return one SVG picture of an exercise, as large as it is to be printed.

    title  its text alternative
    words  what stands under the first and the second pose
    Same arguments, same bytes. Raises KeyError for an exercise that is not drawn.
    """
    scene = SCENES[code]
    panels = (_panel(scene.start, scene.around, scene.carried), _end_panel(scene))
    drawn = extent_of(mark for marks in panels for mark in marks)
    width = max(drawn.right - drawn.left + 2 * AIR, NARROWEST)
    left = (drawn.left + drawn.right - width) / 2
    whole = 2 * width + GAP
    unit_mm = min(UNIT_MM, WIDEST_MM / whole)
    ground = drawn.top + AIR
    height = ground + FOOTROOM + LINE_MM / unit_mm
    frames = (Frame(-left, ground), Frame(width + GAP - left, ground))
    body = "".join(
        svg_of(mark, frame)
        for marks, frame in zip(panels, frames, strict=True)
        for mark in (_ground(left, width), *marks)
    )
    below = _Below(unit_mm=unit_mm, baseline=height - LINE_MM * 0.25 / unit_mm)
    body += below.word(words[0], width / 2) + below.word(words[1], width * 1.5 + GAP)
    body += "".join(svg_of(mark, Frame(width, below.baseline)) for mark in _between(unit_mm))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{whole * unit_mm:.3f}mm"'
        f' height="{height * unit_mm:.3f}mm" viewBox="0 0 {whole:.3f} {height:.3f}" role="img">'
        f"<title>{escape(title)}</title>{body}</svg>"
    )


@dataclass(frozen=True, kw_only=True)
class _Below:
    """The line of words under the poses."""

    unit_mm: float
    baseline: float

    def word(self, text: str, middle: float) -> str:
        return (
            f'<text x="{middle:.2f}" y="{self.baseline:.2f}" text-anchor="middle"'
            f' font-family="{FACE}" font-size="{WORDS_MM / self.unit_mm:.3f}">'
            f"{escape(text)}</text>"
        )


def _end_panel(scene: Scene) -> tuple[Mark, ...]:
    around = scene.around if scene.around_end is None else scene.around_end
    carried = scene.carried if scene.carried_end is None else scene.carried_end
    return (*_panel(scene.end, around, carried), *scene.arrows)


def _panel(pose: Pose, around: tuple[Mark, ...], carried: tuple[Carried, ...]) -> tuple[Mark, ...]:
    points = skeleton(pose)
    held = [mark for draw in carried for mark in draw(points)]
    return (*around, *body_of(pose, points), *held)


def _ground(left: float, width: float) -> Stroke:
    return Stroke(((left + LINE, -0.8), (left + width - LINE, -0.8)), LINE, BLACK)


def _between(unit_mm: float) -> tuple[Mark, ...]:
    """Return the small arrow from the first word to the second."""
    above = WORDS_MM * 0.35 / unit_mm
    return arrow((-2.0, above), (GAP + 2.0, above), width=1.4)
