"""The rows of a kind as a table for reading, struck-out ones too, and two answers side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from patients.facts.declared import Facts, Person
from patients.facts.document import FORMAT, read
from patients.facts.in_words import Line, day_text, readings, show, summary
from patients.facts.question import Ask, Kind, asks
from patients.facts.sections import Section
from patients.measured.worry import Answered
from patients.models.patient import (
    KINDS,
    FunctionTestDay,
    Measured,
    Patient,
    ScanRow,
    SizeRow,
)
from patients.rows_to_facts import Contradiction, Entered

TITLES = {
    "size": "Heights and weights on record",
    "fracture": "Fractures on record",
    "scan": "Scans on record",
    "marker": "Bone markers on record",
    "tests": "Tests on record",
    "lift": "Lifts on record",
}


@dataclass(frozen=True, kw_only=True)
class Head:
    """Head of a column."""

    text: str
    unit: str = ""
    number: bool = False


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One row in words; `numbered` pairs each text with whether it is a number."""

    row: Measured
    numbered: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, kw_only=True)
class Table:
    """All rows of a kind, newest first."""

    kind: str
    section: str
    title: str
    heads: tuple[Head, ...]
    entries: tuple[Entry, ...]


def tables(patient: Patient, kinds: Sequence[str], only: int | None = None) -> list[Table]:
    """Return a table for each kind; only one row where its number is given."""
    return [_table(patient, kind, only) for kind in kinds]


def _table(patient: Patient, kind: str, only: int | None) -> Table:
    of = KINDS[kind]
    rows = of._default_manager.filter(patient=patient).select_related("entered_by", "withdrawn_by")
    chosen = rows if only is None else rows.filter(pk=only)
    columns = _columns(of)
    newest_first = sorted(chosen, key=lambda row: (str(row.day or ""), row.pk), reverse=True)
    return Table(
        kind=kind,
        section=of.SECTION,
        title=TITLES[kind],
        heads=_heads(columns) if of is not FunctionTestDay else _TEST_HEADS,
        entries=tuple(_entry(row, columns) for row in newest_first),
    )


_NO_BREAK = "\u00a0"
# A marker's decimals depend on its unit, so it is shown as it was entered.
_MARKER_VALUE = "value"
_TEST_HEADS = (Head(text="Tested on"), Head(text="Results"))


def _columns(of: type[Measured]) -> dict[str, Ask]:
    """Return the columns of a kind: the facts of its rows, and what is kept beside them."""
    if of is SizeRow:
        person = asks(Person)
        day = Ask(question="Measured on", kind=Kind.DATE)
        height = replace(person["height_cm"], question="Height")
        return {"date": day, "height_cm": height, "weight_kg": person["weight_kg"]}
    # The vertebrae stand beside the site.
    return {name: ask for name, ask in asks(of.FACT).items() if name != "vertebrae"}


def _heads(columns: Mapping[str, Ask]) -> tuple[Head, ...]:
    return tuple(
        Head(text=ask.question, unit=ask.unit, number=_is_number(ask)) for ask in columns.values()
    )


def _is_number(ask: Ask) -> bool:
    return ask.kind in (Kind.NUMBER, Kind.INTEGER)


def _entry(row: Measured, columns: Mapping[str, Ask]) -> Entry:
    if isinstance(row, FunctionTestDay):
        fact = row.fact()
        texts = (
            (day_text(row.date).replace(" ", _NO_BREAK), False),
            (", ".join(filter(None, (summary(fact, ("date",)), _worry(row)))), False),
        )
        return Entry(row=row, numbered=texts)
    return Entry(
        row=row,
        numbered=tuple(
            (_cell_of(row, name, ask) + _beside(row, name), _is_number(ask))
            for name, ask in columns.items()
        ),
    )


def _worry(row: FunctionTestDay) -> str:
    if not row.worry:
        return ""
    return f"worry about falling {Answered(row.date, tuple(row.worry)).words}"


def _cell_of(row: Measured, name: str, ask: Ask) -> str:
    if ask.kind is Kind.TOLD:
        return _cell(name, ask, getattr(row.fact(), name))
    return _cell(name, ask, getattr(row, name))


def _cell(name: str, ask: Ask, value: Any) -> str:
    """Return a value without its unit, which stands in the head; a dash where there is none."""
    if value is None or value == "":
        return "–"
    if name == _MARKER_VALUE:
        return f"{value.normalize():f}"
    if _is_number(ask):
        return str(show(_unitless(ask), float(value)))
    text = str(show(ask, value)).replace("_", " ")
    return text.replace(" ", _NO_BREAK) if ask.kind in (Kind.DATE, Kind.TOLD) else text


def _beside(row: Measured, name: str) -> str:
    """Return the side or vertebrae, to stand with the site of a scan."""
    if not isinstance(row, ScanRow) or name != "site":
        return ""
    return f", {kept}" if (kept := row.side or row.vertebrae) else ""


def _unitless(ask: Ask) -> Ask:
    return replace(ask, unit="")


def differences(
    known: Entered, section: Section, theirs: Mapping[str, Any], mine: Mapping[str, Any]
) -> list[tuple[str, str, str]]:
    """Return question, their answer and mine, where the two differ, in words."""
    left, right = _lines(known, section, theirs), _lines(known, section, mine)
    labels = dict.fromkeys([*left, *right])
    both = [(label, left.get(label, ""), right.get(label, "")) for label in labels]
    return [(label, a, b) for label, a, b in both if a != b]


def _lines(known: Entered, section: Section, part: Mapping[str, Any]) -> dict[str, str]:
    document = {
        "format": FORMAT,
        "as_of": known.as_of.isoformat(),
        **part,
        "person": {
            "born": known.patient.born_as_told,
            "sex": known.patient.sex,
            **part.get("person", {}),
        },
    }
    facts = read(document)
    if not isinstance(facts, Facts):
        raise Contradiction(facts)
    reading = next(r for r in readings(facts, {}) if r.section == section)
    return {line.label: _words(line) for line in reading.lines}


def _words(line: Line) -> str:
    if line.value is None:
        return "not recorded"
    return f"{line.value}, {line.note}" if line.note else line.value
