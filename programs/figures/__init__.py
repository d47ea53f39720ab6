"""The figures of the exercises: one to three poses side by side, drawn from a pose table."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from html import escape
from itertools import pairwise

from programs.figures import (
    of_arms,
    of_balance,
    of_bed,
    of_hips_and_back,
    of_impact,
    of_legs,
    of_plate,
    of_posture,
    of_seated,
)
from programs.figures.body import body_of, fists, ghost_of
from programs.figures.linework import (
    BLACK,
    LINE,
    Extent,
    Frame,
    Mark,
    Stroke,
    arrow,
    extent_of,
    svg_of,
)
from programs.figures.poses import Pose, Skeleton, skeleton
from programs.figures.scenes import Panel, Scene
from programs.figures.signs import at_work, clock, contacts, cross, gaps, way_marks

SCENES: dict[str, Scene] = {
    **of_legs.SCENES,
    **of_hips_and_back.SCENES,
    **of_arms.SCENES,
    **of_impact.SCENES,
    **of_balance.SCENES,
    **of_posture.SCENES,
    **of_seated.SCENES,
    **of_bed.SCENES,
    **of_plate.SCENES,
}

#: Air around what is drawn in a panel, and between two panels.
AIR, GAP = 3.0, 9.0
#: The panel's share below the ground, with room for the words under it.
FOOTROOM = 4.0
#: Width of a panel at least, so that the words under it have room.
NARROWEST = 52.0
#: Printed width of one unit (a hundredth of body height), and of a picture, in mm, where it is
#: as small as it gets: beside its text, or on its own line where it has three poses.
UNIT_MM, WIDEST_MM, THREE_WIDEST_MM = 0.39, 96.0, 150.0
#: The wrong way is smaller: it is not to be studied.
WRONG_UNIT_MM, WRONG_WIDEST_MM = 0.34, 40.0
#: Size of the words in points, which `sized` makes that of the paper, and in mm; their line in mm,
#: and its share above their feet.
WORDS_PT, WORDS_MM, LINE_MM, FEET = 16, 16 / 72 * 25.4, 7.2, 0.75
_AS_IT_COMES = "scale(1)"
FACE = "Atkinson Hyperlegible, Paper Fallback"


def poses_of(code: str) -> int:
    """Return how many poses an exercise is shown in: as many words go under them."""
    return len(SCENES[code].panels)


def figure_svg(code: str, title: str, words: Sequence[str], muscles: Sequence[str] = ()) -> str:
    """Return one SVG picture of an exercise, in the smallest size it is printed in.

    title    its text alternative
    words    what stands under each pose
    muscles  those at work, hatched in the last pose
    Same arguments, same bytes. Raises KeyError for an exercise that is not drawn, ValueError for
    words that are not as many as its poses.
    """
    body, top, frames = _poses(code, tuple(muscles))
    whole = frames[-1].right
    widest = WIDEST_MM if len(frames) < 3 else THREE_WIDEST_MM
    unit_mm = min(UNIT_MM, widest / whole)
    height = top + FOOTROOM + LINE_MM / unit_mm
    below = _Below(unit_mm=unit_mm, top=top + FOOTROOM)
    for word, frame in zip(words, frames, strict=True):
        body += below.word(word, frame.middle)
    for frame, _ in pairwise(frames):
        body += below.arrow(frame.right + GAP / 2)
    return _svg(title, whole, height, unit_mm, body)


@cache
def _poses(code: str, muscles: tuple[str, ...]) -> tuple[str, float, tuple[_Place, ...]]:
    """Return the poses drawn, how far up they reach, and their frames: alike in all languages."""
    frames = _widths(panels := _drawn(SCENES[code], muscles))
    top = extent_of(mark for marks in panels for mark in marks).top + AIR
    drawn = (
        svg_of(mark, Frame(frame.origin, top))
        for marks, frame in zip(panels, frames, strict=True)
        for mark in (_ground(frame), *marks)
    )
    return "".join(drawn), top, frames


def sized(picture: str, growth: float, words_pt: int) -> str:
    """Return a picture so many times as large, the words under its poses in letters of this size.

    A picture without words grows as it is.
    """
    wide, high = size_of(picture, growth, words_pt)
    held = _SIZE.search(picture)
    assert held is not None
    taller = high / (float(held[2]) * growth)
    shown = f'width="{wide:.3f}mm" height="{high:.3f}mm"'
    if held[3] is not None:
        shown += f' viewBox="0 0 {held[3]} {float(held[4]) * taller:.3f}"'
    larger = words_pt / WORDS_PT / growth
    whole = _SIZE.sub(shown, picture, count=1)
    return whole.replace(_AS_IT_COMES, f"scale({larger:.4f})")


def size_of(picture: str, growth: float, words_pt: int) -> tuple[float, float]:
    """Return width and height in mm of a picture so many times as large, with its words.

    Raises ValueError for a picture that does not say its size.
    """
    held = _SIZE.search(picture)
    if held is None:
        raise ValueError("a picture without its size")
    line = LINE_MM if _AS_IT_COMES in picture else 0.0
    return (
        float(held[1]) * growth,
        (float(held[2]) - line) * growth + line * words_pt / WORDS_PT,
    )


_SIZE = re.compile(r'width="([\d.]+)mm" height="([\d.]+)mm"(?: viewBox="0 0 ([\d.]+) ([\d.]+)")?')


def wrong_svg(code: str, title: str) -> str:
    """Return a small crossed-out picture of what not to do; empty where there is none.

    The cross is behind the body but for thin lines, so that it hides little of the pose.
    """
    panel = SCENES[code].wrong_panel
    if panel is None:
        return ""
    scenery, marks = panel.around, _panel(replace(panel, around=()), SCENES[code].grips)
    (frame,) = _widths(((*scenery, *marks),))
    top = extent_of((*scenery, *marks)).top + AIR
    height = top + FOOTROOM
    unit_mm = min(WRONG_UNIT_MM, WRONG_WIDEST_MM / frame.right)
    reach = Extent(2.0 - frame.origin, 1.0, frame.right - frame.origin - 2.0, top - 2.0)
    behind, before = cross(reach)
    drawn = (_ground(frame), *scenery, *behind, *marks, *before)
    body = "".join(svg_of(mark, Frame(frame.origin, top)) for mark in drawn)
    return _svg(title, frame.right, height, unit_mm, body)


def _svg(title: str, width: float, height: float, unit_mm: float, body: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * unit_mm:.3f}mm"'
        f' height="{height * unit_mm:.3f}mm" viewBox="0 0 {width:.3f} {height:.3f}" role="img">'
        f"<title>{escape(title)}</title>{body}</svg>"
    )


@dataclass(frozen=True, kw_only=True)
class _Place:
    """Where a panel stands in the picture: its sides, and where its own x = 0 is."""

    left: float
    right: float
    origin: float

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2


def _widths(panels: Iterable[tuple[Mark, ...]]) -> tuple[_Place, ...]:
    """Return the places of panels side by side, each as wide as what is drawn in it."""
    places: list[_Place] = []
    left = 0.0
    for marks in panels:
        drawn = extent_of(marks)
        width = max(drawn.right - drawn.left + 2 * AIR, NARROWEST)
        origin = left + (width - drawn.left - drawn.right) / 2
        places.append(_Place(left=left, right=left + width, origin=origin))
        left += width + GAP
    return tuple(places)


@dataclass(frozen=True, kw_only=True)
class _Below:
    """The line of words under the poses, each in a group of its own, to be sized from its top."""

    unit_mm: float
    top: float

    @property
    def baseline(self) -> float:
        return LINE_MM * FEET / self.unit_mm

    def word(self, text: str, middle: float) -> str:
        return self._group(
            middle,
            f'<text x="0" y="{self.baseline:.2f}" text-anchor="middle"'
            f' font-family="{FACE}" font-size="{WORDS_MM / self.unit_mm:.3f}">'
            f"{escape(text)}</text>",
        )

    def arrow(self, middle: float) -> str:
        """Return the small arrow from one word to the next."""
        above, reach = WORDS_MM * 0.35 / self.unit_mm, GAP / 2 + 1.0
        marks = arrow((-reach, above), (reach, above), width=1.4)
        return self._group(
            middle, "".join(svg_of(mark, Frame(0.0, self.baseline)) for mark in marks)
        )

    def _group(self, middle: float, drawn: str) -> str:
        at = f"translate({middle:.2f} {self.top:.2f})"
        return f'<g transform="{at} {_AS_IT_COMES}">{drawn}</g>'


def _drawn(scene: Scene, muscles: Sequence[str]) -> tuple[tuple[Mark, ...], ...]:
    """Return the marks of each panel; the last one says what works and how far a foot lifts."""
    panels = scene.panels
    drawn = [_panel(panels[0], scene.grips)]
    for before, panel in pairwise(panels):
        drawn.append(_panel(panel, scene.grips, before.pose, traced=scene.traced))
    last = panels[-1].pose
    points = skeleton(last)
    drawn[-1] += at_work(muscles, last, points)
    drawn[-1] += gaps(last, points) if scene.traced else ()
    where = _beside(extent_of(drawn[-1]), points) if scene.still else scene.clock
    drawn[-1] += clock(where) if where else ()
    return tuple(drawn)


def _panel(
    panel: Panel, grips: str, before: Pose | None = None, *, traced: bool = False
) -> tuple[Mark, ...]:
    points = skeleton(panel.pose)
    body = body_of(panel.pose, points, grips)
    behind = [mark for draw in panel.behind for mark in draw(points)]
    held = [mark for draw in panel.carried for mark in draw(points)]
    ghost: tuple[Mark, ...] = ()
    ways: list[Mark] = []
    if before is not None:
        earlier = skeleton(before)
        alike = before.view == panel.pose.view and before.seen_from == panel.pose.seen_from
        ghost = ghost_of(before, earlier, body) if traced and alike else ()
        ways = [mark for way in panel.ways for mark in way_marks(way, earlier, points)]
    feet = contacts(panel.pose, points)
    closed = fists(pose=panel.pose, points=points, grips=grips)
    return (*panel.around, *ghost, *behind, *feet, *body, *held, *closed, *ways, *panel.arrows)


def _beside(reach: Extent, points: Skeleton) -> tuple[float, float]:
    """Return a place for the clock: over the feet of who lies, beside the head of who stands."""
    upright = abs(points["chest"][0] - points["hip"][0]) < 10.0
    if upright:
        return reach.left - 6.0, points["head"][1] - 2.0
    return points["hip"][0] + 4.0, reach.top + 6.0


def _ground(place: _Place) -> Stroke:
    left, right = (side - place.origin for side in (place.left, place.right))
    return Stroke(((left + LINE, -0.8), (right - LINE, -0.8)), LINE, BLACK)
