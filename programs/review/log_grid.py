"""The grid in which days of the log are typed: its cells, what is planned, falls asked a week."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from programs.log.cells import column_words, plate_keys, shown
from programs.log.day import (
    DONE,
    EFFORT,
    FELL,
    HIGHEST,
    ILL,
    NEAR_FALL,
    PAIN,
    PAIN_SETTLED,
    Column,
    Of,
    Read,
    columns_of,
    logged_lifts,
)
from programs.log.entries import Entry, read_day
from programs.review.adherence import Planned
from programs.review.logged_days import Row, entries_of_day
from safety.findings import Modality

#: Whether falls were asked about in a week: there was none, there was one, nobody asked.
NO_FALL, A_FALL, NOT_ASKED = "N", "Y", "U"
FALL_KEYS: Mapping[str, str] = MappingProxyType(
    {NO_FALL: "no fall", A_FALL: "a fall", NOT_ASKED: "nobody asked"}
)
#: What stands in the first grid, one key a cell; the rest is asked below it.
OF_KIND_FIRST = (DONE, EFFORT)
OF_DAY_FIRST = (PAIN, PAIN_SETTLED, FELL, NEAR_FALL, ILL)
#: Weeks shown at once, at most.
MOST_WEEKS = 8
_ASK_FALLS = "Was there a fall? Write N, Y, or U where nobody asked."
_MARK_FALL = "Mark the fall: Y in the row of its day."
_NO_AND_YES = "A day of this week has a fall: write Y."

Entries = Mapping[Modality | None, Entry]


@dataclass(kw_only=True)
class GridCell:
    """A cell as it stands on the page.

    keys      the keys that fill it, one each; empty where words or numbers are typed
    words     what each key means
    planned   something is planned here, so that it is typed next
    spare     its kind has more days than sessions in this week
    """

    name: str
    column: Column | None
    label: str
    words: Mapping[str, str]
    text: str
    planned: bool = False
    spare: bool = False
    error: str = ""

    @property
    def keys(self) -> str:
        """Return the keys as one text."""
        return "".join(self.words)

    @property
    def read(self) -> str:
        """Return how it is read."""
        return str(self.column.cell.read) if self.column else "falls"

    @property
    def short(self) -> str:
        """Return what it asks, without its day and kind: "leg press, kg"."""
        return self.label.partition(", ")[2].partition(", ")[2]

    @property
    def unreadable(self) -> bool:
        """Tell whether what was typed is none of its keys."""
        return bool(self.text) and self.text not in self.words

    @property
    def options(self) -> list[tuple[str, str]]:
        """Return what can be chosen, with words, where it is filled by one key."""
        return [(key, self.words[key]) for key in self.keys]


@dataclass(kw_only=True)
class GridDay:
    """A day: its cells by their columns, and the rows that stood when the page was opened."""

    on: dt.date
    week: int
    was: tuple[int, ...]
    held: Entries
    cells: dict[Column, GridCell]
    entries: Entries = field(default_factory=dict)

    @property
    def was_name(self) -> str:
        """Return the name of the field that holds the rows."""
        return f"{self.on.isoformat()}.was"

    @property
    def was_text(self) -> str:
        """Return the rows as the field holds them."""
        return "-".join(map(str, self.was))

    @property
    def planned(self) -> bool:
        """Tell whether any session is planned on it."""
        return any(cell.planned for cell in self.cells.values())

    @property
    def errors(self) -> list[GridCell]:
        """Return the cells that are wrong."""
        return [cell for cell in self.cells.values() if cell.error]

    def of_kind(self, kind: Modality) -> list[GridCell]:
        """Return the first cells of a kind: done and effort."""
        return [c for k, c in self.cells.items() if k.kind is kind and k.cell in OF_KIND_FIRST]

    @property
    def first(self) -> list[GridCell]:
        """Return the cells of the first grid, in their order."""
        return [c for k, c in self.cells.items() if k.cell in (*OF_KIND_FIRST, *OF_DAY_FIRST)]

    @property
    def words(self) -> list[GridCell]:
        """Return the cells of the day that take words."""
        return [c for k, c in self.cells.items() if k.kind is None and k.cell not in OF_DAY_FIRST]

    def more_of(self, kind: Modality) -> list[GridCell]:
        """Return the other cells of a kind."""
        return [c for k, c in self.cells.items() if k.kind is kind and k.cell not in OF_KIND_FIRST]


@dataclass(kw_only=True)
class GridWeek:
    """A week: its days, and whether falls were asked about.

    spare   kinds with more days than sessions: nobody knows which of them were free
    """

    number: int
    days: list[GridDay]
    falls: GridCell
    spare: tuple[Modality, ...]
    typed_falls: bool = False

    @property
    def falls_wrong(self) -> list[GridCell]:
        """Return the cell of the falls where it is wrong."""
        return [self.falls] if self.falls.error else []

    @property
    def planned_name(self) -> str:
        """Return the name of the tick that fills the week as planned."""
        return f"week{self.number}.planned"


@dataclass(frozen=True, kw_only=True)
class Program:
    """What a grid knows of a signed program. plates: the names of her plates."""

    planned: Planned
    plates: tuple[str, ...]

    def lifts(self, week: int) -> tuple[str, ...]:
        """Return the lifts of a week whose weight is written down."""
        return logged_lifts(self.planned.dose(week, Modality.RESISTANCE))

    def spare(self, week: int) -> tuple[Modality, ...]:
        """Return the kinds whose week names more days than it has sessions."""
        held = self.planned
        return tuple(m for m in held.modalities if len(held.days(week, m)) > held.sessions(week, m))


class Grid:
    """Days of a program to be typed, as they stand and as they were sent.

    rows   the rows of each day that stand
    sent   what was typed, by the names of the cells; None: nothing yet
    """

    def __init__(
        self,
        program: Program,
        days: Sequence[dt.date],
        rows: Mapping[dt.date, Sequence[Row]],
        sent: Mapping[str, str] | None = None,
    ) -> None:
        self.program, self.sent = program, sent
        held = {day: entries_of_day([row.session for row in rows.get(day, ())]) for day in days}
        self.kinds = self._kinds(held)
        self.plates = self._plates(held)
        made = [self._day(day, rows.get(day, ()), held[day]) for day in days]
        numbers = dict.fromkeys(day.week for day in made)
        self.weeks = [self._week(n, [day for day in made if day.week == n]) for n in numbers]
        if sent is not None:
            self._fill_as_planned(sent)
            self._read()

    # --- What there is ----------------------------------------------------------------------

    def _kinds(self, held: Mapping[dt.date, Entries]) -> tuple[Modality, ...]:
        logged = {kind for entries in held.values() for kind in entries}
        return tuple(m for m in Modality if m in self.program.planned.modalities or m in logged)

    def _plates(self, held: Mapping[dt.date, Entries]) -> tuple[str, ...]:
        entries = (one[Modality.PLATE] for one in held.values() if Modality.PLATE in one)
        named = (entry.told.get("plate", "") for entry in entries)
        known = set(plate_keys(self.program.plates).values())
        return (*self.program.plates, *dict.fromkeys(n for n in named if n and n not in known))

    def _day(self, on: dt.date, rows: Sequence[Row], held: Entries) -> GridDay:
        week = self.program.planned.week_of(on)
        planned = {m for m in self.kinds if on in self.program.planned.days(week, m)}
        spare = self.program.spare(week)
        cells: dict[Column, GridCell] = {}
        for column in self._columns(week, held):
            name = f"{on.isoformat()}.{column.name}"
            told = held[column.kind].told if column.kind in held else {}
            text = shown(column.cell, told.get(column.key), self.plates)
            cells[column] = GridCell(
                name=name,
                column=column,
                label=f"{on:%a} {on.day} {on:%b}, {column_words(column)}",
                words=self._keys(column),
                text=self._sent(name, text),
                planned=_is_typed_next(column, planned),
                spare=column.kind in spare,
            )
        return GridDay(on=on, week=week, was=self._was(on, rows), held=held, cells=cells)

    def _columns(self, week: int, held: Entries) -> Iterator[Column]:
        told = held[Modality.RESISTANCE].told if Modality.RESISTANCE in held else {}
        logged = (key.partition(":")[2] for key in told)
        lifts = dict.fromkeys([*self.program.lifts(week), *(lift for lift in logged if lift)])
        for kind in self.kinds:
            yield from columns_of(kind, tuple(lifts))
        yield from columns_of(None)

    def _keys(self, column: Column) -> Mapping[str, str]:
        match column.cell.read:
            case Read.KEY:
                spoken = {True: "yes", False: "no"}
                return {key: spoken.get(v, str(v)) for key, v in column.cell.keys.items()}
            case Read.TEN:
                return {shown(column.cell, n): str(n) for n in range(HIGHEST + 1)}
            case Read.PLATE:
                return plate_keys(self.plates)
            case _:
                return {}

    def _sent(self, name: str, text: str) -> str:
        """Return what was sent for a field; one that was not sent stays as it stands."""
        return text if self.sent is None else self.sent.get(name, text)

    def _was(self, on: dt.date, rows: Sequence[Row]) -> tuple[int, ...]:
        now = "-".join(str(row.pk) for row in rows)
        told = self._sent(f"{on.isoformat()}.was", now)
        return tuple(int(part) for part in told.split("-") if part.isdecimal() and len(part) < 19)

    def _week(self, number: int, days: list[GridDay]) -> GridWeek:
        stands = _falls_told([day.held for day in days])
        name = f"week{number}.falls"
        falls = GridCell(
            name=name,
            column=None,
            label=f"Falls in week {number}",
            words=FALL_KEYS,
            text=self._sent(name, stands),
            planned=True,
        )
        return GridWeek(
            number=number,
            days=days,
            falls=falls,
            spare=self.program.spare(number),
            typed_falls=falls.text != stands,
        )

    # --- What was typed ---------------------------------------------------------------------

    def _fill_as_planned(self, sent: Mapping[str, str]) -> None:
        for week in self.weeks:
            if "all.planned" in sent or week.planned_name in sent:
                for cell in _planned_and_blank(week):
                    cell.text = "A"

    def _read(self) -> None:
        for week in self.weeks:
            for day in week.days:
                texts = {column: cell.text for column, cell in day.cells.items()}
                read = read_day(day.on, texts, self.plates)
                for wrong in read.wrong:
                    day.cells[wrong.column].error = wrong.text
                day.entries = dict(read.entries)
            self._read_falls(week)

    def _read_falls(self, week: GridWeek) -> None:
        answer = week.falls.text.strip().upper()
        touched = [day for day in week.days if day.entries != day.held]
        told = _falls_told([day.entries for day in week.days])
        if answer not in ("", *FALL_KEYS):
            week.falls.error = _ASK_FALLS
        elif answer == A_FALL and told != A_FALL:
            week.falls.error = _MARK_FALL
        elif answer == NO_FALL and told == A_FALL:
            week.falls.error = _NO_AND_YES
        elif answer == "" and told == "" and touched:
            week.falls.error = _ASK_FALLS
        elif answer == NO_FALL:
            for day in week.days if week.typed_falls else touched:
                _without_fall(day)

    @property
    def days(self) -> list[GridDay]:
        """Return all days."""
        return [day for week in self.weeks for day in week.days]

    @property
    def cells(self) -> Iterator[GridCell]:
        """Yield all cells, in their order."""
        for week in self.weeks:
            yield from (cell for day in week.days for cell in day.cells.values())
            yield week.falls

    @property
    def wrong(self) -> list[GridCell]:
        """Return the cells that are wrong."""
        return [cell for cell in self.cells if cell.error]


def _planned_and_blank(week: GridWeek) -> Iterator[GridCell]:
    for day in week.days:
        for column, cell in day.cells.items():
            is_done = column.cell is DONE and cell.planned and not cell.spare
            if is_done and not cell.text.strip():
                yield cell


def _without_fall(day: GridDay) -> None:
    """Say of a day on which anything is told, and nothing of a fall, that there was none."""
    told: dict[str, Any] = dict(day.entries[None].told) if None in day.entries else {}
    if day.entries and FELL.name not in told:
        entry = Entry(on=day.on, kind=None, told={**told, FELL.name: False})
        day.entries = {**day.entries, None: entry}


def _falls_told(days: Sequence[Entries]) -> str:
    told = [one[None].told.get(FELL.name) for one in days if None in one]
    if True in told:
        return A_FALL
    return NO_FALL if False in told else ""


def _is_typed_next(column: Column, planned: set[Modality]) -> bool:
    if column.cell.of is Of.DAY:
        return column.cell is PAIN and bool(planned)
    return column.cell in OF_KIND_FIRST and column.kind in planned
