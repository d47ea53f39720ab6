"""The format person/1: everything kept of a person as one JSON document.

    format          "person/1"
    patient_id      her id
    clinic          the seal of the first line of the record of who did what, which no other clinic
                    has; zeros where it has no line
    records         her id, then that of each record that stands under hers (of the same person)
    tables          a list of rows for each table of programs.export.tables, oldest first. A row
                    holds every column of the table by its name in the database. A column that
                    ends in _id names a row of another table, or somebody who works here
    record          the lines of the record of who did what about any of these rows, with their
                    seals; old and new are texts of JSON, since the seal is over the text
    holds           for each signed program and each paper by its id, whether it still is what was
                    signed or made: its digest is that of the text, of the file
    users           the people who work here and are named in a row: id to user name and name
    not_here        what is left out, each with the reason

A number with decimals is a text ("-2.1"), with the digits it is kept with. A day is a text like
"2026-03-02"; a moment is in UTC, like "2026-03-02T09:30:00Z". Not recorded is null. Keys are
sorted, there is no white space, and nothing tells when the export was made: the same rows give
the same bytes.

A later format gets another number; a new table or column does not, so a reader skips what it
does not know.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from programs.export.tables import MADE_ANEW, NOT_IN_THE_RECORD, TABLES
from programs.signed.snapshot import verify

FORMAT = "person/1"

Row = Mapping[str, Any]
Document = dict[str, Any]


def document(
    *,
    clinic: str,
    patient_id: int,
    records: Sequence[int],
    rows: Mapping[str, Iterable[Row]],
    lines: Iterable[Row],
    papers_hold: Mapping[int, bool],
    users: Iterable[Row],
) -> Document:
    """Return the document.

    rows    the rows of each table of TABLES by its key, as the database gives them
    lines   of the record, about any of these rows
    users   those who are named, each with id, username and name
    """
    tables = {
        table.key: [_with_files(table.files, plain(row)) for row in rows[table.key]]
        for table in TABLES
    }
    signed = tables["signed_programs"]
    return {
        "format": FORMAT,
        "clinic": clinic,
        "patient_id": patient_id,
        "records": list(records),
        "tables": tables,
        "record": [plain(line) for line in lines],
        "holds": {
            "signed_programs": {
                str(row["id"]): verify(row["body"], row["digest"]) for row in signed
            },
            "papers": {str(number): holds for number, holds in papers_hold.items()},
        },
        "users": {
            str(user["id"]): {"username": user["username"], "name": user["name"]} for user in users
        },
        "not_here": {**MADE_ANEW, **NOT_IN_THE_RECORD},
    }


def _with_files(files: Mapping[str, str], row: dict[str, Any]) -> dict[str, Any]:
    return row | {column: name.format(id=row["id"]) for column, name in files.items()}


def plain(value: Any) -> Any:
    """Return a value of the database as JSON holds it. Raises TypeError for what it cannot."""
    match value:
        case None | bool() | int() | float() | str():
            return value
        case Mapping():
            return {str(key): plain(held) for key, held in value.items()}
        case list() | tuple():
            return [plain(held) for held in value]
        case Decimal():
            return f"{value:f}"
        case dt.datetime():
            return value.astimezone(dt.UTC).isoformat().replace("+00:00", "Z")
        case dt.date():
            return value.isoformat()
        case _:
            raise TypeError(f"A {type(value).__name__} has no place in an export.")


def text_of(held: Mapping[str, Any]) -> str:
    """Return the one text of a document: keys sorted, no white space, a line end at the end."""
    text = json.dumps(
        held, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
    )
    return f"{text}\n"


def sha256_of(content: bytes) -> str:
    """Return the SHA-256 of a file, in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def people_named(rows: Iterable[Row], columns: Iterable[str]) -> set[int]:
    """Return the ids of those who work here and stand in one of these columns."""
    named = tuple(columns)
    return {row[column] for row in rows for column in named if row[column] is not None}


def last_day(held: Document) -> dt.date:
    """Return the last day of which anything measured or answered is kept: as of it she is read."""
    days = [
        row[column]
        for key, column in _DAYS
        for row in held["tables"][key]
        if row[column] is not None
    ]
    return dt.date.fromisoformat(max(days, default=held["tables"]["people"][0]["created_at"])[:10])


#: Tables that facts are read from, each with its column of the day.
_DAYS = (
    ("heights_and_weights", "date"),
    ("fractures", "date"),
    ("density_scans", "date"),
    ("bone_markers", "date"),
    ("function_tests", "date"),
    ("lifts", "on"),
    ("answers", "as_of"),
)
