"""One cell of the log: its text read to a value, its value written as keys or in words."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from patients.facts.units import (
    NotANumber,
    Unreadable,
    clean_text,
    parse_number,
    parse_whole,
    round_half_away,
)
from patients.names import fold
from programs.log.day import (
    HIGHEST,
    KIND_KEYS,
    LONGEST_WORDS,
    OTHER_PLATE,
    OTHER_PLATE_KEY,
    TEN_KEY,
    Cell,
    Column,
    Read,
)
from safety.findings import Modality
from safety.modalities import MODALITIES

_SAID = {True: "yes", False: "no"}


def plate_keys(plates: Sequence[str]) -> dict[str, str]:
    """Return the key of each of her plates, from 1, and that of any other."""
    own = {str(n): name for n, name in enumerate(plates[:9], 1)}
    return own | {OTHER_PLATE_KEY: OTHER_PLATE}


def read_cell(cell: Cell, text: str, plates: Sequence[str] = ()) -> Any:
    """Return the value in a cell, or None where it is empty; raises Unreadable."""
    clean = clean_text(text)
    if not clean:
        return None
    match cell.read:
        case Read.KEY:
            return _one_of(_names(cell), clean, cell.keys)
        case Read.TEN:
            return _ten(clean)
        case Read.NUMBER:
            return _number(cell, clean)
        case Read.KINDS:
            return _kinds(clean)
        case Read.PLATE:
            keys = plate_keys(plates)
            return _one_of(keys | {name: name for name in keys.values()}, clean, keys)
        case _:
            return _words(clean)


def _names(cell: Cell) -> dict[str, Any]:
    """Return all by which a value may be named: its key, its code, yes and no."""
    coded = {str(_SAID.get(value, value)): value for value in cell.keys.values()}
    return {**coded, **cell.also, **cell.keys}


def _one_of(names: Mapping[str, Any], text: str, keys: Mapping[str, Any]) -> Any:
    found = {fold(name): value for name, value in names.items()}
    if fold(text) not in found:
        *most, last = keys
        raise Unreadable(f"Write {', '.join(most)} or {last}.")
    return found[fold(text)]


def _ten(text: str) -> int:
    if fold(text) == fold(TEN_KEY):
        return HIGHEST
    try:
        value = parse_whole(text)
    except NotANumber:
        value = -1
    if not 0 <= value <= HIGHEST:
        raise NotANumber(f"Write 0 to 9, or {TEN_KEY} for {HIGHEST}.")
    return value


def _number(cell: Cell, text: str) -> float:
    value = parse_number(text)
    if not cell.low <= value <= cell.high:
        raise NotANumber(f"Check this: {cell.low:g} to {cell.high:g} {cell.unit} is expected.")
    if round_half_away(value, cell.decimals) != value:
        raise NotANumber(f"Write at most {cell.decimals} decimals.")
    return value


def _kinds(text: str) -> tuple[Modality, ...]:
    """Return the kinds named by their letters or their names, in their own order."""
    named = {fold(str(kind)): kind for kind in Modality}
    named |= {fold(MODALITIES[kind].title): kind for kind in Modality}
    letters = {fold(key): kind for kind, key in KIND_KEYS.items()}
    found: set[Modality] = set()
    for part in re.split(r"[,;+]", text):
        word = fold(part)
        if word in named:
            found.add(named[word])
            continue
        marks = word.replace(" ", "")
        if not marks or any(mark not in letters for mark in marks):
            raise Unreadable(f"Write the letters of the kinds: {kinds_told()}.")
        found |= {letters[mark] for mark in marks}
    return tuple(kind for kind in Modality if kind in found)


def kinds_told() -> str:
    """Return what the letters of the kinds mean."""
    return ", ".join(f"{key} {MODALITIES[kind].name.lower()}" for kind, key in KIND_KEYS.items())


def _words(text: str) -> str:
    if len(text) > LONGEST_WORDS:
        raise Unreadable(f"Shorten this to {LONGEST_WORDS} characters.")
    return text


def shown(cell: Cell, value: Any, plates: Sequence[str] = ()) -> str:
    """Return what stands in a cell, as it is typed."""
    if value is None or value == "":
        return ""
    match cell.read:
        case Read.KEY:
            return _key_of(cell.keys, value)
        case Read.TEN:
            return TEN_KEY if value == HIGHEST else str(value)
        case Read.NUMBER:
            return f"{value:.10g}"
        case Read.KINDS:
            return "".join(KIND_KEYS[kind] for kind in value)
        case Read.PLATE:
            return _key_of(plate_keys(plates), value) or str(value)
        case _:
            return str(value)


def _key_of(keys: Mapping[str, Any], value: Any) -> str:
    return next((key for key, held in keys.items() if held == value), "")


def in_words(cell: Cell, value: Any) -> str:
    """Return a value for reading: "effort 4", "fall: yes", "leg press 46 kg"."""
    head = cell.head.lower()
    match cell.read:
        case Read.KEY:
            return (
                str(value)
                if value in cell.keys.values() and not isinstance(value, bool)
                else (f"{head}: {_SAID[value]}")
            )
        case Read.TEN:
            return f"{head} {value}"
        case Read.NUMBER:
            return f"{value:.10g} {cell.unit}"
        case Read.KINDS:
            return f"{head}: {', '.join(value)}"
        case _:
            return f"{head}: {value}"


def column_words(column: Column) -> str:
    """Return what a column asks, in a few words: "plate, effort"."""
    parts = (str(column.kind or ""), column.lift.replace("_", " "), column.cell.head.lower())
    return ", ".join(part for part in parts if part)
