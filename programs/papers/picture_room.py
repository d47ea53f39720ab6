"""Where the parts of an exercise find room beside its picture, and how large that one may be.

An estimate in millimetres: letters are taken as a little wider than they are on the average.
Which exercises share a page, and how large their pictures are there, is page_filling.py's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from textwrap import wrap

from programs.figures import size_of, sized
from programs.papers.paper_parts import Block

#: Between the margins: the width of the narrower paper, the height of each without what a line of
#: its head and two of its foot take.
WIDTH_MM, EDGE_LINES = 168.0, 3
BARE_MM: Mapping[str, float] = {"A4": 243.0, "Letter": 226.0}
#: With more doses than these, what to feel and to avoid stands under the steps.
FEW_DOSES = 3
#: What stands beside a picture is at least this wide.
BESIDE_MM = 62.0
#: A picture is printed in so many tenths of the size in which it comes; in larger letters its
#: least size is larger, so that the words under its poses have room beside each other.
MOST_TENTHS = 20
LEAST_TENTHS: Mapping[int, int] = {16: 8, 20: 10}

_MM_A_POINT = 25.4 / 72
_LINE_HEIGHT, _LETTER_WIDTH, _NAME, _EDGE_LINE = 1.22, 0.46, 1.2, 1.3
_GAP_MM, _INDENT_EM, _BETWEEN_EM, _AIR_EM, _TEXT_LINE = 6.0, 1.9, 0.15, 2.0, 1.35
_PLACES = (
    ("beside", True),
    ("beside", False),
    ("below", True),
    ("below", False),
    ("apart", True),
    ("apart", False),
)


@dataclass(frozen=True, kw_only=True)
class Arrangement:
    """Where doses, and what to feel and to avoid, stand, and how large the picture is.

    doses         "beside" the picture, "below" the steps, or "apart" in a block of their own
    care_beside   beside the picture, or below the steps
    The picture of the wrong way stands on the right of the steps.
    """

    doses: str
    care_beside: bool
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
    wide, _ = size_of(block.figure, 1.0, type_pt)
    for doses, care in _PLACES:
        if doses == "beside" and care and len(block.doses) > FEW_DOSES:
            continue
        room = WIDTH_MM - _GAP_MM - BESIDE_MM if doses == "beside" or care else WIDTH_MM
        for tenths in range(MOST_TENTHS, LEAST_TENTHS[type_pt] - 1, -1):
            if wide * tenths / 10 <= room:
                yield Arrangement(doses=doses, care_beside=care, growth=tenths / 10)


def height_mm(paper: str, type_pt: int) -> float:
    """Return how high the text of a page is, under a head and above a foot in its own letters."""
    return BARE_MM[paper] - EDGE_LINES * type_pt * _EDGE_LINE * _MM_A_POINT


def block_mm(block: Block, type_pt: int, arranged: Arrangement) -> float:
    """Return about how high a block is."""
    em = type_pt * _MM_A_POINT
    wide, high = size_of(block.figure, arranged.growth, type_pt)
    doses = [f"{dose.weeks}: {dose.text}" for dose in block.doses]
    care = [block.feel, block.avoid]
    wrong_wide, wrong_high = (-_GAP_MM, 0.0)
    if block.wrong:
        wrong_wide, wrong_high = size_of(block.wrong, 1.0, type_pt)
    texts_mm = WIDTH_MM - wrong_wide - _GAP_MM
    beside = [*doses * (arranged.doses == "beside"), *care * arranged.care_beside]
    below = [*doses * (arranged.doses == "below"), *care * (not arranged.care_beside)]
    steps = _text_mm(block.steps, texts_mm - _INDENT_EM * em, em)
    return (
        _text_mm([block.name], WIDTH_MM, em * _NAME)
        + max(high, _text_mm(beside, WIDTH_MM - wide - _GAP_MM, em))
        + max(wrong_high, steps + _text_mm(below, texts_mm, em))
        + _AIR_EM * em
    )


def lines_mm(texts: Sequence[str], type_pt: int) -> float:
    """Return about how high lines of a list are, in the whole width, as far apart as text is."""
    em = type_pt * _MM_A_POINT
    return _text_mm(texts, WIDTH_MM - _INDENT_EM * em, em) * _TEXT_LINE / _LINE_HEIGHT


@lru_cache(maxsize=8192)
def _lines(text: str, letters_a_line: int) -> int:
    """Return how many lines a text takes: the same few are asked for in each arrangement."""
    return len(wrap(text, letters_a_line))


def _text_mm(texts: Sequence[str], width_mm: float, em: float) -> float:
    letters_a_line = max(1, int(width_mm / (_LETTER_WIDTH * em)))
    lines = sum(_lines(text, letters_a_line) for text in texts)
    return (lines * _LINE_HEIGHT + len(texts) * _BETWEEN_EM) * em
