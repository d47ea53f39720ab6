"""One week as her phone shows it: what is for today, whom to call for what, then all its days.

The words are those of the week's page on paper; nothing is recalculated.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from patients.facts.codes import DAYS
from programs.papers.chapters import title
from programs.papers.numbers import line_start
from programs.papers.only_until import cut
from programs.papers.paper_parts import Todo, WeekPage, Words, gettext_noop
from programs.papers.week_page import week_page
from programs.papers.weeks import full_date_words, training_days
from programs.signed.program import SignedProgram
from programs.week.week import Week, part_of
from safety.findings import Modality

#: What her phone says beside the words of the paper.
NOT_SEEN = gettext_noop("The clinic does not see this at once. Do not wait for us: act now.")


@dataclass(frozen=True, kw_only=True)
class PhoneDay:
    """A day of the week: its date in words, and the kinds that it may hold, as on paper."""

    on: dt.date
    name: str
    kinds: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PhoneWeek:
    """What the phone shows. today: what the day that was asked for may hold."""

    page: WeekPage
    today: tuple[Todo, ...]
    days: tuple[PhoneDay, ...]


def number_on(program: SignedProgram, day: dt.date) -> int | None:
    """Return the week that a phone shows which is opened on a day: the first one before the start.

    None once the weeks of the program are over.
    """
    number = max(1, (day - program.starts_on).days // 7 + 1)
    return number if any(week.week == number for week in program.weeks) else None


def first_day(program: SignedProgram, number: int) -> dt.date:
    """Return the first day of a week."""
    return program.starts_on + dt.timedelta(weeks=number - 1)


def shown_until(program: SignedProgram, number: int) -> dt.date:
    """Return the first day on which a week is not shown any more.

    One day after its last, so that its last evening can still be written down.
    """
    return first_day(program, number) + dt.timedelta(days=8)


def phone_week(program: SignedProgram, number: int, day: dt.date, words: Words) -> PhoneWeek:
    """Return one week, with what a day of it holds."""
    program = cut(program)
    week = next(one for one in program.weeks if one.week == number)
    page = week_page(week, program, words)
    held = [modality for modality in Modality if part_of(week, modality)]
    dates = (first_day(program, number) + dt.timedelta(days=n) for n in range(7))
    today = kinds_of_day(program, week, day) if _lies_in(program, number, day) else ()
    return PhoneWeek(
        page=page,
        today=tuple(todo for kind, todo in zip(held, page.todos, strict=True) if kind in today),
        days=tuple(_day(program, week, one, words) for one in dates),
    )


def kinds_of_day(program: SignedProgram, week: Week, day: dt.date) -> tuple[Modality, ...]:
    """Return the kinds that a day of a week may hold."""
    code = list(DAYS)[day.weekday()]
    return tuple(m for m in Modality if code in training_days(week, program, m))


def _lies_in(program: SignedProgram, number: int, day: dt.date) -> bool:
    return 0 <= (day - first_day(program, number)).days < 7


def _day(program: SignedProgram, week: Week, day: dt.date, words: Words) -> PhoneDay:
    kinds = kinds_of_day(program, week, day)
    return PhoneDay(
        on=day,
        name=line_start(full_date_words(day, words)),
        kinds=tuple(title(kind, [week], words) for kind in kinds),
    )
