"""Where the parts of an exercise find room beside its picture, and how large that one may be.

An estimate in millimetres, from the widths of the letters (letter_widths.py).
Which exercises share a page, and how large their pictures are there, is page_filling.py's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from programs.figures import size_of, sized
from programs.papers.letter_widths import lines
from programs.papers.paper_parts import Block, Dose

#: Between the margins: the width of the narrower paper, the height of each without what the lines
#: of its head and of its foot take.
WIDTH_MM = 168.0
BARE_MM: Mapping[str, float] = {"A4": 245.0, "Letter": 228.0}
#: What stands beside a picture is at least this wide; all of the text, by its letters' size.
BESIDE_MM, COLUMN_EM = 62.0, 15.0
#: A picture is printed in so many tenths of the size in which it comes; in larger letters its
#: least size is larger, so that the words under its poses have room beside each other.
MOST_TENTHS = 20
LEAST_TENTHS: Mapping[int, int] = {16: 8, 20: 10}

_MM_A_POINT = 25.4 / 72
_LINE_HEIGHT, _NAME, _EDGE_LINE = 1.22, 1.2, 1.3
#: A text whose letters are as wide as those of the sheet is not broken before the sheet breaks it.
_SPARE_EM = 0.3
_GAP_MM, _WRONG_GAP_MM, _INDENT_EM, _BETWEEN_EM, _AIR_EM, _TEXT_LINE = (
    6.0,
    3.0,
    1.9,
    0.15,
    2.0,
    1.35,
)


@dataclass(frozen=True, kw_only=True)
class Arrangement:
    """Where the doses, and what to feel and to avoid, stand, and how large the picture is.

    apart         the doses stand in a block of their own; else in lines above the picture
    care_beside   beside the picture, or below the steps
    column        all of the text beside the picture, and the wrong way below that
    Else the picture of the wrong way stands on the right of the steps.
    """

    apart: bool = False
    care_beside: bool = False
    column: bool = False
    growth: float = 1.0


def widened(figure: str, wide_mm: float, type_pt: int) -> str:
    """Return a picture of this width, its words in the letters of the paper."""
    return sized(figure, wide_mm / size_of(figure, 1.0, type_pt)[0], type_pt)


def choices(block: Block, type_pt: int) -> Iterator[tuple[Arrangement, float]]:
    """Yield all arrangements whose parts have their width, each with its height; the lowest last.

    Raises ValueError for a picture that does not say its size.
    """
    for arranged in _arrangements(block, type_pt):
        yield arranged, block_mm(block, type_pt, arranged)


def _arrangements(block: Block, type_pt: int) -> Iterator[Arrangement]:
    for apart, (care, column) in product((False, True), _PLACES):
        for tenths in range(MOST_TENTHS, LEAST_TENTHS[type_pt] - 1, -1):
            found = Arrangement(apart=apart, care_beside=care, column=column, growth=tenths / 10)
            if _has_room(block, type_pt, found):
                yield found


#: Whether the care stands beside the picture, and whether all of the text does.
_PLACES = ((False, True), (True, False), (False, False))


def _has_room(block: Block, type_pt: int, arranged: Arrangement) -> bool:
    """Tell whether picture and text have their width."""
    if arranged.column:
        return _column_mm(block, type_pt, arranged) >= COLUMN_EM * type_pt * _MM_A_POINT
    wide, _ = size_of(block.figure, arranged.growth, type_pt)
    return wide <= (WIDTH_MM - _GAP_MM - BESIDE_MM if arranged.care_beside else WIDTH_MM)


def _column_mm(block: Block, type_pt: int, arranged: Arrangement) -> float:
    """Return how wide the text is beside the pictures."""
    wide, _ = size_of(block.figure, arranged.growth, type_pt)
    wrong, _ = size_of(block.wrong, 1.0, type_pt) if block.wrong else (0.0, 0.0)
    return WIDTH_MM - _GAP_MM - max(wide, wrong)


def height_mm(paper: str, type_pt: int, edge_lines: int) -> float:
    """Return how high the text of a page is.

    edge_lines   of its head and its foot together, which have its own letters
    """
    return BARE_MM[paper] - edge_lines * type_pt * _EDGE_LINE * _MM_A_POINT


def block_mm(block: Block, type_pt: int, arranged: Arrangement) -> float:
    """Return about how high a block is."""
    em = type_pt * _MM_A_POINT
    above = _text_mm([block.name], WIDTH_MM, em * _NAME)
    if not arranged.apart:
        above += _text_mm([in_line(block.doses)], WIDTH_MM, em)
    shown = _in_column_mm if arranged.column else _in_rows_mm
    return above + shown(block, type_pt, arranged) + _AIR_EM * em


def in_line(doses: Sequence[Dose]) -> str:
    """Return doses as they stand one after the other."""
    return "    ".join(f"{dose.weeks}: {dose.text}" for dose in doses)


def _in_column_mm(block: Block, type_pt: int, arranged: Arrangement) -> float:
    """Return how high the pictures are, one above the other, or the text beside them."""
    em = type_pt * _MM_A_POINT
    _, high = size_of(block.figure, arranged.growth, type_pt)
    if block.wrong:
        high += _WRONG_GAP_MM + size_of(block.wrong, 1.0, type_pt)[1]
    room = _column_mm(block, type_pt, arranged)
    return max(high, _steps_mm(block, room, em) + _text_mm(_care(block), room, em))


def _in_rows_mm(block: Block, type_pt: int, arranged: Arrangement) -> float:
    """Return how high the picture is with what stands beside it, then the steps."""
    em = type_pt * _MM_A_POINT
    wide, high = size_of(block.figure, arranged.growth, type_pt)
    wrong_wide, wrong_high = -_GAP_MM, 0.0
    if block.wrong:
        wrong_wide, wrong_high = size_of(block.wrong, 1.0, type_pt)
    room = WIDTH_MM - wrong_wide - _GAP_MM
    steps = _steps_mm(block, room, em)
    if not arranged.care_beside:
        return high + max(wrong_high, steps + _text_mm(_care(block), room, em))
    beside = _text_mm(_care(block), WIDTH_MM - wide - _GAP_MM, em)
    return max(high, beside) + max(wrong_high, steps)


def _steps_mm(block: Block, room: float, em: float) -> float:
    return _text_mm(block.steps, room - _INDENT_EM * em, em)


def _care(block: Block) -> tuple[str, ...]:
    return block.feel, block.avoid


def lines_mm(texts: Sequence[str], type_pt: int) -> float:
    """Return about how high lines of a list are, in the whole width, as far apart as text is."""
    em = type_pt * _MM_A_POINT
    return _text_mm(texts, WIDTH_MM - _INDENT_EM * em, em) * _TEXT_LINE / _LINE_HEIGHT


def _text_mm(texts: Sequence[str], width_mm: float, em: float) -> float:
    room_em = round(width_mm / em - _SPARE_EM, 2)
    found = sum(lines(text, room_em) for text in texts)
    return (found * _LINE_HEIGHT + len(texts) * _BETWEEN_EM) * em
