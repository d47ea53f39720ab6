"""The scale on which pain is scored: eleven boxes with numbers, and a face for what each asks.

Lines and words alone tell the parts apart, so that a grey copy says the same. The faces are drawn
from circles and arcs of our own; the parts are those of the rule for pain (rulebook row 26a).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from programs.figures.linework import BLACK

FACE_FAMILY = "Atkinson Hyperlegible, Paper Fallback"
#: All in mm, as printed: the width of a page between its margins, a box, a face.
WIDTH, BOX, RADIUS = 168.0, 14.0, 7.5
TOP, UNDER = 1.0, 2.5
#: A line of words in its letters' size, and the numbers in the boxes in that of the words.
LINE, NUMBER = 1.215, 1.25
_POINT_MM = 25.4 / 72
_LEFT = (WIDTH - 11 * BOX) / 2
_BOXES_AT = TOP + 2 * RADIUS + 2.0
_WORDS_AT = _BOXES_AT + BOX + 3.0
#: Lines of words under a part.
WORDS_LINES = 2


@dataclass(frozen=True, kw_only=True)
class Part:
    """The numbers from which one thing follows; mouth, from 1, a smile, to -1; brows drawn
    up in the middle, as in worry and not in anger, none at 0."""

    first: int
    last: int
    mouth: float
    brows: float


PARTS = (
    Part(first=0, last=3, mouth=1.0, brows=0.0),
    Part(first=4, last=5, mouth=-0.1, brows=0.6),
    Part(first=6, last=10, mouth=-1.0, brows=1.4),
)


def high_mm(type_pt: int) -> float:
    """Return how high the scale is in letters of this size."""
    return _WORDS_AT + WORDS_LINES * LINE * type_pt * _POINT_MM + UNDER


def pain_scale_svg(title: str, words: tuple[str, str, str], type_pt: int) -> str:
    """Return the scale as SVG, as large as it is to be printed.

    title  its text alternative
    words  what to do within each part; a "|" is where its line is broken
    """
    letters, high = type_pt * _POINT_MM, high_mm(type_pt)
    drawn = "".join(_boxes(letters))
    for part, said in zip(PARTS, words, strict=True):
        drawn += "".join(_of(part, said, letters))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH:g}mm" height="{high:.3f}mm"'
        f' viewBox="0 0 {WIDTH:g} {high:.3f}" role="img">'
        f"<title>{escape(title)}</title>{drawn}</svg>"
    )


def _boxes(letters: float) -> Iterator[str]:
    for number in range(11):
        left = _LEFT + number * BOX
        yield _stroke(f"M{left:g} {_BOXES_AT:g}h{BOX:g}v{BOX:g}h-{BOX:g}z", 0.4)
        y = _BOXES_AT + BOX / 2 + letters * NUMBER * 0.36
        yield _text(str(number), left + BOX / 2, y, letters * NUMBER, bold=True)


def _of(part: Part, words: str, letters: float) -> Iterator[str]:
    left = _LEFT + part.first * BOX
    right = _LEFT + (part.last + 1) * BOX
    # A thick rule around each part: shades would be lost on a copy.
    yield _stroke(f"M{left:g} {_BOXES_AT:g}H{right:g}v{BOX:g}H{left:g}z", 1.2)
    middle = (left + right) / 2
    yield from _face(middle, part)
    for n, line in enumerate(words.split("|")):
        y = _WORDS_AT + LINE * letters * (n + 0.7)
        yield _text(line.strip(), middle, y, letters, bold=n == 0)


def _face(x: float, part: Part) -> Iterator[str]:
    y = TOP + RADIUS
    yield (
        f'<circle cx="{x:g}" cy="{y:g}" r="{RADIUS - 0.4:g}" fill="none" stroke="{BLACK}"'
        ' stroke-width="0.7"/>'
    )
    for side in (-1, 1):
        eye = x + side * 2.6
        yield f'<circle cx="{eye:g}" cy="{y - 1.4:g}" r="0.75" fill="{BLACK}"/>'
        if part.brows == 0:
            continue
        inner, outer = eye - side * 1.4, eye + side * 1.4
        yield _stroke(
            f"M{inner:g} {y - 3 - part.brows * 0.8:g}L{outer:g} {y - 3 + part.brows * 0.3:g}", 0.6
        )
    bow = 3.4 * part.mouth
    yield _stroke(f"M{x - 3.2:g} {y + 3 - bow / 4:g}q3.2 {bow:g} 6.4 0", 0.8)


def _stroke(path: str, wide: float) -> str:
    return (
        f'<path d="{path}" fill="none" stroke="{BLACK}" stroke-width="{wide:g}"'
        ' stroke-linejoin="round" stroke-linecap="round"/>'
    )


def _text(said: str, x: float, y: float, letters: float, *, bold: bool) -> str:
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:g}" y="{y:.3f}" text-anchor="middle" font-family="{FACE_FAMILY}"'
        f' font-size="{letters:.3f}"{weight}>{escape(said)}</text>'
    )
