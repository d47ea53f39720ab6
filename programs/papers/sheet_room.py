"""Which parts of a week's sheet stand on its front, and which on its back beside the log.

Whom to call stands in front, the log of the days on the back. What else there is goes where it has
room, so that a week takes one sheet. An estimate in millimetres, from the widths of the letters; a
little high, so that neither side runs over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from programs.papers.letter_widths import lines, width_em
from programs.papers.paper_parts import SheetItem, SheetKind, SheetLifts, WeekSheet
from programs.papers.picture_room import WIDTH_MM, height_mm

#: How far apart lines stand in the boxes of whom to call, below them, and in a table.
_BOX, _TEXT, _KEY, _TABLE = 1.12, 1.22, 1.16, 1.12
#: Bold letters are wider; a title is larger, and so are the words and the numbers to call.
_BOLD, _BOLD_NUMBER, _TITLE, _CALL, _NUMBER, _PHONE = 1.085, 1.06, 1.15, 1.1, 1.782, 1.32
#: A row to write in, the rule and the air of one that is read, the columns of the days of the
#: lifts, and what is left out here or there.
_ROW_MM, _READ_MM, _DAY_MM, _SPARE_MM = 10.8, 1.2, 21.6, 2.0
_CALL_LINE, _CALL_EM, _BOX_EM, _BOXES_AIR_EM, _TO_WRITE = 1.1, 1.8, 2.9, 2.9, 2
_MM_A_POINT = 25.4 / 72
#: The first column of the log, by how many days it has (handout.css).
_CORNER_MM: Mapping[int, float] = {7: 23.0, 6: 42.0, 5: 52.0, 4: 66.0}
_CORNER_AT_MOST_MM = 80.0
#: Letters from which on the front holds nothing but whom to call.
LARGE_PT = 20
#: As wide as the words before what she wants.
_TITLED = "Programme d’exercices de 26 semaines. "


@dataclass(frozen=True, kw_only=True)
class Sides:
    """What stands on the front: what she wants, the key of the log, the lines to write on, lifts.

    What is not there stands on the back, but for what she wants: the next part says that again.
    """

    goal: bool
    key: bool
    lines: bool
    lifts: bool


def sides(
    sheet: WeekSheet, type_pt: int, paper: str, edge_lines: int, calls: tuple[str, str]
) -> Sides:
    """Return what stands on the front of a sheet; in the larger letters only what she wants.

    calls   the words before the number of the ambulance, and before the clinic's
    """
    em = type_pt * _MM_A_POINT
    room = height_mm(paper, type_pt, edge_lines) - _SPARE_MM
    if type_pt >= LARGE_PT:
        aimed = bool(sheet.goal) and _goal_mm(sheet, em) + _boxes_mm(sheet, em, calls) <= room
        return Sides(goal=aimed, key=False, lines=False, lifts=False)
    front, back = room - front_mm(sheet, em, calls), max(room - log_mm(sheet, em), 0.0)
    high, goal = dict(_parts(sheet, em)), _goal_mm(sheet, em)
    for aimed in (True, False) if sheet.goal else (False,):
        left = front - (goal if aimed else 0.0)
        for held in _ORDERS:
            before = sum(high[name] for name in held)
            if before <= left and sum(high.values()) - before <= back:
                return Sides(goal=aimed, **{name: name in held for name in high})
    # No way takes two sides: the log goes on where it has to, and the lifts after it.
    aimed = bool(goal) and goal + high["key"] + high["lines"] <= front
    return Sides(goal=aimed, key=True, lines=True, lifts=False)


#: What of key, lines and lifts stands in front, the best first: all that is written by the day is
#: found together where it can be.
_ORDERS = (
    {"key", "lines", "lifts"},
    {"key", "lines"},
    {"lines", "lifts"},
    {"lines"},
    {"key", "lifts"},
    {"lifts"},
    {"key"},
    set[str](),
)


def _parts(sheet: WeekSheet, em: float) -> Iterator[tuple[str, float]]:
    """Yield what may stand on either side, with about how high it is."""
    yield "key", _lines([" ".join(sheet.key)], WIDTH_MM, em) * _KEY * em
    yield "lines", _ROW_MM * -(-len(sheet.lines) // _TO_WRITE) + 0.3 * em
    yield "lifts", _lifts_mm(sheet, sheet.lifts, em) if sheet.lifts else 0.0


def front_mm(sheet: WeekSheet, em: float, calls: tuple[str, str]) -> float:
    """Return about how high what always stands in front is; em is the size of its letters in mm."""
    below = [*sheet.changes, *sheet.until, " ".join(sheet.after)]
    said = [text for text in below if text]
    high = _lines(said, WIDTH_MM - 2 * em, em * _BOLD) * _TEXT + (0.3 + 0.2 * len(said)) * bool(
        said
    )
    return _boxes_mm(sheet, em, calls) + high * em


def log_mm(sheet: WeekSheet, em: float) -> float:
    """Return about how high the log of the days is."""
    corner = _CORNER_MM.get(len(sheet.days), _CORNER_AT_MOST_MM) - 2
    head = f"{sheet.brief}: {' | '.join(sheet.heads)}"
    high = _lines([head], corner, em * _BOLD) * em * _TABLE + _READ_MM
    for kind in sheet.kinds:
        high += _row_mm(kind.title, corner, em * _BOLD, em)
        high += _lines([_read_of(kind)], WIDTH_MM - 2, em * _A_LITTLE_BOLD) * em * _TABLE + _READ_MM
        high += sum(_row_mm(" | ".join(row.heads), corner, em, em) for row in kind.rows)
    return high + sum(_row_mm(" | ".join(row.heads), corner, em, em) for row in sheet.of_day) + 2


#: Of a text of which a part is bold.
_A_LITTLE_BOLD = 1.03


def _read_of(kind: SheetKind) -> str:
    """Return what is read of a kind, as wide as it is printed."""
    items = "; ".join(_item(one) for one in kind.items)
    return ". ".join(part for part in (kind.days, kind.dose, " ".join([*kind.how, items])) if part)


def _item(one: SheetItem) -> str:
    # The page of an exercise is told behind it.
    return f"{one.name}: {one.dose}, página 00" if one.dose else f"{one.name}, página 00"


def _row_mm(head: str, room: float, wide_em: float, em: float) -> float:
    return max(_ROW_MM, _lines([head], room, wide_em) * em * _TABLE + _READ_MM)


def _goal_mm(sheet: WeekSheet, em: float) -> float:
    if not sheet.goal:
        return 0.0
    return _lines([f"{_TITLED}{sheet.goal}"], WIDTH_MM, em * _BOLD) * _TEXT * em + 0.35 * em


def _boxes_mm(sheet: WeekSheet, em: float, calls: tuple[str, str]) -> float:
    """Return how high the title and both boxes are."""
    alarm = sheet.alarm
    strong = [text for text in (alarm.own, alarm.knock) if text]
    room = WIDTH_MM - _BOX_EM * em
    title = _lines([sheet.title], WIDTH_MM, em * _TITLE * _BOLD) * _TITLE * _TEXT
    boxed = _lines([*alarm.ambulance, *alarm.stop], room, em)
    numbers = zip(calls, (alarm.number, alarm.phone), (_NUMBER, _PHONE), strict=True)
    heads = sum(_call_em(call, number, wide, em) for call, number, wide in numbers)
    blanks = sum(not number for number in (alarm.number or alarm.own, alarm.phone))
    boxed += blanks * _lines([alarm.blank], room, em)
    return em * (title + (boxed + _lines(strong, room, em * _BOLD)) * _BOX + heads + _BOXES_AIR_EM)


def _call_em(call: str, number: str, size: float, em: float) -> float:
    """Return how high the head of a box is: the number stands under its words if it has to."""
    words = _CALL * _CALL_LINE
    if not number:
        return words
    wide = width_em(f"{call}: ") * _CALL * _BOLD + width_em(number) * size * _BOLD_NUMBER
    together = wide <= WIDTH_MM / em - _CALL_EM
    return max(words, size) if together else words + size


def _lifts_mm(sheet: WeekSheet, lifts: SheetLifts, em: float) -> float:
    room = WIDTH_MM - _DAY_MM * len(lifts.days) - 2
    head = f"{sheet.brief}: {lifts.title}, {' | '.join(lifts.heads)}"
    high = sum(_row_mm(_item(one), room, em * _A_LITTLE_BOLD, em) for one in lifts.items)
    return high + _lines([head], room, em * _BOLD) * em * _TABLE + _READ_MM + 2


def _lines(texts: Sequence[str], width_mm: float, em: float) -> int:
    return sum(lines(text, round(width_mm / em, 2)) for text in texts)
