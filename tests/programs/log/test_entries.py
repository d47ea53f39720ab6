"""A day read from its cells: by kind and as a whole, and what cannot be."""

import datetime as dt

from programs.log.day import Column, all_columns
from programs.log.entries import DayRead, Entry, read_day
from safety.findings import Modality

DAY = dt.date(2026, 3, 2)
COLUMNS = {c.name: c for c in all_columns(tuple(Modality), ("leg_press",))}


def read(**texts: str) -> DayRead:
    """Return a day; "plate_done" stands for the column plate.done."""
    cells: dict[Column, str] = {}
    for name, text in texts.items():
        kind, _, key = name.partition("_")
        cells[COLUMNS[f"{kind}.{key}"]] = text
    return read_day(DAY, cells, ("at home",))


def errors(found: DayRead) -> dict[str, str]:
    return {one.column.name: one.text for one in found.wrong}


def test_a_day_is_read_by_kind_and_as_a_whole() -> None:
    found = read(plate_done="A", plate_effort="X", balance_done="N", day_pain="3", day_fell="N")
    assert not found.wrong
    assert {kind: entry.told for kind, entry in found.entries.items()} == {
        Modality.PLATE: {"done": "all", "effort": 10},
        Modality.BALANCE: {"done": "none"},
        None: {"pain": 3, "fell": False},
    }


def test_blank_is_not_written_down() -> None:
    assert read(plate_done="", day_pain=" ").entries == {}


def test_done_is_asked_where_anything_of_a_kind_is_told() -> None:
    assert errors(read(plate_effort="3")) == {"plate.done": "Say how much was done: A, P or N."}


def test_what_could_not_be_read_has_one_error() -> None:
    found = errors(read(plate_done="Q", plate_effort="3"))
    assert found == {"plate.done": "Write A, P or N."}


def test_broken_off_is_not_all() -> None:
    wrong = read(plate_done="A", plate_broken_off="Y")
    assert list(errors(wrong)) == ["plate.broken_off"]
    assert not read(plate_done="P", plate_broken_off="Y").wrong
    assert not read(plate_done="A", plate_broken_off="N").wrong


def test_pain_is_asked_where_something_of_it_is_told() -> None:
    for name in ("pain_settled", "pain_where", "pain_with"):
        text = {"pain_settled": "Y", "pain_where": "knee", "pain_with": "V"}[name]
        assert list(errors(read(**{f"day_{name}": text}))) == ["day.pain"]
        assert not read(**{f"day_{name}": text, "day_pain": "0"}).wrong


def test_an_entry_in_words() -> None:
    told = {"done": "all", "effort": 4, "kg:leg_press": 46.0}
    entry = Entry(on=DAY, kind=Modality.RESISTANCE, told=told)
    assert entry.words == "all; effort 4; leg press 46 kg"
    assert entry.title == "Resistance on 2 Mar 2026"
    assert Entry(on=DAY, kind=None, told={}).title == "The day on 2 Mar 2026"
