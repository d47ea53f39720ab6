"""What is told of a session or of a day as a whole, and a day read from its cells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from patients.facts.in_words import day_text
from patients.facts.units import Unreadable
from programs.log.cells import in_words, read_cell
from programs.log.day import (
    BROKEN_OFF,
    BY_NAME,
    DONE,
    PAIN,
    PAIN_SETTLED,
    PAIN_WHERE,
    PAIN_WITH,
    Column,
    columns_of,
)
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A session of a kind, or what is told of a day as a whole.

    kind   None: the whole day
    told   by the keys of its columns; what is not written down is not in it
    """

    on: dt.date
    kind: Modality | None
    told: Mapping[str, Any]

    @property
    def title(self) -> str:
        """Return which it is: "Balance on 2 Mar 2026"."""
        return f"{str(self.kind or 'the day').capitalize()} on {day_text(self.on)}"

    @property
    def words(self) -> str:
        """Return all of it for reading."""
        return "; ".join(_said(key, value) for key, value in self.told.items())


def _said(key: str, value: Any) -> str:
    name, _, lift = key.partition(":")
    said = in_words(BY_NAME[name], value)
    return f"{lift.replace('_', ' ')} {said}" if lift else said


@dataclass(frozen=True, kw_only=True)
class Wrong:
    """What is wrong in a cell."""

    on: dt.date
    column: Column
    text: str


@dataclass(frozen=True, kw_only=True)
class DayRead:
    """A day read from its cells: by kind, the day itself under None, and what is wrong."""

    entries: Mapping[Modality | None, Entry]
    wrong: tuple[Wrong, ...]


def read_day(on: dt.date, texts: Mapping[Column, str], plates: Sequence[str] = ()) -> DayRead:
    """Return what the cells of a day tell."""
    told: dict[Modality | None, dict[str, Any]] = {}
    wrong: list[Wrong] = []
    for column, text in texts.items():
        try:
            value = read_cell(column.cell, text, plates)
        except Unreadable as error:
            wrong.append(Wrong(on=on, column=column, text=str(error)))
            continue
        if value is not None:
            told.setdefault(column.kind, {})[column.key] = value
    bad = {(one.column.kind, one.column.key) for one in wrong}
    entries = {kind: Entry(on=on, kind=kind, told=held) for kind, held in told.items()}
    more = (found for entry in entries.values() for found in _cannot_be(entry))
    wrong += [one for one in more if (one.column.kind, one.column.key) not in bad]
    return DayRead(entries=entries, wrong=tuple(wrong))


def _cannot_be(entry: Entry) -> Iterator[Wrong]:
    """Yield what is missing in an entry, or does not fit together."""
    told, kind = entry.told, entry.kind
    if kind is not None and DONE.name not in told:
        yield _wrong(entry, DONE.name, "Say how much was done: A, P or N.")
    if told.get(BROKEN_OFF.name) and told.get(DONE.name) == "all":
        yield _wrong(entry, BROKEN_OFF.name, "Broken off is not all: write P or N for done.")
    of_pain = (PAIN_SETTLED.name, PAIN_WHERE.name, PAIN_WITH.name)
    if kind is None and PAIN.name not in told and any(name in told for name in of_pain):
        yield _wrong(entry, PAIN.name, "Say how bad the pain was, 0 to 10.")


def _wrong(entry: Entry, name: str, text: str) -> Wrong:
    column = next(one for one in columns_of(entry.kind) if one.cell.name == name)
    return Wrong(on=entry.on, column=column, text=text)
