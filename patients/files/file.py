"""A file as it was sent, looked at with what a person said about it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from patients.facts.question import Kind
from patients.files import dates, decimal_sign
from patients.files.columns import Heads, heads_of
from patients.files.dates import DateCount
from patients.files.reading import EncodingAsked, Grid, decoded, grid
from patients.files.rows import Choices, cells_of, read_rows
from patients.files.what_can_be_taken import Checked, Person, Recorded, check


@dataclass(frozen=True)
class Opened:
    """A file that could be opened, and the questions it leaves.

    dates    both readings of its dates, where the order is asked
    decimal  True where the sign before the decimals is asked
    """

    grid: Grid
    heads: Heads
    choices: Choices
    dates: DateCount | None
    decimal: bool

    @property
    def asks(self) -> bool:
        """Tell whether anything is to be said before the rows can be read."""
        return self.dates is not None or self.decimal


def opened(data: bytes, choices: Choices) -> Opened | EncodingAsked:
    """Return the file with what it asks. Raises Unfit for one that cannot be taken."""
    text = decoded(data, choices.encoding)
    if isinstance(text, EncodingAsked):
        return text
    rows = grid(text)
    heads = heads_of(rows.head)
    counted = dates.count(cells_of(rows, heads, Kind.DATE))
    mark = decimal_sign.decimal_mark(cells_of(rows, heads, Kind.NUMBER))
    asked = mark == decimal_sign.ASK
    return Opened(
        rows,
        heads,
        replace(choices, decimal=choices.decimal if asked else mark),
        counted if counted.in_doubt and choices.order is None else None,
        asked and choices.decimal is None,
    )


def looked_at(
    file: Opened, people: Iterable[Person], recorded: Recorded, as_of: dt.date
) -> Checked:
    """Return what of the file can be taken on a day; nothing of it may be asked still."""
    entries, bad = read_rows(file.grid, file.heads, file.choices)
    return check(entries, bad, file.heads, people, recorded, as_of)
