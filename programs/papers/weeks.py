"""The words for weeks, days and dates, and the weeks in which one thing stays the same."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Generic, TypeVar

from patients.facts.codes import DAYS
from programs.draft.days import held_on, inside
from programs.papers.paper_parts import Words, gettext_noop
from programs.signed.program import SignedProgram
from programs.week.week import Week, part_of
from safety.findings import LOADED, Modality

MONTHS = (
    gettext_noop("January"),
    gettext_noop("February"),
    gettext_noop("March"),
    gettext_noop("April"),
    gettext_noop("May"),
    gettext_noop("June"),
    gettext_noop("July"),
    gettext_noop("August"),
    gettext_noop("September"),
    gettext_noop("October"),
    gettext_noop("November"),
    gettext_noop("December"),
)

T = TypeVar("T")


@dataclass(frozen=True, kw_only=True)
class Phase(Generic[T]):
    """Weeks that follow each other and hold the same."""

    first: int
    last: int
    value: T


def phases(weeks: Sequence[Week], of: Callable[[Week], T | None]) -> tuple[Phase[T], ...]:
    """Return the phases of what `of` finds in a week; weeks where it finds None are left out."""
    found = []
    for value, run in groupby(weeks, key=of):
        held = list(run)
        if value is not None:
            found.append(Phase(first=held[0].week, last=held[-1].week, value=value))
    return tuple(found)


def merged(found: Iterable[Phase[T]]) -> tuple[tuple[tuple[Phase[T], ...], T], ...]:
    """Return the phases gathered by value, in the order in which the values first come."""
    by_value: dict[T, list[Phase[T]]] = {}
    for phase in found:
        by_value.setdefault(phase.value, []).append(phase)
    return tuple((tuple(runs), value) for value, runs in by_value.items())


def weeks_words(runs: Sequence[Phase[T]], words: Words) -> str:
    """Return "Week 1", "Weeks 3 to 6" or "Weeks 1 to 2, 9 to 10"."""
    single = len(runs) == 1 and runs[0].first == runs[0].last
    spans = ", ".join(span_words(run, words) for run in runs)
    label = words.gettext("Week {weeks}") if single else words.gettext("Weeks {weeks}")
    return label.format(weeks=spans)


def span_words(run: Phase[T], words: Words) -> str:
    """Return "1" or "3 to 6"."""
    if run.first == run.last:
        return str(run.first)
    return words.gettext("{first} to {last}").format(first=run.first, last=run.last)


def date_words(day: dt.date, words: Words) -> str:
    """Return "2 March 2026"."""
    return words.gettext("{day} {month} {year}").format(
        day=_day_words(day, words), month=words.gettext(MONTHS[day.month - 1]), year=day.year
    )


def _day_words(day: dt.date, words: Words) -> str:
    """Return "2"; French has its own word for the first."""
    return words.pgettext("first day of a month", "1") if day.day == 1 else str(day.day)


def told_date_words(told: str, words: Words) -> str:
    """Return a date that was told as 1941, 1941-03 or 1941-03-07: "1941", "March 1941"..."""
    year, *rest = (int(part) for part in told.split("-"))
    if len(rest) == 2:
        return date_words(dt.date(year, *rest), words)
    if not rest:
        return str(year)
    month = words.gettext(MONTHS[rest[0] - 1])
    return words.gettext("{month} {year}").format(month=month, year=year)


def brief_date_words(day: dt.date, words: Words) -> str:
    """Return "2 Mar 2026", for the foot of a page."""
    return f"{_day_words(day, words)} {short_month_words(day, words)} {day.year}"


def full_date_words(day: dt.date, words: Words) -> str:
    """Return "Monday 2 March 2026"."""
    name = words.gettext(list(DAYS.values())[day.weekday()])
    return f"{name} {date_words(day, words)}"


def short_day_words(day: dt.date, words: Words) -> str:
    """Return "Mon 2"."""
    return f"{short_days(words)[day.weekday()]} {day.day}"


def short_month_words(day: dt.date, words: Words) -> str:
    """Return "Mar"."""
    return short_months(words)[day.month - 1]


def short_days(words: Words) -> tuple[str, ...]:
    """Return the short names of the days from Monday: cut to length, two could be the same."""
    return (
        words.pgettext("short", "Mon"),
        words.pgettext("short", "Tue"),
        words.pgettext("short", "Wed"),
        words.pgettext("short", "Thu"),
        words.pgettext("short", "Fri"),
        words.pgettext("short", "Sat"),
        words.pgettext("short", "Sun"),
    )


def short_months(words: Words) -> tuple[str, ...]:
    """Return the short names of the months from January."""
    return (
        words.pgettext("short", "Jan"),
        words.pgettext("short", "Feb"),
        words.pgettext("short", "Mar"),
        words.pgettext("short", "Apr"),
        words.pgettext("short", "May"),
        words.pgettext("short", "Jun"),
        words.pgettext("short", "Jul"),
        words.pgettext("short", "Aug"),
        words.pgettext("short", "Sep"),
        words.pgettext("short", "Oct"),
        words.pgettext("short", "Nov"),
        words.pgettext("short", "Dec"),
    )


def training_days(week: Week, program: SignedProgram, modality: Modality) -> tuple[str, ...]:
    """Return the days, by code, on which a week holds this modality.

    None of them lies after the last day of the clearance that carries it (rulebook row 22b).
    """
    part = part_of(week, modality)
    if not part:
        return ()
    standing = program.standings.get(modality)
    if standing is None or standing.until is None:
        return held_on(program.timetable, modality, part.sessions)
    named = held_on(program.timetable, modality, len(DAYS))
    left = inside(named, week.week, program.starts_on, standing.until)
    return left[: part.sessions] if modality in LOADED else left


def days_of(week: Week, program: SignedProgram) -> tuple[str, ...]:
    """Return the days, by code, on which a week holds anything."""
    held = {day for modality in Modality for day in training_days(week, program, modality)}
    return tuple(day for day in DAYS if day in held)


def days_words(days: Sequence[str], sessions: int, words: Words) -> str:
    """Return on which days a week's sessions fall, named short; a choice where there are more."""
    short = dict(zip(DAYS, short_days(words), strict=True))
    named = ", ".join(short[day] for day in days)
    if len(days) == sessions:
        return named
    often = words.ngettext("{count} time this week", "{count} times this week", sessions)
    if len(days) < sessions:
        return often.format(count=sessions)
    chosen = words.ngettext("{count} of these days: {days}", "{count} of these days: {days}", 2)
    return chosen.format(count=sessions, days=named)


def dates_of_week(starts_on: dt.date, week: int, days: Iterable[str]) -> tuple[dt.date, ...]:
    """Return the dates of these days in week `week`, which may begin on any weekday."""
    begins = starts_on + dt.timedelta(weeks=week - 1)
    wanted = set(days)
    dates = (begins + dt.timedelta(days=n) for n in range(7))
    return tuple(date for date in dates if list(DAYS)[date.weekday()] in wanted)
