"""What of a file can be taken: whose rows, in believable ranges, not on record already."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from patients.facts.document import read_part
from patients.files.columns import Heads, Layout, column_of
from patients.files.rows import Bad, Entry, Who
from patients.names import fold

Key = tuple[Any, ...]
#: Rows of the file's kind on record of these patients, struck-out ones too.
Recorded = Callable[[Collection[int]], Iterable["Held"]]


@dataclass(frozen=True)
class Person:
    """Somebody on record, as far as a file can name her.

    why_not   why nothing may be entered for her, or nothing where it may
    """

    pk: int
    record_number: str
    born: dt.date
    why_not: str = ""


@dataclass(frozen=True)
class Held:
    """A row on record; `struck` tells that it was struck out as entered in error."""

    patient_id: int
    fact: Any
    beside: Mapping[str, str]
    struck: bool = False


@dataclass(frozen=True)
class Taken:
    """A row that can be taken: whose it is, its fact, and what is kept beside."""

    line: int
    patient_id: int
    fact: Any
    beside: Mapping[str, str]


@dataclass(frozen=True)
class Known:
    """A row that says nothing new, and where it stands already."""

    line: int
    where: str


@dataclass(frozen=True)
class Checked:
    """All rows of a file: to take, known already, and bad, each in the file's order."""

    layout: Layout
    taken: tuple[Taken, ...]
    known: tuple[Known, ...]
    bad: tuple[Bad, ...]


@dataclass(frozen=True)
class _Register:
    """The people on record, to be found by id or by record number."""

    by_id: Mapping[str, Person]
    by_number: Mapping[str, Sequence[Person]]
    by_digits: Mapping[str, Sequence[Person]]

    def find(self, who: Who) -> Person | str:
        """Return the person, or why there is none."""
        person = self._by_id(who.patient_id) if who.patient_id else self._by_number(who)
        if isinstance(person, str):
            return person
        if who.record_number and fold(who.record_number) != fold(person.record_number):
            return f"Patient id {who.patient_id} has another record number."
        if who.born and who.born != person.born.isoformat():
            return "The date of birth is not that of the patient on record."
        return person.why_not or person

    def _by_id(self, text: str) -> Person | str:
        return self.by_id.get(text) or f"No patient has the id {text}."

    def _by_number(self, who: Who) -> Person | str:
        same = self.by_number.get(fold(who.record_number), ())
        found = [person for person in same if not person.why_not] or same
        if len(found) == 1:
            return found[0]
        if found:
            return f"{len(found)} patients have record number {who.record_number}."
        near = self.by_digits.get(fold(who.record_number).lstrip("0"), ())
        hint = f" {near[0].record_number} is on record: were leading zeros lost?" if near else ""
        return f"No patient has record number {who.record_number}.{hint}"


@dataclass
class _Check:
    """The check of one file, row after row."""

    layout: Layout
    as_of: dt.date
    held: Mapping[Key, Sequence[Held]]
    seen: dict[Key, Taken] = field(default_factory=dict)

    def row(self, entry: Entry, person: Person | str) -> Taken | Known | Bad:
        """Return what becomes of a row of this person; a text says why there is none."""
        if isinstance(person, str):
            return Bad(entry.line, (person,))
        fact = read_part(self.layout.of, entry.part, "", self.as_of, person.born)
        if isinstance(fact, tuple):
            return Bad(entry.line, tuple(_named(self.layout, p.at, p.text) for p in fact))
        if (empty := _empty(self.layout, entry)) is not None:
            return Bad(entry.line, (empty,))
        return self._old_or_new(Taken(entry.line, person.pk, fact, entry.beside))

    def _old_or_new(self, taken: Taken) -> Taken | Known | Bad:
        key = _key(self.layout, taken)
        earlier = self.seen.get(key)
        if earlier is not None:
            if _same(earlier, taken):
                return Known(taken.line, f"the same as line {earlier.line}")
            return Bad(taken.line, (f"Line {earlier.line} gives other values for this.",))
        found = self._against_record(taken, self.held.get(key, ()))
        if not isinstance(found, Bad):
            self.seen[key] = taken
        return found

    def _against_record(self, taken: Taken, held: Iterable[Held]) -> Taken | Known | Bad:
        for row in held:
            if _same(row, taken) and row.struck:
                text = "Struck out on record as entered in error. Type it in if it holds after all."
                return Bad(taken.line, (text,))
            if _same(row, taken):
                return Known(taken.line, "on record already")
        if any(not row.struck for row in held):
            text = "On record already with other values. Correct that entry if this one is right."
            return Bad(taken.line, (text,))
        return taken


def check(
    entries: Sequence[Entry],
    bad: Iterable[Bad],
    heads: Heads,
    people: Iterable[Person],
    recorded: Recorded,
    as_of: dt.date,
) -> Checked:
    """Return what of the rows can be taken on a day; people are all on record."""
    layout, register = heads.layout, _register(people)
    whose = [register.find(entry.who) for entry in entries]
    held = _by_key(layout, recorded({p.pk for p in whose if isinstance(p, Person)}))
    checking = _Check(layout, as_of, held)
    found = [checking.row(*pair) for pair in zip(entries, whose, strict=True)]
    wrong = [*bad, *(row for row in found if isinstance(row, Bad))]
    return Checked(
        layout,
        tuple(row for row in found if isinstance(row, Taken)),
        tuple(row for row in found if isinstance(row, Known)),
        tuple(sorted(wrong, key=lambda row: row.line)),
    )


def _by_key(layout: Layout, rows: Iterable[Held]) -> dict[Key, list[Held]]:
    by_key: dict[Key, list[Held]] = {}
    for row in rows:
        by_key.setdefault(_key(layout, row), []).append(row)
    return by_key


def _register(people: Iterable[Person]) -> _Register:
    by_id: dict[str, Person] = {}
    by_number: dict[str, list[Person]] = {}
    by_digits: dict[str, list[Person]] = {}
    for person in people:
        by_id[str(person.pk)] = person
        if number := fold(person.record_number):
            by_number.setdefault(number, []).append(person)
            by_digits.setdefault(number.lstrip("0"), []).append(person)
    return _Register(by_id, by_number, by_digits)


def _key(layout: Layout, row: Held | Taken) -> Key:
    return (row.patient_id, *(_of(row, code) for code in layout.key))


def _of(row: Held | Taken, code: str) -> Any:
    return row.beside[code] if code in row.beside else getattr(row.fact, code)


def _same(one: Held | Taken, other: Taken) -> bool:
    return bool(one.fact == other.fact) and dict(one.beside) == dict(other.beside)


def _empty(layout: Layout, entry: Entry) -> str | None:
    """Return what is missing where a row gives no value at all."""
    values = {"scan": ("bmd_g_cm2", "t", "z"), "marker": ("value",)}
    wanted = values.get(layout.kind, [c.ask.key for c in layout.columns if c.code != "date"])
    if not any(code in entry.part for code in wanted):
        return "No value is filled in."
    return None if "date" in entry.part else "date: This is needed."


def _named(layout: Layout, at: str, text: str) -> str:
    code = at.partition("[")[0]
    return f"{column_of(layout, code).head}: {text}"
