"""From rows of text to parts of facts documents, each with whose it is."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from patients.facts import codes
from patients.facts.question import Kind
from patients.facts.units import Unreadable, clean_text, parse_pressure, parse_whole
from patients.files.columns import WHO, Column, Heads
from patients.files.dates import read_date
from patients.files.decimal_sign import read_number
from patients.files.formula_guard import unguarded
from patients.files.reading import Grid, Record
from patients.names import fold

#: Long numbers as a spreadsheet leaves them, with digits lost.
_POWER_OF_TEN = re.compile(r"[0-9]+([.,][0-9]+)?[eE]\+?[0-9]+")
_LONGEST_TEXT = MappingProxyType({"scanner": 200, "vertebrae": 20})
_SAME_SITE = MappingProxyType(
    {
        "spine": "lumbar_spine",
        "l spine": "lumbar_spine",
        "neck": "femoral_neck",
        "femur neck": "femoral_neck",
        "one third radius": "distal_third_radius",
        "33 radius": "distal_third_radius",
        "distal third radius": "distal_third_radius",
    }
)
_SAME_TEST = MappingProxyType(
    {
        "tug": "up_and_go_s",
        "up and go": "up_and_go_s",
        "five chair stands": "five_stands_s",
        "one leg": "one_leg_s",
        "walk of 4 m": "walk_4m_s",
    }
)
_SAME_ANSWER = MappingProxyType(
    {"y": "yes", "true": "yes", "1": "yes", "n": "no", "false": "no", "0": "no"}
)


@dataclass(frozen=True)
class Choices:
    """What a person said about a file; None where it was not asked.

    encoding  a key of reading.ENCODINGS
    order     a key of dates.ORDERS
    decimal   a key of numbers.MARKS
    """

    encoding: str | None = None
    order: str | None = None
    decimal: str | None = None


@dataclass(frozen=True)
class Who:
    """Whose row it is, as written; "" where the file does not say."""

    patient_id: str = ""
    record_number: str = ""
    born: str = ""


@dataclass(frozen=True)
class Entry:
    """One row that could be read: its part of a facts document, and what is kept beside."""

    line: int
    who: Who
    part: Mapping[str, Any]
    beside: Mapping[str, str]


@dataclass(frozen=True)
class Bad:
    """One row that cannot be taken, and why."""

    line: int
    reasons: tuple[str, ...]


@dataclass
class _Row:
    """One row being read, and what was wrong so far."""

    cells: Mapping[str, str]
    choices: Choices
    reasons: list[str] = field(default_factory=list)

    def value(self, column: Column) -> Any:
        """Return the value of a cell, or None where it is empty or wrong."""
        text = clean_text(self.cells.get(column.code, ""))
        if not text:
            return None
        try:
            return _read(column, text, self.choices)
        except Unreadable as error:
            self.reasons.append(f"{column.head}: {error}")
            return None


def cells_of(grid: Grid, heads: Heads, *kinds: Kind) -> list[str]:
    """Return all cells of the columns of these kinds, to see how a file is written."""
    wanted = [c.code for c in (*WHO, *heads.layout.columns) if c.ask.kind in kinds]
    places = [heads.places[code] for code in wanted if code in heads.places]
    return [r.cells[p] for r in grid.records for p in places if p < len(r.cells)]


def read_rows(grid: Grid, heads: Heads, choices: Choices) -> tuple[list[Entry], list[Bad]]:
    """Return the rows that could be read, and those that could not, in the file's order."""
    read = [_entry(record, len(grid.head), heads, choices) for record in grid.records]
    return [r for r in read if isinstance(r, Entry)], [r for r in read if isinstance(r, Bad)]


def _entry(record: Record, width: int, heads: Heads, choices: Choices) -> Entry | Bad:
    if len(record.cells) != width:
        told = f"{len(record.cells)} cells, where the heads have {width}"
        return Bad(record.line, (f"{told}. Is a delimiter missing, or one too many?",))
    cells = {code: unguarded(record.cells[place]) for code, place in heads.places.items()}
    row = _Row(cells, choices)
    who = Who(**{c.code: row.value(c) or "" for c in WHO})
    values = [(c, v) for c in heads.layout.columns if (v := row.value(c)) is not None]
    row.reasons += _nobody(who) if not row.reasons else []
    if row.reasons:
        return Bad(record.line, tuple(row.reasons))
    beside = dict.fromkeys(heads.layout.beside, "")
    beside |= {c.code: v for c, v in values if c.code in beside}
    part = {c.ask.key: v for c, v in values if c.code not in beside}
    return Entry(record.line, who, part, MappingProxyType(beside))


def _nobody(who: Who) -> list[str]:
    said = who.patient_id or who.record_number
    return [] if said else ["Not said whose row it is."]


def _read(column: Column, text: str, choices: Choices) -> Any:
    if column.code == "side":
        return _one_of(text, {"left": "left", "right": "right", "l": "left", "r": "right"})
    if column.code in ("patient_id", "record_number") and _POWER_OF_TEN.fullmatch(text):
        raise Unreadable(
            f"“{text}” was turned into a power of ten by a spreadsheet, and digits are lost. "
            "Give the column the format “text” there, and type the number again."
        )
    ask = column.ask
    if ask.kind is Kind.DATE:
        return read_date(text, choices.order)
    if ask.kind is Kind.NUMBER:
        return read_number(text, choices.decimal, ask.decimals)
    return _READERS[ask.kind](column, text)


def _text(column: Column, text: str) -> str:
    longest = _LONGEST_TEXT.get(column.code, 40)
    if len(text) > longest:
        raise Unreadable(f"Longer than {longest} characters.")
    return text


def _choice(column: Column, text: str) -> str:
    choices = column.ask.choices or {}
    # Units differ by letters that folding would take away.
    plain = _unit if choices == codes.MARKER_UNITS else fold
    named = {plain(name): code for code, label in choices.items() for name in (code, label)}
    other = _SAME_SITE if choices == codes.SCAN_SITES else {}
    return _one_of(text, {**named, **other}, plain)


def _unit(text: str) -> str:
    return text.casefold().replace("µ", "u").replace("μ", "u").replace(" ", "")


def _one_of(text: str, named: Mapping[str, str], plain: Callable[[str], str] = fold) -> str:
    found = named.get(plain(text))
    if found is None:
        known = ", ".join(dict.fromkeys(named.values())).replace("_", " ")
        raise Unreadable(f"“{text[:20]}” is not known here. Write one of: {known}.")
    return found


def _yes_no(column: Column, text: str) -> str:
    answers = {"yes": "yes", "no": "no", "unknown": "unknown", **_SAME_ANSWER}
    return _one_of(text, answers)


def _several(column: Column, text: str) -> list[str]:
    choices = column.ask.choices or {}
    named = {fold(name): code for code, label in choices.items() for name in (code, label)}
    other = {name: code for name, code in _SAME_TEST.items() if code in choices}
    return [_one_of(part, {**named, **other}) for part in _parts(text)]


def _parts(text: str) -> Iterable[str]:
    return (part for part in re.split(r"[;,]", text) if part.strip())


_READERS: Mapping[Kind, Callable[[Column, str], Any]] = {
    Kind.TEXT: _text,
    Kind.CHOICE: _choice,
    Kind.YES_NO: _yes_no,
    Kind.CODES: _several,
    Kind.INTEGER: lambda column, text: parse_whole(text),
    Kind.PRESSURE: lambda column, text: list(parse_pressure(text)),
}
