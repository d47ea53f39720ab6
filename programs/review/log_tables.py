"""What is asked below the grid of the log: words of the days, the plate, the weights."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from programs.log.cells import kinds_told
from programs.log.day import DONE, Column
from programs.review.log_grid import Grid, GridCell, GridDay
from safety.findings import Modality
from safety.modalities import MODALITIES


@dataclass(frozen=True, kw_only=True)
class Table:
    """Cells of some days; None where a day has none. open: something stands in it, or is wrong."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[GridDay, tuple[GridCell | None, ...]], ...]

    @property
    def open(self) -> bool:
        """Tell whether it is shown unfolded."""
        cells = (cell for _, held in self.rows for cell in held if cell)
        return any(cell.text or cell.error for cell in cells)


def below(grid: Grid) -> list[Table]:
    """Return the tables below a grid, those without a row left out."""
    tables = [_of_kind(grid, kind) for kind in (Modality.RESISTANCE, Modality.PLATE)]
    words = _table(f"In words, by day. Kinds by letter: {kinds_told()}", grid.days, _of_day)
    return [table for table in (*tables, words) if table.rows]


def _of_kind(grid: Grid, kind: Modality) -> Table:
    def mine(day: GridDay) -> list[Column]:
        more = {id(cell) for cell in day.more_of(kind)}
        return [column for column, cell in day.cells.items() if id(cell) in more]

    done = (_done_cell(day, kind) for day in grid.days)
    days = [day for day, cell in zip(grid.days, done, strict=True) if cell]
    asked = {
        Modality.PLATE: "which plate, watched, broken off",
        Modality.RESISTANCE: "weight and repetitions left in the last set",
    }
    return _table(f"{MODALITIES[kind].name}: {asked[kind]}", days, mine)


def _done_cell(day: GridDay, kind: Modality) -> GridCell | None:
    """Return the cell that says how much was done, where it is planned or filled in."""
    found = next((c for k, c in day.cells.items() if k.kind is kind and k.cell is DONE), None)
    more = any(cell.text for cell in day.more_of(kind))
    return found if found and (found.planned or found.text or more) else None


def _of_day(day: GridDay) -> list[Column]:
    words = {id(cell) for cell in day.words}
    return [column for column, cell in day.cells.items() if id(cell) in words]


def _table(
    title: str, days: Sequence[GridDay], columns: Callable[[GridDay], list[Column]]
) -> Table:
    heads = {column.key: _head(column) for day in days for column in columns(day)}
    rows = []
    for day in days:
        by_key = {column.key: day.cells[column] for column in columns(day)}
        rows.append((day, tuple(by_key.get(key) for key in heads)))
    return Table(title=title, heads=tuple(heads.values()), rows=tuple(rows) if heads else ())


def _head(column: Column) -> str:
    lift = column.lift.replace("_", " ")
    return f"{lift} {column.cell.head}".strip().capitalize() if lift else column.cell.head
