"""The paper of everything kept of a person: what is known in words, then table by table."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from patients.facts.declared import Facts, Tests
from patients.facts.in_words import Reading, day_text, readings
from patients.facts.question import asks
from programs.export.document import Document
from programs.export.table import Shown
from programs.export.tables import TABLES
from programs.signed.program import SignedProgram
from programs.signed.snapshot import Unreadable, program_in
from programs.week.one_line import short_dose
from programs.week.week import part_of
from safety.findings import Modality
from safety.modalities import MODALITIES

#: Rows of one table that are printed: the newest. All are in the file beside the paper.
MOST_ROWS = 400
#: A longer table is printed as lines: laying out cells takes the press six times as long.
MOST_IN_CELLS = 30
NOT_RECORDED = "–"
#: Letters of a word that no column is too narrow for.
LONGEST_WORD = 20

_NO_BREAK = "\u00a0"
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}[0-9:.]*Z")
_CODE = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)+")
_DIGEST = re.compile(r"[0-9a-f]{64}")
_RECORD: tuple[Shown, ...] = (
    ("seq", "Line"),
    ("at", "When"),
    ("actor_name", "Who"),
    ("action", "What"),
    ("object_type", "Of"),
    ("object_id", "Id"),
    ("reason", "Reason"),
)


@dataclass(frozen=True, kw_only=True)
class Known:
    """What is known of her; facts is None where what was entered cannot stand together."""

    facts: Facts | None
    answered: Mapping[str, str]
    problems: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One text of a table; `long` where a word of it may have to be broken."""

    text: str
    long: bool


@dataclass(frozen=True, kw_only=True)
class Part:
    """One table as it is printed, in cells or in lines.

    left   how many older rows are not printed
    """

    title: str
    words: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    lines: tuple[str, ...]
    left: int


@dataclass(frozen=True, kw_only=True)
class Program:
    """One signed program: each kind in its first and last week; `wrong` where it is not read."""

    title: str
    wrong: str
    doses: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, kw_only=True)
class WholeRecord:
    """What the paper says.

    under      the ids of the records under hers
    empty      the tables that hold nothing, by their titles
    not_here   what is kept and not in the export, and why
    """

    name: str
    born: str
    patient_id: int
    record_number: str
    under: tuple[int, ...]
    as_of: str
    problems: tuple[str, ...]
    readings: tuple[Reading, ...]
    programs: tuple[Program, ...]
    parts: tuple[Part, ...]
    empty: tuple[str, ...]
    record: Part
    not_here: tuple[str, ...]


def whole_record(held: Document, known: Known) -> WholeRecord:
    """Return what the paper says of a document in the format person/1."""
    tables = held["tables"]
    who = next(row for row in tables["people"] if row["id"] == held["patient_id"])
    changed = tables | {
        "answers": _changes_of_answers(tables["answers"]),
        "function_tests": [_with_results(row) for row in tables["function_tests"]],
    }
    users = {int(number): user["name"] for number, user in held["users"].items()}
    facts = known.facts
    return WholeRecord(
        name=f"{who['given_name']} {who['family_name']}",
        born=_born(who),
        patient_id=who["id"],
        record_number=who["record_number"],
        under=tuple(held["records"][1:]),
        as_of="" if facts is None else day_text(facts.as_of),
        problems=known.problems,
        readings=tuple(readings(facts, known.answered)) if facts else (),
        programs=tuple(_program(row, held) for row in tables["signed_programs"]),
        parts=tuple(
            _part(table.title, table.words, table.shown, changed[table.key], users)
            for table in TABLES
            if tables[table.key]
        ),
        empty=tuple(table.title for table in TABLES if not tables[table.key]),
        record=_part(
            "The record of who did what",
            "each line that tells of any of the rows above",
            _RECORD,
            [_line(line) for line in held["record"]],
            users,
        ),
        not_here=tuple(held["not_here"].values()),
    )


def _born(who: Mapping[str, Any]) -> str:
    day = dt.date.fromisoformat(who["born"])
    if who.get("born_estimated"):
        return f"about {day.year} (estimated)"
    return {"year": f"{day.year}", "month": f"{day:%b %Y}"}.get(who["born_is"], day_text(day))


def _part(
    title: str,
    words: str,
    shown: Sequence[Shown],
    rows: Sequence[Mapping[str, Any]],
    users: Mapping[int, str],
) -> Part:
    """Return a table without the columns that hold nothing in any of its rows."""
    printed = rows[-MOST_ROWS:]
    told = [
        (head, [in_words(column, row[column], users) for row in printed]) for column, head in shown
    ]
    full = [(head, texts) for head, texts in told if any(text != NOT_RECORDED for text in texts)]
    heads = tuple(head for head, _ in full)
    texts = [*zip(*(texts for _, texts in full), strict=True)]
    in_lines = len(printed) > MOST_IN_CELLS
    return Part(
        title=title,
        words=words,
        heads=heads,
        rows=() if in_lines else tuple(tuple(map(_cell, row)) for row in texts),
        lines=tuple(_in_a_line(heads, row) for row in texts) if in_lines else (),
        left=len(rows) - len(printed),
    )


def _in_a_line(heads: Sequence[str], row: Sequence[str]) -> str:
    """Return what a row holds, each after its head."""
    told = zip(heads, row, strict=True)
    return "; ".join(f"{head}: {text}" for head, text in told if text != NOT_RECORDED)


def _cell(text: str) -> Cell:
    return Cell(text=text, long=max(map(len, text.split())) > LONGEST_WORD)


def in_words(column: str, value: Any, users: Mapping[int, str]) -> str:
    """Return a value of a column for reading."""
    if value in (None, "", [], {}):
        return NOT_RECORDED
    match value:
        case bool():
            return "yes" if value else "no"
        case int() if column.endswith("by_id"):
            return users[value]
        case str():
            return _text(value)
        case [upper, lower] if column.endswith("_bp"):
            return f"{upper}/{lower}"
        case list() | dict():
            return "; ".join(_flat("", value))
        case _:
            return f"{value}"


def _text(value: str) -> str:
    if _DAY.fullmatch(value):
        return _day(dt.date.fromisoformat(value))
    if _MOMENT.fullmatch(value):
        at = dt.datetime.fromisoformat(value)
        return f"{_day(at.date())}, {at:%H:%M}"
    if _DIGEST.fullmatch(value):
        return " ".join(value[n : n + 8] for n in range(0, len(value), 8))
    return value.replace("_", " ") if _CODE.fullmatch(value) else value


def _day(day: dt.date) -> str:
    """Return a day that is not broken across lines."""
    return day_text(day).replace(" ", _NO_BREAK)


def _flat(path: str, value: Any) -> Iterator[str]:
    """Yield each value of a nested one with the way to it: "falls, unsteady: no"."""
    match value:
        case dict():
            for key, held in sorted(value.items()):
                name = key.replace("_", " ")
                yield from _flat(f"{path}, {name}" if path else name, held)
        case list() if any(isinstance(held, dict | list) for held in value):
            for number, held in enumerate(value, start=1):
                yield from _flat(f"{path} {number}".strip(), held)
        case list():
            told = ", ".join(in_words("", held, {}) for held in value) or "none"
            yield f"{path}: {told}" if path else told
        case _:
            told = in_words("", value, {})
            yield f"{path}: {told}" if path else told


def _line(line: Mapping[str, Any]) -> dict[str, Any]:
    """Return a line of the record with the title of its table in the place of its name."""
    return {**line, "object_type": _TITLES[line["object_type"]]}


_TITLES: Mapping[str, str] = {table.model: table.title for table in TABLES}


def _with_results(row: Mapping[str, Any]) -> dict[str, Any]:
    """Return the tests of a day with all that was found in one text."""
    told = [
        f"{ask.question} {in_words(name, row[name], {})} {ask.unit}".strip()
        for name, ask in asks(Tests).items()
        if name != "date" and row[name] not in (None, [])
    ]
    if row["worry"]:
        told.append(f"Worry scale {in_words('worry', row['worry'], {})}")
    return {**row, "results": "; ".join(told)}


def _changes_of_answers(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return each save of the answers with what it changed in the place of all of them."""
    before: dict[int, dict[str, Any]] = {}
    found = []
    for row in rows:
        was = before.get(row["patient_id"], {})
        found.append({**row, "answers": _changed(was, row["answers"])})
        before[row["patient_id"]] = row["answers"]
    return found


def _changed(was: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, Any]:
    """Return what stands in `now` and stood otherwise before; what is gone is "taken out"."""
    changed: dict[str, Any] = {key: "taken out" for key in was if key not in now}
    for key, value in now.items():
        old = was.get(key)
        if isinstance(value, dict) and isinstance(old, dict):
            if deeper := _changed(old, value):
                changed[key] = deeper
        elif key not in was or value != old:
            changed[key] = value
    return changed


def _program(row: Mapping[str, Any], held: Document) -> Program:
    title = f"Version {row['version']}, signed by {row['signed_name']}"
    if not held["holds"]["signed_programs"][str(row["id"])]:
        wrong = "The text is not the one that was signed: its digest is another one."
        return Program(title=title, wrong=wrong, doses=())
    try:
        program = program_in(row["body"])
    except Unreadable as error:
        return Program(title=title, wrong=str(error), doses=())
    return Program(title=title, wrong="", doses=tuple(_doses(program)))


def _doses(program: SignedProgram) -> Iterator[tuple[str, str, str]]:
    first, last = program.weeks[0], program.weeks[-1]
    for modality in Modality:
        if any(part_of(week, modality) for week in program.weeks):
            name = MODALITIES[modality].title
            begins, ends = (short_dose(part_of(week, modality)) for week in (first, last))
            yield name, begins, ends
