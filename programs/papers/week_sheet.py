"""One week as a sheet of paper: whom to call for what, what to do, and boxes for what was done.

The boxes are those of programs.log.day: what is declared there stands here, so that the sheet and
the pages of the log ask for the same.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

from patients.facts.codes import DAYS
from programs.exercises import EXERCISES
from programs.log.day import (
    DONE,
    FELL,
    LETTERS,
    PLATE,
    Cell,
    Column,
    Read,
    columns_of,
    logged_lifts,
)
from programs.papers import doses, lifting
from programs.papers.amounts import amount, amount_words
from programs.papers.changes import changes
from programs.papers.chapters import title
from programs.papers.emergency import alarm
from programs.papers.last_week import after_last_week, is_last
from programs.papers.numbers import headed, line_start
from programs.papers.only_until import cut, until_words
from programs.papers.paper_parts import (
    SheetItem,
    SheetKind,
    SheetLifts,
    SheetRow,
    WeekSheet,
    Words,
    gettext_noop,
    told,
)
from programs.papers.plate_page import rounds_words, setting_words
from programs.papers.span import Span
from programs.papers.week_page import how_words
from programs.papers.weeks import (
    dates_of_week,
    days_of,
    full_date_words,
    short_day_words,
    training_days,
)
from programs.signed.program import SignedProgram
from programs.week.week import (
    ImpactWeek,
    Part,
    PlateWeek,
    ResistanceWeek,
    Week,
    part_of,
)
from safety.findings import Modality

CODES = tuple(DAYS)
#: Boxes side by side on one day.
BOXES_A_DAY = 2
#: What finds the plate's own page, as a code of the catalogue finds an exercise.
PLATE_CODE = "plate"
#: Room for the weight that is found or given at the clinic.
BLANK_KG = "____\N{NO-BREAK SPACE}kg"
_LETTERS = gettext_noop("{letter}: {meaning}.")
_LEFT = gettext_noop("Left: how many more lifts you could do.")
_POINTS = gettext_noop("Effort and pain: 0 points for none, to 10 points.")
_DASH = gettext_noop("A dash: not on that day. Write the day beside your words.")


def sheets(program: SignedProgram, words: Words, span: Span) -> tuple[WeekSheet, ...]:
    """Return the sheets of these weeks, those that the program has."""
    held = cut(program)
    found = (week for week in held.weeks if week.week in span)
    return tuple(week_sheet(week, held, words) for week in found)


def week_sheet(week: Week, program: SignedProgram, words: Words) -> WeekSheet:
    """Return the sheet of a week, which is one of a program that was cut to its clearances."""
    begins = program.starts_on + dt.timedelta(weeks=week.week - 1)
    heading = words.gettext("Week {week}: from {date}")
    dates = dates_of_week(program.starts_on, week.week, days_of(week, program))
    of_day = columns_of(None)
    return WeekSheet(
        title=heading.format(week=week.week, date=full_date_words(begins, words)),
        brief=words.gettext("Week {weeks}").format(weeks=week.week),
        goal="",
        alarm=alarm(program, words),
        until=until_words(Modality, [week], program, words),
        changes=changes(week, program, words),
        after=after_last_week(program, words) if is_last(week, program) else (),
        heads=tuple(words.gettext(one.cell.boxed) for one in _first_boxes()),
        days=tuple(line_start(short_day_words(day, words)) for day in dates),
        kinds=tuple(
            _kind(m, part, week, program, words) for m in Modality if (part := part_of(week, m))
        ),
        lifts=_lifts(week, program, words),
        of_day=_rows(_boxes(of_day), [True] * len(dates), words),
        lines=tuple(words.gettext(one.cell.boxed) for one in of_day if not _is_box(one.cell)),
        key=_key(words),
    )


def _kind(
    modality: Modality, part: Part, week: Week, program: SignedProgram, words: Words
) -> SheetKind:
    named = training_days(week, program, modality)
    dates = dates_of_week(program.starts_on, week.week, days_of(week, program))
    mine = [CODES[day.weekday()] in named for day in dates]
    shared = {one.cell.name for one in _first_boxes()}
    columns = _boxes(one for one in columns_of(modality) if _is_asked(one.cell, program))
    (first,) = _rows([one for one in columns if one.cell.name in shared], mine, words)
    return SheetKind(
        title=title(modality, [week], words),
        days=_choice(len(named), part.sessions, words),
        dose=_dose(part, words),
        items=tuple(_items(part, words)),
        how=_how(part, week, program, words),
        first=first,
        rows=_rows([one for one in columns if one.cell.name not in shared], mine, words),
    )


def _how(part: Part, week: Week, program: SignedProgram, words: Words) -> tuple[str, ...]:
    """Return what holds for all of a kind; the repeats of a lift stand beside its name."""
    if isinstance(part, ResistanceWeek):
        return lifting.load_rule(part, words)
    return how_words(part, week, program, words)


def _is_asked(cell: Cell, program: SignedProgram) -> bool:
    """Tell whether there is anything to tell: with one plate not which it was."""
    return cell is not PLATE or len(program.motions) > 1


def _choice(named: int, sessions: int, words: Words) -> str:
    """Return "2 of these days" where more are named, or how often where fewer can be."""
    if named == sessions:
        return ""
    if named > sessions:
        told_ = words.ngettext(
            "on {count} of these days, as you like",
            "on {count} of these days, as you like",
            sessions,
        )
        return told_.format(count=sessions)
    often = words.ngettext("{count} time this week", "{count} times this week", sessions)
    return often.format(count=sessions)


def _dose(part: Part, words: Words) -> str:
    """Return what all exercises of a kind share; balance and posture each say their own."""
    match part:
        case PlateWeek():
            return headed(setting_words(part, words), rounds_words(part, words), words)
        case ResistanceWeek():
            return lifting.dose_words(part, words)
        case _:
            return ""


def _items(part: Part, words: Words) -> Iterator[SheetItem]:
    """Yield each exercise with what a session holds of it; lifts with boxes stand at those."""
    match part:
        case PlateWeek():
            name = words.gettext("Plate: {name}").format(name=part.plate)
            yield SheetItem(name=name, dose="", code=PLATE_CODE)
        case ResistanceWeek():
            boxed = logged_lifts(part)
            for lift in part.exercises:
                if lift.exercise not in boxed:
                    own = "" if lift.reps is None else doses.repeats_words(lift.reps, words)
                    yield _item(lift.exercise, own, words)
        case ImpactWeek():
            much = doses.count_words(part.impacts, part.minutes, words)
            for code in part.exercises:
                yield _item(code, much, words)
        case _:
            for code in part.exercises:
                yield _item(code, amount_words(amount(part, code), words), words)


def _item(code: str, dose: str, words: Words) -> SheetItem:
    return SheetItem(name=words.gettext(EXERCISES[code].name), dose=dose, code=code)


def _lifts(week: Week, program: SignedProgram, words: Words) -> SheetLifts | None:
    """Return the lifts whose weight is written down, each with its weight or room for one."""
    codes = logged_lifts(week.resistance)
    if week.resistance is None or not codes:
        return None
    named = training_days(week, program, Modality.RESISTANCE)
    dates = dates_of_week(program.starts_on, week.week, named)
    kg = {one.exercise: one.load_kg for one in week.resistance.exercises}
    columns = columns_of(Modality.RESISTANCE, codes[:1])
    return SheetLifts(
        title=words.gettext("Weight used"),
        days=tuple(line_start(short_day_words(day, words)) for day in dates),
        heads=tuple(words.gettext(one.cell.boxed) for one in columns if one.lift),
        items=tuple(_item(code, _kg_words(kg[code], words), words) for code in codes),
    )


def _kg_words(kg: float | None, words: Words) -> str:
    return BLANK_KG if kg is None else lifting.kg_words(kg, words)


def _first_boxes() -> list[Column]:
    """Return what each kind is asked first, which stands once, at the head of the table."""
    asked = [[one.cell for one in columns_of(modality)] for modality in Modality]
    columns = columns_of(next(iter(Modality)))
    every = [one for one in columns if all(one.cell in cells for cells in asked)]
    return _boxes(every)[:BOXES_A_DAY]


def _rows(columns: Sequence[Column], open_: Sequence[bool], words: Words) -> tuple[SheetRow, ...]:
    """Return the boxes of these columns, as many side by side as a day has room for."""
    heads = [words.gettext(one.cell.boxed) for one in columns]
    starts = range(0, len(heads), BOXES_A_DAY)
    return tuple(
        SheetRow(heads=tuple(heads[n : n + BOXES_A_DAY]), open=tuple(open_)) for n in starts
    )


def _boxes(columns: Iterable[Column]) -> list[Column]:
    return [one for one in columns if _is_box(one.cell)]


def _is_box(cell: Cell) -> bool:
    """Tell whether a cell is filled in with a letter or a number; else it asks for words."""
    return cell.read not in (Read.WORDS, Read.KINDS)


def letters(cell: Cell, words: Words) -> tuple[str, ...]:
    """Return the letters that she writes for the keys of a cell, those of her language."""
    own = next((text for text in LETTERS if text.split(", ") == [*cell.keys]), "")
    return tuple(words.gettext(own).split(", ")) if own else tuple(cell.keys)


def _key(words: Words) -> tuple[str, ...]:
    """Return what the letters and points mean, then what a dash is."""
    said = [
        words.gettext(_LETTERS).format(letter=letter, meaning=words.gettext(spoken).lower())
        for cell in (DONE, FELL)
        for letter, spoken in zip(letters(cell, words), cell.spoken.values(), strict=True)
    ]
    return (" ".join(said), *told((_LEFT, _POINTS, _DASH), words))
