"""What finds room on the front of a week's sheet, beside whom to call.

The boxes of the lifts, and on page one what she wants. An estimate in millimetres, from the widths
of the letters; a little high, so that a front does not take a second page for either.
"""

from __future__ import annotations

from collections.abc import Sequence

from programs.papers.letter_widths import lines
from programs.papers.paper_parts import SheetLifts, WeekSheet
from programs.papers.picture_room import WIDTH_MM, height_mm

#: How far apart lines stand in the boxes of whom to call, below them, and in a table.
_BOX, _TEXT, _KEY, _TABLE = 1.12, 1.22, 1.16, 1.12
#: Bold letters are wider; a title is larger, and so are the numbers to call.
_BOLD, _TITLE, _NUMBERS_EM = 1.08, 1.3, 4.2
#: A row to write in, the columns of the days of the lifts, and what is left out here or there.
_ROW_MM, _DAY_MM, _SPARE_MM = 10.8, 24.0, 3.0
_BOX_EM, _AIR_EM, _TO_WRITE = 2.6, 1.0, 2
_MM_A_POINT = 25.4 / 72
#: Letters from which on the front holds nothing but whom to call.
LARGE_PT = 20
#: As wide as the words before what she wants.
_TITLED = "Programme d’exercices de 26 semaines. "


def lifts_in_front(sheet: WeekSheet, type_pt: int, paper: str, edge_lines: int) -> bool:
    """Tell whether there is room for the boxes of the lifts on the front."""
    if sheet.lifts is None:
        return False
    em = type_pt * _MM_A_POINT
    needed = front_mm(sheet, em) + _lifts_mm(sheet, sheet.lifts, em) + _SPARE_MM
    return needed <= height_mm(paper, type_pt, edge_lines)


def goal_in_front(sheet: WeekSheet, type_pt: int, paper: str, edge_lines: int) -> bool:
    """Tell whether there is room for what she wants above whom to call."""
    em = type_pt * _MM_A_POINT
    # In the larger letters nothing else stands on the front.
    needed = (
        (_goal_mm(sheet, em) + _boxes_mm(sheet, em)) if type_pt >= LARGE_PT else front_mm(sheet, em)
    )
    return bool(sheet.goal) and needed + _SPARE_MM <= height_mm(paper, type_pt, edge_lines)


def front_mm(sheet: WeekSheet, em: float) -> float:
    """Return about how high the front is without them; em is the size of its letters in mm."""
    below = [*sheet.changes, *sheet.until, " ".join(sheet.after)]
    said = _lines([text for text in below if text], WIDTH_MM - em, em * _BOLD) * _TEXT
    key = _lines([" ".join(sheet.key)], WIDTH_MM, em) * _KEY
    to_write = _ROW_MM * -(-len(sheet.lines) // _TO_WRITE)
    return _goal_mm(sheet, em) + _boxes_mm(sheet, em) + (said + key) * em + to_write


def _goal_mm(sheet: WeekSheet, em: float) -> float:
    if not sheet.goal:
        return 0.0
    return _lines([f"{_TITLED}{sheet.goal}"], WIDTH_MM, em * _BOLD) * _TEXT * em + em / 2


def _boxes_mm(sheet: WeekSheet, em: float) -> float:
    """Return how high the title and both boxes are."""
    alarm = sheet.alarm
    strong = [text for text in (alarm.own, alarm.knock) if text]
    room = WIDTH_MM - _BOX_EM * em
    title = _lines([sheet.title], WIDTH_MM, em * _TITLE * _BOLD) * _TITLE * _TEXT
    boxed = _lines([*alarm.ambulance, *alarm.stop], room, em)
    return em * (title + (boxed + _lines(strong, room, em * _BOLD)) * _BOX + _NUMBERS_EM + _AIR_EM)


def _lifts_mm(sheet: WeekSheet, lifts: SheetLifts, em: float) -> float:
    room = WIDTH_MM - _DAY_MM * len(lifts.days) - em
    head = f"{sheet.brief}: {lifts.title}, {' | '.join(lifts.heads)}"
    # The page of an exercise is told behind it.
    rows = [_lines([f"{one.name}: {one.dose}, page 00"], room, em) for one in lifts.items]
    high = sum(max(_ROW_MM, n * em * _TABLE + 1) for n in rows)
    return high + _lines([head], room, em * _BOLD) * em * _TABLE + 2


def _lines(texts: Sequence[str], width_mm: float, em: float) -> int:
    return sum(lines(text, round(width_mm / em, 2)) for text in texts)
