"""The figures as a tidy file: one row a measure and group, without names, ids or dates of birth."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from patients.files.formula_guard import guarded
from programs.outcomes.figures import Figure

_BOM = "\ufeff"  # a spreadsheet takes the file for UTF-8 only with it
HEADS = (
    *("topic", "group", "measure", "people", "of_people", "count", "per", "per_is"),
    *("value", "low", "high", "unit", "range"),
)


def written(figures: Iterable[Figure]) -> bytes:
    """Return the file: UTF-8, commas between, decimal points; what is not told is empty.

    Text that a spreadsheet would take for a formula is guarded; numbers stand bare.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(HEADS)
    for one in figures:
        words = (one.topic, one.group, one.measure, one.people, one.of_people)
        counted = (one.count, one.per, one.per_is)
        writer.writerow((*map(guarded, (*words, *counted)), *_numbers(one)))
    return (_BOM + out.getvalue()).encode()


def _numbers(one: Figure) -> tuple[str, ...]:
    found = one.estimate
    if found is None:
        return "", "", "", guarded(one.unit), ""
    numbers = [_number(value) for value in (found.value, found.low, found.high)]
    return *numbers, guarded(one.unit), guarded(one.range_is)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}"
