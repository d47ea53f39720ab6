"""Rows out to a file that reads in again as it was."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from patients.facts.in_words import show
from patients.facts.question import Kind
from patients.files.columns import WHO, Column, Layout
from patients.files.formula_guard import guarded
from patients.files.what_can_be_taken import Held, Person, Taken

_BOM = "\ufeff"  # a spreadsheet takes the file for UTF-8 only with it


def written(layout: Layout, person: Person, rows: Iterable[Held]) -> bytes:
    """Return the file of a person's rows: UTF-8, commas between, decimal points.

    Text that a spreadsheet would take for a formula is guarded, the heads too; numbers
    stand bare.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    columns = (*WHO, *layout.columns)
    writer.writerow(guarded(column.head) for column in columns)
    who = (str(person.pk), guarded(person.record_number), person.born.isoformat())
    for row in rows:
        writer.writerow((*who, *cells(layout, row)))
    return (_BOM + out.getvalue()).encode()


def cells(layout: Layout, row: Held | Taken) -> list[str]:
    """Return what stands in the columns of a row, without whose it is."""
    return [
        guarded(row.beside[column.code])
        if column.code in row.beside
        else _shown(getattr(row.fact, column.code), column)
        for column in layout.columns
    ]


def words(layout: Layout, row: Held | Taken) -> list[str]:
    """Return the same for reading: labels for codes, dates with the month's name."""
    return [
        row.beside[column.code]
        if column.code in row.beside
        else _in_words(getattr(row.fact, column.code), column)
        for column in layout.columns
    ]


def _in_words(value: Any, column: Column) -> str:
    # The head names the unit. A marker's decimals depend on it, so they stay as they came.
    ask = replace(column.ask, unit="")
    if ask.kind is Kind.DATE:
        return (show(ask, value) or "").replace(" ", "\u00a0")
    as_it_came = column.code == "value"
    return _shown(value, column) if as_it_came else show(ask, value) or ""


def _shown(value: Any, column: Column) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return f"{value:.10g}"
        case dt.date():
            return value.isoformat()
        case tuple():
            pressure = column.ask.kind is Kind.PRESSURE
            return ("/" if pressure else "; ").join(str(v).replace("_", " ") for v in value)
        case _:
            return guarded(str(value))
