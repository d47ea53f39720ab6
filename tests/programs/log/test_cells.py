"""The declaration of a day of the log, and its cells read and written."""

from typing import Any

import pytest

from patients.facts.units import Unreadable
from programs.log.cells import in_words, kinds_told, plate_keys, read_cell, shown
from programs.log.day import (
    BY_NAME,
    CELLS,
    KIND_KEYS,
    OTHER_PLATE,
    Cell,
    Of,
    Read,
    all_columns,
    columns_of,
)
from safety.findings import Modality
from safety.modalities import MODALITIES
from tests.each import each

PLATES = ("at home", "Clinic O'Hara")


def test_every_kind_is_asked_how_much_and_how_hard() -> None:
    for kind in Modality:
        assert [column.key for column in columns_of(kind)][:2] == ["done", "effort"]


def test_a_day_holds_all_that_the_paper_asks() -> None:
    names = ["pain", "pain_settled", "fell", "near_fall", "ill", "pain_where", "pain_with"]
    assert [c.key for c in columns_of(None)] == [*names, "red_flag", "broke", "note"]


def test_plate_and_lifting_ask_more() -> None:
    plate = columns_of(Modality.PLATE, ("leg_press",))
    assert [c.key for c in plate] == ["done", "effort", "plate", "watched", "broken_off"]
    lifting = columns_of(Modality.RESISTANCE, ("leg_press", "squat"))
    more = ["kg:leg_press", "left:leg_press", "kg:squat", "left:squat"]
    assert [c.key for c in lifting] == ["done", "effort", *more]


def test_columns_have_names_of_their_own() -> None:
    names = [column.name for column in all_columns(tuple(Modality), ("leg_press",))]
    assert len(names) == len(set(names))
    assert {"plate.done", "resistance.kg:leg_press", "day.pain"} <= set(names)


def test_kinds_have_letters_of_their_own_the_first_of_their_title() -> None:
    assert {k: MODALITIES[k].title[0] for k in Modality} == dict(KIND_KEYS)
    assert len(set(KIND_KEYS.values())) == len(Modality)
    assert kinds_told().startswith("V vibration plate, L resistance")


READABLE: list[tuple[str, str, Any]] = [
    ("done", "a", "all"),
    ("done", " P ", "part"),
    ("done", "none", "none"),
    ("done", "t", "all"),
    ("effort", "0", 0),
    ("effort", "9", 9),
    ("effort", "x", 10),
    ("effort", "10", 10),
    ("pain", "", None),
    ("pain_settled", "Y", True),
    ("fell", "no", False),
    ("ill", "s", True),
    ("kg", "46", 46.0),
    ("kg", "46,25", 46.25),
    ("kg", "500", 500.0),
    ("left", "X", 10),
    ("plate", "1", "at home"),
    ("plate", "clinic o'hara", "Clinic O'Hara"),
    ("plate", "0", OTHER_PLATE),
    ("pain_with", "lv", (Modality.PLATE, Modality.RESISTANCE)),
    ("pain_with", "balance, F", (Modality.IMPACT, Modality.BALANCE)),
    ("pain_with", "Firm steps and landings", (Modality.IMPACT,)),
    ("note", " O'Brien's dog\u200b ", "O'Brien's dog"),
]


@each(("name", "text", "value"), READABLE)
def test_a_cell_is_read(name: str, text: str, value: Any) -> None:
    assert read_cell(BY_NAME[name], text, PLATES) == value


UNREADABLE = [
    ("done", "B", "Write A, P or N."),
    ("effort", "11", "0 to 9, or X for 10"),
    ("effort", "-1", "0 to 9, or X for 10"),
    ("effort", "4.5", "0 to 9, or X for 10"),
    ("pain", "²", "0 to 9, or X for 10"),
    ("fell", "maybe", "Write Y or N."),
    ("kg", "500.01", "0 to 500 kg"),
    ("kg", "46.255", "at most 2 decimals"),
    ("kg", "1,234", "two ways"),
    ("plate", "3", "Write 1, 2 or 0."),
    ("pain_with", "VQ", "letters of the kinds"),
    ("pain_with", "V,,L", "letters of the kinds"),
    ("note", "a" * 201, "Shorten"),
]


@each(("name", "text", "why"), UNREADABLE)
def test_a_cell_that_cannot_be_read(name: str, text: str, why: str) -> None:
    with pytest.raises(Unreadable, match=why):
        read_cell(BY_NAME[name], text, PLATES)


def test_what_is_shown_reads_in_again() -> None:
    for name, _, value in READABLE:
        cell = BY_NAME[name]
        assert read_cell(cell, shown(cell, value, PLATES), PLATES) == value


def test_a_plate_that_is_gone_is_shown_by_its_name() -> None:
    assert shown(BY_NAME["plate"], "sold", PLATES) == "sold"


def test_only_nine_plates_have_a_key() -> None:
    assert len(plate_keys([str(n) for n in range(12)])) == 10


WORDS = [
    ("done", "part", "part"),
    ("fell", True, "fall: yes"),
    ("effort", 4, "effort 4"),
    ("kg", 46.5, "46.5 kg"),
    ("pain_with", (Modality.PLATE,), "hurt with: plate"),
    ("note", "calf", "note: calf"),
    ("plate", "at home", "which plate: at home"),
]


@each(("name", "value", "words"), WORDS)
def test_in_words(name: str, value: Any, words: str) -> None:
    assert in_words(BY_NAME[name], value) == words


def test_each_choice_has_its_words() -> None:
    keyed: list[Cell] = [cell for cell in CELLS if cell.read is Read.KEY]
    assert keyed
    for cell in keyed:
        assert set(cell.spoken) == set(cell.keys.values()), cell.name
        assert not set(cell.also) & set(cell.keys), cell.name


def test_cells_of_a_day_belong_to_no_kind() -> None:
    assert all(bool(cell.kinds) is (cell.of is not Of.DAY) for cell in CELLS)
