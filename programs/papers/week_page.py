"""One week at a glance: whom to call for what, then what to do on which days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from programs.exercises import EXERCISES
from programs.papers import doses, lifting
from programs.papers.amounts import amount, amount_words
from programs.papers.chapters import WALKING, title
from programs.papers.emergency import alarm
from programs.papers.last_week import after_last_week, is_last
from programs.papers.manner import HANDS_ON, IN_REACH, Manner, manner_of
from programs.papers.numbers import headed
from programs.papers.only_until import cut, until_words
from programs.papers.paper_parts import Todo, WeekPage, Words
from programs.papers.plate_page import rounds_words, setting_words
from programs.papers.watching import ALONE, watched_words
from programs.papers.weeks import days_words, full_date_words, training_days
from programs.signed.program import SignedProgram
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Week,
    exercise_codes,
    part_of,
)
from safety.findings import Modality


def week_page(week: Week, program: SignedProgram, words: Words) -> WeekPage:
    """Return whom to call for what, and what one week holds."""
    program = cut(program)
    held = next(one for one in program.weeks if one.week == week.week)
    begins = program.starts_on + dt.timedelta(weeks=week.week - 1)
    told = words.gettext("Week {week}: from {date}")
    return WeekPage(
        title=told.format(week=week.week, date=full_date_words(begins, words)),
        alarm=alarm(program, words),
        until=until_words(Modality, [held], program, words),
        todos=tuple(
            _todo(modality, part, held, program, words)
            for modality in Modality
            if (part := part_of(held, modality))
        ),
        after=after_last_week(program, words) if is_last(held, program) else (),
    )


def _todo(modality: Modality, part: Part, week: Week, program: SignedProgram, words: Words) -> Todo:
    days = training_days(week, program, modality)
    return Todo(
        title=title(modality, [week], words),
        days=days_words(days, part.sessions, words),
        dose=_dose(part, words),
        items=tuple(_items(part, words)),
        how=how_words(part, week, program, words),
    )


def _dose(part: Part, words: Words) -> str:
    match part:
        case PlateWeek():
            return headed(setting_words(part, words), rounds_words(part, words), words)
        case ResistanceWeek():
            return lifting.dose_words(part, words)
        case ImpactWeek():
            return doses.count_words(part.impacts, part.minutes, words)
        case _:
            each = doses.each_time_words(part.minutes, part.sessions, words)
            return words.gettext("{minutes} each time").format(minutes=each)


def how_words(part: Part, week: Week, program: SignedProgram, words: Words) -> tuple[str, ...]:
    """Return what holds for all of a kind of exercise in the week."""
    return tuple(_how(part, week, program, words))


def _how(part: Part, week: Week, program: SignedProgram, words: Words) -> Iterator[str]:
    match part:
        case PlateWeek():
            beside = watched_words(week, program, words)
            yield from () if beside == words.gettext(ALONE) else (beside,)
        case ResistanceWeek():
            yield from lifting.how_words(part, words)
        case BalanceWeek():
            yield from _support(part, manner_of(program), words)


def _support(part: BalanceWeek, manner: Manner, words: Words) -> Iterator[str]:
    if manner.frame:
        yield words.gettext(HANDS_ON)
    elif part.near_support and not manner.seated:
        yield words.gettext(IN_REACH)


def _items(part: Part, words: Words) -> Iterator[str]:
    """Yield each exercise with its own dose; not those told with their repeats."""
    match part:
        case ResistanceWeek():
            for lift in part.exercises:
                if lift.reps is None:
                    name, kg = _named(lift.exercise, words), lift.load_kg
                    yield name if kg is None else f"{name} ({lifting.kg_words(kg, words)})"
        case BalanceWeek() | PostureWeek():
            for code in part.exercises:
                yield headed(_named(code, words), amount_words(amount(part, code), words), words)
        case _:
            named = (_named(code, words) for code in exercise_codes(part))
            # Brisk walking is its own kind.
            yield from (name for name in named if name != words.gettext(WALKING))


def _named(code: str, words: Words) -> str:
    return words.gettext(EXERCISES[code].name)
