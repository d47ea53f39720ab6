"""The words for weeks, days and dates, and the weeks in which one thing stays the same."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from programs.handout.said import Words, gettext_noop
from programs.timetable import held_on
from safety.findings import Modality

Week = Mapping[str, Any]

DAYS: Mapping[str, str] = {
    "mon": gettext_noop("Monday"),
    "tue": gettext_noop("Tuesday"),
    "wed": gettext_noop("Wednesday"),
    "thu": gettext_noop("Thursday"),
    "fri": gettext_noop("Friday"),
    "sat": gettext_noop("Saturday"),
    "sun": gettext_noop("Sunday"),
}
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
#: Letters of a short name of a day or month.
SHORT = 3


@dataclass(frozen=True, kw_only=True)
class Phase:
    """Weeks that follow each other and hold the same."""

    first: int
    last: int
    value: Any


def phases(weeks: Sequence[Week], of: Callable[[Week], Any]) -> tuple[Phase, ...]:
    """Return the phases of what `of` finds in a week; weeks where it finds None are left out."""
    found = []
    for value, run in groupby(weeks, key=of):
        held = list(run)
        if value is not None:
            found.append(Phase(first=held[0]["week"], last=held[-1]["week"], value=value))
    return tuple(found)


def merged(found: Iterable[Phase]) -> tuple[tuple[tuple[Phase, ...], Any], ...]:
    """Return the phases gathered by value, in the order in which the values first come."""
    by_value: dict[Any, list[Phase]] = {}
    for phase in found:
        by_value.setdefault(phase.value, []).append(phase)
    return tuple((tuple(runs), value) for value, runs in by_value.items())


def weeks_words(runs: Sequence[Phase], words: Words) -> str:
    """Return "Week 1", "Weeks 3 to 6" or "Weeks 1 to 2, 9 to 10"."""
    single = len(runs) == 1 and runs[0].first == runs[0].last
    spans = ", ".join(span_words(run, words) for run in runs)
    label = words.gettext("Week {weeks}") if single else words.gettext("Weeks {weeks}")
    return label.format(weeks=spans)


def span_words(run: Phase, words: Words) -> str:
    """Return "1" or "3 to 6"."""
    if run.first == run.last:
        return str(run.first)
    return words.gettext("{first} to {last}").format(first=run.first, last=run.last)


def date_words(day: dt.date, words: Words) -> str:
    """Return "2 March 2026"."""
    return words.gettext("{day} {month} {year}").format(
        day=day.day, month=words.gettext(MONTHS[day.month - 1]), year=day.year
    )


def brief_date_words(day: dt.date, words: Words) -> str:
    """Return "2 Mar 2026", for the foot of a page."""
    return f"{day.day} {short_month_words(day, words)} {day.year}"


def full_date_words(day: dt.date, words: Words) -> str:
    """Return "Monday 2 March 2026"."""
    name = words.gettext(list(DAYS.values())[day.weekday()])
    return f"{name} {date_words(day, words)}"


def short_day_words(day: dt.date, words: Words) -> str:
    """Return "Mon 2"."""
    return f"{words.gettext(list(DAYS.values())[day.weekday()])[:SHORT]} {day.day}"


def short_month_words(day: dt.date, words: Words) -> str:
    """Return "Mar"."""
    return words.gettext(MONTHS[day.month - 1])[:SHORT]


Timetable = Mapping[str, Sequence[str]]


def training_days(week: Week, timetable: Timetable, modality: Modality) -> tuple[str, ...]:
    """Return the days, by code, on which a week holds this modality."""
    part = week[modality]
    return held_on(timetable, modality, part["sessions"]) if part else ()


def days_of(week: Week, timetable: Timetable) -> tuple[str, ...]:
    """Return the days, by code, on which a week holds anything."""
    held = {day for modality in Modality for day in training_days(week, timetable, modality)}
    return tuple(day for day in DAYS if day in held)


def days_words(days: Sequence[str], sessions: int, words: Words) -> str:
    """Return on which days a week's sessions fall, named short; a choice where there are more."""
    named = ", ".join(words.gettext(DAYS[day])[:SHORT] for day in days)
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
