"""The panel of a vibration plate with the numbers it must show: windows, a start and a stop."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from programs.figures.linework import (
    BLACK,
    DARK,
    LIGHT,
    MIDDLE,
    WHITE,
    Disc,
    Frame,
    Mark,
    Shape,
    box,
    svg_of,
)

#: One unit is a millimetre: a window, the gap between two, the case around them, and the letters.
WINDOW_WIDE, WINDOW_HIGH, GAP, EDGE = 34.0, 15.0, 5.0, 5.0
LABEL_MM, NUMBER_MM, LINE_MM, ROOM_BELOW = 16 / 72 * 25.4, 22 / 72 * 25.4, 7.4, 13.0
FACE = "Atkinson Hyperlegible, Paper Fallback"


def panel_svg(title: str, windows: Sequence[tuple[str, str]]) -> str:
    """Return a panel whose windows show these numbers, each under its label.

    title   its text alternative
    """
    width = 2 * EDGE + len(windows) * (WINDOW_WIDE + GAP) - GAP
    height = 2 * EDGE + LINE_MM + WINDOW_HIGH + ROOM_BELOW
    frame = Frame(0.0, height)
    marks = (_case(width, height), *_buttons(width))
    body = "".join(svg_of(mark, frame) for mark in marks)
    top = EDGE + LINE_MM
    for number, (label, value) in enumerate(windows):
        left = EDGE + number * (WINDOW_WIDE + GAP)
        bottom = height - top - WINDOW_HIGH
        body += svg_of(box(left, bottom, left + WINDOW_WIDE, bottom + WINDOW_HIGH, WHITE), frame)
        middle = left + WINDOW_WIDE / 2
        body += _word(label, middle, top - 2.0, LABEL_MM)
        body += _word(value, middle, top + WINDOW_HIGH * 0.5 + NUMBER_MM * 0.36, NUMBER_MM)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm"'
        f' viewBox="0 0 {width:.3f} {height:.3f}" role="img">'
        f"<title>{escape(title)}</title>{body}</svg>"
    )


def _case(width: float, height: float) -> Shape:
    nip = 4.0
    corners = (
        (nip, 0.8),
        (width - nip, 0.8),
        (width - 0.8, nip),
        (width - 0.8, height - nip),
        (width - nip, height - 0.8),
        (nip, height - 0.8),
        (0.8, height - nip),
        (0.8, nip),
    )
    return Shape(corners, LIGHT, DARK, 1.2)


def _buttons(width: float) -> tuple[Mark, ...]:
    """Return a start and a stop button, told by their signs."""
    y, start, stop = EDGE + 3.6, width / 2 - 11.0, width / 2 + 11.0
    arrow = ((start - 1.6, y - 2.4), (start + 2.6, y), (start - 1.6, y + 2.4))
    return (
        *(Disc((x, y), 5.0, WHITE, MIDDLE, 0.9) for x in (start, stop)),
        Shape(arrow, BLACK, BLACK, 0.4),
        box(stop - 2.0, y - 2.0, stop + 2.0, y + 2.0, BLACK),
    )


def _word(text: str, middle: float, baseline: float, size: float) -> str:
    return (
        f'<text x="{middle:.2f}" y="{baseline:.2f}" text-anchor="middle"'
        f' font-family="{FACE}" font-weight="700" font-size="{size:.3f}">{escape(text)}</text>'
    )
