"""The log as a table: a CSV file with a row for each day, in and out."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from patients.facts.units import NotADate
from patients.files import dates
from patients.files.columns import Unfit
from patients.files.dates import DateCount, read_date
from patients.files.formula_guard import guarded, unguarded
from patients.files.reading import EncodingAsked, Grid, Record, decoded, grid
from patients.files.rows import Choices
from patients.names import fold
from programs.log.cells import shown
from programs.log.day import PLATE, Column, Read
from programs.log.entries import Entry
from programs.log.file_days import Bad, FileDay
from safety.findings import Modality

PATIENT, DATE = "patient id", "date"
_BOM = "\ufeff"  # a spreadsheet takes the file for UTF-8 only with it


@dataclass(frozen=True, kw_only=True)
class TableRead:
    """A table as far as it was read.

    order     both readings of its dates, where their order is asked; no day is read then
    ignored   heads that are not known
    """

    days: tuple[FileDay, ...] = ()
    bad: tuple[Bad, ...] = ()
    order: DateCount | None = None
    ignored: tuple[str, ...] = ()


def head(column: Column) -> str:
    """Return the head of a column: "plate effort", "resistance kg leg press", "pain settled"."""
    name = "name" if column.cell is PLATE else column.cell.name
    parts = (str(column.kind or ""), name, column.lift)
    return " ".join(part.replace("_", " ") for part in parts if part)


def read_table(
    data: bytes, choices: Choices, columns: Sequence[Column], patient_id: int
) -> TableRead | EncodingAsked:
    """Return the days in a CSV file of one patient. Raises Unfit for one that cannot be taken."""
    text = decoded(data, choices.encoding)
    if isinstance(text, EncodingAsked):
        return text
    held = grid(text)
    places = _places(held, columns)
    if DATE not in places or len(places.keys() - {DATE, PATIENT}) == 0:
        raise Unfit("No column date is here, or none of the log. Take the empty table as a start.")
    at = places[DATE]
    counted = dates.count(r.cells[at] for r in held.records if at < len(r.cells))
    if counted.in_doubt and choices.order is None:
        return TableRead(order=counted)
    rows = [_row(r, places, choices.order, columns, patient_id) for r in held.records]
    return TableRead(
        days=tuple(one for one in rows if isinstance(one, FileDay)),
        bad=tuple(one for one in rows if isinstance(one, Bad)),
        ignored=tuple(h for n, h in enumerate(held.head) if h and n not in places.values()),
    )


def _places(held: Grid, columns: Sequence[Column]) -> dict[str, int]:
    known = {fold(name): name for name in (PATIENT, DATE, *map(head, columns))}
    found: dict[str, int] = {}
    for n, text in enumerate(held.head):
        name = known.get(fold(text.replace("_", " ")))
        if name in found:
            raise Unfit(f"Two columns are called {name}.")
        if name is not None:
            found[name] = n
    return found


def _row(
    record: Record,
    places: Mapping[str, int],
    order: str | None,
    columns: Sequence[Column],
    patient_id: int,
) -> FileDay | Bad:
    where = f"line {record.line}"
    cells = {
        name: unguarded(record.cells[n]).strip() if n < len(record.cells) else ""
        for name, n in places.items()
    }
    if cells.get(PATIENT) not in (None, "", str(patient_id)):
        return Bad(where=where, text=f"Patient id {cells[PATIENT][:20]} is another patient's.")
    try:
        on = dt.date.fromisoformat(read_date(cells[DATE], order))
    except NotADate as error:
        return Bad(where=where, text=f"date: {error}")
    texts = {column: cells[head(column)] for column in columns if cells.get(head(column))}
    return FileDay(where=where, on=on, texts=texts)


def write_table(
    patient_id: int,
    days: Iterable[dt.date],
    told: Mapping[dt.date, Mapping[Modality | None, Entry]],
    columns: Sequence[Column],
) -> bytes:
    """Return a CSV file with a row for each day and what is logged of it; it reads in again."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([PATIENT, DATE, *(guarded(head(column)) for column in columns)])
    for day in days:
        entries = told.get(day, {})
        values = (_value(entries, column) for column in columns)
        writer.writerow([str(patient_id), day.isoformat(), *values])
    return (_BOM + out.getvalue()).encode()


def _value(entries: Mapping[Modality | None, Entry], column: Column) -> str:
    entry = entries.get(column.kind)
    value = entry.told.get(column.key) if entry else None
    # By name: her plates may stand in another order when the file comes back.
    named = column.cell.read is Read.PLATE
    return guarded(str(value or "") if named else shown(column.cell, value))
