"""Plates typed as lines: name;motion;from;to;step;settings;reads;rail;limit;price."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from patients.facts.declared_plate import Plate
from patients.facts.document import read_part
from patients.facts.sections import put
from patients.facts.units import NotANumber, parse_number

COLUMNS = ("name", "motion", "from", "to", "step", "settings", "reads", "rail", "limit", "price")
MOST_LINES = 200

_MOTIONS = {
    "vertical": "vertical",
    "side-alternating": "side_alternating",
    "side_alternating": "side_alternating",
    "side alternating": "side_alternating",
    "low-magnitude": "low_magnitude",
    "low_magnitude": "low_magnitude",
    "low magnitude": "low_magnitude",
}
_READS = {
    "peak to peak": "peak_to_peak",
    "peak_to_peak": "peak_to_peak",
    "zero to peak": "zero_to_peak",
    "zero_to_peak": "zero_to_peak",
}
_G_READS = {"peak": "peak", "peak to peak": "peak_to_peak", "peak_to_peak": "peak_to_peak"}
_ANSWERS = {"yes": "yes", "no": "no"}


@dataclass(frozen=True, kw_only=True)
class BadLine:
    """A line that is no plate, counted from 1, and why."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Typed:
    """What lines came to: plates by line number, and the lines that are none."""

    plates: Mapping[int, Plate]
    bad: tuple[BadLine, ...]


class _Unusable(ValueError):
    """A line that cannot be read; says why."""


def typed_plates(text: str, taken: Collection[str] = ()) -> Typed:
    """Read the lines; empty ones and a heading are passed over.

    taken: names of plates there are already, which no line may use again.
    """
    plates: dict[int, Plate] = {}
    bad = []
    for number, line in _lines(text):
        names = {*taken, *(plate.name for plate in plates.values())}
        try:
            plates[number] = _plate(line, names)
        except _Unusable as why:
            bad.append(BadLine(line=number, text=line, why=str(why)))
    return Typed(plates=plates, bad=tuple(bad))


def _lines(text: str) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(text.splitlines(), start=1):
        plain = line.strip()
        heading = tuple(word.strip().casefold() for word in plain.split(";")) == COLUMNS
        if plain and not heading:
            yield number, plain


def _plate(line: str, names: Collection[str]) -> Plate:
    words = [" ".join(word.split()) for word in line.split(";")]
    if len(words) != len(COLUMNS):
        raise _Unusable(f"{len(COLUMNS)} entries are expected, there are {len(words)}.")
    typed = dict(zip(COLUMNS, words, strict=True))
    found = read_part(Plate, _document(typed), "", dt.date.max, dt.date.min)
    if isinstance(found, tuple):
        raise _Unusable("; ".join(f"{_column(p.at)}: {p.text}" for p in found))
    assert isinstance(found, Plate)
    if found.name in names:
        raise _Unusable(f"Another plate is called {found.name}.")
    return found


def _document(typed: Mapping[str, str]) -> dict[str, Any]:
    motion = _word("motion", typed["motion"], _MOTIONS)
    document: dict[str, Any] = {"name": typed["name"] or None, "motion": motion}
    for path, column in (
        ("frequency_hz.from", "from"),
        ("frequency_hz.to", "to"),
        ("frequency_hz.step", "step"),
        ("load_limit_kg", "limit"),
        ("price", "price"),
    ):
        put(document, path, _number(column, typed[column]))
    put(document, "rail", _word("rail", typed["rail"], _ANSWERS))
    settings = [_number("settings", word) for word in typed["settings"].split()]
    moved = _gentle if motion == "low_magnitude" else _moving
    moved(document, settings, typed["reads"])
    return document


def _moving(document: dict[str, Any], settings: list[float | None], reads: str) -> None:
    put(document, "displacement_mm.settings", settings or None)
    put(document, "displacement_mm.reads_as", _word("reads", reads, _READS))


def _gentle(document: dict[str, Any], settings: list[float | None], reads: str) -> None:
    """On a low-magnitude plate the settings are its one acceleration in g."""
    if len(settings) > 1:
        raise _Unusable("settings: a low-magnitude plate has one acceleration, in g.")
    put(document, "fixed_g", settings[0] if settings else None)
    put(document, "g_reads_as", _word("reads", reads, _G_READS))


def _number(column: str, word: str) -> float | None:
    try:
        return parse_number(word) if word else None
    except NotANumber as why:
        raise _Unusable(f"{column}: {why}") from why


def _word(column: str, word: str, known: Mapping[str, str]) -> str | None:
    """Return the code of a word; nothing, or unknown, is not recorded."""
    plain = word.casefold()
    if plain in ("", "unknown"):
        return None
    if plain not in known:
        said = ", ".join(dict.fromkeys(key.replace("_", " ") for key in known))
        raise _Unusable(f"{column}: one of these is expected: {said}.")
    return known[plain]


def _column(at: str) -> str:
    """Return the column in which a path of the document was typed."""
    return _COLUMN_OF.get(at.partition("[")[0], at.rpartition(".")[2])


_COLUMN_OF = {
    "displacement_mm.settings": "settings",
    "displacement_mm.reads_as": "reads",
    "fixed_g": "settings",
    "load_limit_kg": "limit",
}
