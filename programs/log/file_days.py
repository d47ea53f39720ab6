"""Days of a log as a file tells them: what is new, known already, or cannot be taken."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from patients.facts.in_words import day_text
from programs.log.cells import column_words
from programs.log.day import Column
from programs.log.entries import Entry, read_day
from safety.findings import Modality

Entries = Mapping[Modality | None, Entry]
_OTHERWISE = "logged otherwise already"
_STRUCK = "struck out as entered in error. Type it in if it holds after all."


@dataclass(frozen=True, kw_only=True)
class FileDay:
    """A day as a file tells it. where: its line, or its place; texts by column."""

    where: str
    on: dt.date
    texts: Mapping[Column, str]


@dataclass(frozen=True, kw_only=True)
class Bad:
    """What cannot be taken, and why."""

    where: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Found:
    """Entries with where they stand in the file: to take and known; and what cannot be taken."""

    new: tuple[tuple[str, Entry], ...]
    known: tuple[tuple[str, Entry], ...]
    bad: tuple[Bad, ...]

    @property
    def days(self) -> int:
        """Return on how many days there is anything new."""
        return len({entry.on for _, entry in self.new})


@dataclass(frozen=True, kw_only=True)
class OnRecord:
    """What a file is held against.

    standing, struck   what each day tells, and what was struck out of it
    first, last        the first program's first day, and today
    """

    standing: Mapping[dt.date, Entries]
    struck: Mapping[dt.date, Sequence[Entries]]
    first: dt.date
    last: dt.date


def sort_out(
    days: Sequence[FileDay], bad: Sequence[Bad], record: OnRecord, plates: Sequence[str]
) -> Found:
    """Return what of the days of a file can be taken."""
    new: list[tuple[str, Entry]] = []
    known: list[tuple[str, Entry]] = []
    wrong = list(bad)
    seen: dict[dt.date, str] = {}
    for day in days:
        read = read_day(day.on, day.texts, plates)
        why = _why_not(day, seen, record)
        seen.setdefault(day.on, day.where)
        told = [f"{column_words(one.column)}: {one.text}" for one in read.wrong]
        wrong += [Bad(where=day.where, text=text) for text in ([why] if why else told)]
        if why or told:
            continue
        for entry in read.entries.values():
            stands = record.standing.get(day.on, {}).get(entry.kind)
            if stands == entry:
                known.append((day.where, entry))
            elif text := _against(entry, stands, record):
                wrong.append(Bad(where=day.where, text=f"{entry.title}: {text}"))
            else:
                new.append((day.where, entry))
    return Found(new=tuple(new), known=tuple(known), bad=tuple(wrong))


def _why_not(day: FileDay, seen: Mapping[dt.date, str], record: OnRecord) -> str:
    """Say why nothing of a day can be taken; empty where it can."""
    told = day_text(day.on)
    if day.on in seen:
        return f"{told} stands at {seen[day.on]} already."
    if day.on > record.last:
        return f"{told} lies after today."
    if day.on < record.first:
        return f"{told} lies before the first program, which starts on {day_text(record.first)}."
    return ""


def _against(entry: Entry, stands: Entry | None, record: OnRecord) -> str:
    if stands is not None:
        return f"{_OTHERWISE} ({stands.words}). Correct it on the log page if this one is right."
    struck = (held.get(entry.kind) for held in record.struck.get(entry.on, ()))
    return _STRUCK if entry in struck else ""
