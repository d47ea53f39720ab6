"""Where the parts of an exercise find room beside its picture, so that its block is not split.

An estimate in millimetres: letters are taken as a little wider than they are on the average.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap

from programs.handout.said import Block

#: Between the margins: the width of the narrower paper, the height of the lower one.
WIDTH_MM, HEIGHT_MM = 168.0, 205.0
#: With more doses than these, what to feel and to avoid stands under the steps.
FEW_DOSES = 3

_MM_A_POINT = 25.4 / 72
_LINE_HEIGHT, _LETTER_WIDTH, _NAME = 1.28, 0.46, 1.2
_GAP_MM, _INDENT_EM, _BETWEEN_EM = 6.0, 1.9, 0.15
_SIZE = re.compile(r'width="([\d.]+)mm" height="([\d.]+)mm"')


@dataclass(frozen=True, kw_only=True)
class Arrangement:
    """Whether doses, and what to feel and to avoid, stand beside the picture.

    Doses that do not have a block of their own; the rest stands under the steps.
    """

    doses_beside: bool
    care_beside: bool


def arrangement(block: Block, type_pt: int) -> Arrangement:
    """Return the first arrangement with which the block fits on one page, or the lowest.

    Raises ValueError for a picture that does not say its size.
    """
    choices = list(_choices(block))
    fitting = (one for one in choices if block_mm(block, type_pt, one) <= HEIGHT_MM)
    return next(fitting, choices[-1])


def _choices(block: Block) -> Iterator[Arrangement]:
    if len(block.doses) <= FEW_DOSES:
        yield Arrangement(doses_beside=True, care_beside=True)
    yield Arrangement(doses_beside=True, care_beside=False)
    yield Arrangement(doses_beside=False, care_beside=True)
    yield Arrangement(doses_beside=False, care_beside=False)


def block_mm(block: Block, type_pt: int, arranged: Arrangement) -> float:
    """Return about how high a block is."""
    em = type_pt * _MM_A_POINT
    size = _SIZE.search(block.figure)
    if size is None:
        raise ValueError("a picture without its size")
    wide, high = float(size[1]), float(size[2])
    doses = [f"{dose.weeks}: {dose.text}" for dose in block.doses]
    care = [block.feel, block.avoid]
    beside = [*(doses if arranged.doses_beside else ()), *(care if arranged.care_beside else ())]
    return (
        _text_mm([block.name], WIDTH_MM, em * _NAME)
        + max(high, _text_mm(beside, WIDTH_MM - wide - _GAP_MM, em))
        + _text_mm(block.steps, WIDTH_MM - _INDENT_EM * em, em)
        + _text_mm([] if arranged.care_beside else care, WIDTH_MM, em)
    )


def _text_mm(texts: Sequence[str], width_mm: float, em: float) -> float:
    letters_a_line = int(width_mm / (_LETTER_WIDTH * em))
    lines = sum(len(wrap(text, letters_a_line)) for text in texts)
    return (lines * _LINE_HEIGHT + len(texts) * _BETWEEN_EM) * em
