"""What a clearance carries to its last day: the weeks as far as it holds, and its line on paper.

Rulebook row 22b: week 1 is the program's first day and the six after it. The draft was cut from
the day of the assessment; a program that begins later is cut again here.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from programs.papers.paper_parts import Words
from programs.papers.weeks import date_words, training_days
from programs.signed.program import SignedProgram
from programs.week.week import BalanceWeek, Part, PostureWeek, Week, part_of
from safety.findings import Modality
from safety.modalities import MODALITIES


def cut(program: SignedProgram) -> SignedProgram:
    """Return the program with nothing in its weeks after the last day of a clearance."""
    ending = [m for m, standing in program.standings.items() if standing.until]
    if not ending:
        return program
    return replace(program, weeks=tuple(_cut(week, ending, program) for week in program.weeks))


def _cut(week: Week, ending: Sequence[Modality], program: SignedProgram) -> Week:
    shorter: Mapping[str, Any] = {
        str(modality): _shorter(part, len(training_days(week, program, modality)))
        for modality in ending
        if (part := part_of(week, modality))
    }
    return replace(week, **shorter)


def _shorter(part: Part, days: int) -> Part | None:
    if days == 0:
        return None
    sessions = min(part.sessions, days)
    if isinstance(part, BalanceWeek | PostureWeek):
        return replace(part, sessions=sessions, minutes=part.minutes * sessions // part.sessions)
    return replace(part, sessions=sessions)


def until_words(
    modalities: Iterable[Modality], weeks: Sequence[Week], program: SignedProgram, words: Words
) -> tuple[str, ...]:
    """Return "Vibration plate: only until 6 April 2026, then stop.", a line for each last day.

    weeks   of the paper; nothing is said of what none of them holds
    """
    ending: dict[dt.date, list[str]] = {}
    for modality in modalities:
        until = program.standings[modality].until
        if until and any(part_of(week, modality) for week in weeks):
            ending.setdefault(until, []).append(words.gettext(MODALITIES[modality].title))
    line = words.gettext("{name}: only until {date}, then stop.")
    return tuple(
        line.format(name=", ".join(names), date=date_words(day, words))
        for day, names in sorted(ending.items())
    )
