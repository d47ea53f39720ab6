"""The paper of everything kept: values in words, what each save changed, how much is printed."""

from __future__ import annotations

from typing import Any

import pytest

from programs.export.document import document
from programs.export.tables import TABLES
from programs.papers import whole_record
from programs.papers.whole_record import MOST_IN_CELLS, MOST_ROWS, Known, in_words
from programs.papers.whole_record import whole_record as paper_of
from programs.signed.snapshot import digest_of
from tests.people import steady

NOTHING_KNOWN = Known(facts=None, answered={}, problems=())
USERS = [{"id": 7, "username": "m.ferro", "name": "Marta Ferro"}]


def person(**more: Any) -> dict[str, Any]:
    who = {
        "id": 3,
        "record_number": "T3",
        "given_name": "Orla",
        "family_name": "Testwick",
        "born": "1959-08-14",
        "born_is": "day",
        "born_estimated": False,
        "goes_by": "",
        "gender": "",
        "table_sex": "",
        "sex": "female",
        "created_by_id": 7,
        "created_at": "2026-03-02T09:30:00Z",
    }
    return who | more


def save(number: int, answers: dict[str, Any], patient: int = 3) -> dict[str, Any]:
    return {
        "id": number,
        "patient_id": patient,
        "as_of": "2026-03-02",
        "section": "falls",
        "answers": answers,
        "made_by_id": 7,
    }


def held(who: dict[str, Any] | None = None, **rows: Any) -> Any:
    return document(
        clinic="0" * 64,
        patient_id=3,
        records=[3],
        rows={table.key: [] for table in TABLES} | {"people": [who or person()]} | rows,
        lines=rows.pop("lines", ()),
        papers_hold={},
        users=USERS,
    )


def part(title: str, told: Any) -> Any:
    (found,) = (one for one in told.parts if one.title == title)
    return found


def texts(found: Any) -> list[tuple[str, ...]]:
    return [tuple(cell.text.replace("\u00a0", " ") for cell in row) for row in found.rows]


@pytest.mark.parametrize(
    ("column", "value", "words"),
    [
        ("note", None, "–"),
        ("note", "", "–"),
        ("sets", [], "–"),
        ("chosen", {}, "–"),
        ("healed", False, "no"),
        ("healed", True, "yes"),
        ("reps", 0, "0"),
        ("t", "-2.1", "-2.1"),
        ("by_id", 7, "Marta Ferro"),
        ("plan_id", 7, "7"),
        ("date", "2026-03-02", "2 Mar 2026"),
        ("at", "2026-03-02T09:30:00Z", "2 Mar 2026, 09:30"),
        ("site", "total_hip", "total hip"),
        ("note", "see_plan of 2026-03-02", "see_plan of 2026-03-02"),
        ("digest", "ab" * 32, " ".join(["abababab"] * 8)),
        ("resting_bp", [128, 76], "128/76"),
        ("unable", ["one_leg_s", "grip_kg"], "one leg s, grip kg"),
        ("answers", {"falls": {"a": "no"}, "aims": []}, "aims: none; falls, a: no"),
        ("sets", [{"kg": 5}, {"kg": None}], "1, kg: 5; 2, kg: –"),
        ("chosen", {"rows": [[1, 2], [3]]}, "rows 1: 1, 2; rows 2: 3"),
    ],
)
def test_a_value_in_words(column: str, value: Any, words: str) -> None:
    assert in_words(column, value, {7: "Marta Ferro"}).replace("\u00a0", " ") == words


@pytest.mark.parametrize(
    ("born_is", "words"), [("day", "14 Aug 1959"), ("month", "Aug 1959"), ("year", "1959")]
)
def test_no_more_is_told_of_her_birth_than_is_known(born_is: str, words: str) -> None:
    assert paper_of(held(person(born_is=born_is)), NOTHING_KNOWN).born == words


def test_an_estimated_year_of_birth_is_told_as_one() -> None:
    estimated = person(born_is="year", born_estimated=True)
    assert paper_of(held(estimated), NOTHING_KNOWN).born == "about 1959 (estimated)"


def test_each_save_tells_what_it_changed() -> None:
    first = {"falls": {"unsteady": "no", "worried": "no"}, "aims": ["hip"]}
    second = {"falls": {"unsteady": "yes", "worried": "no"}, "fractures": []}
    told = paper_of(held(answers=[save(1, first), save(2, second), save(3, second)]), NOTHING_KNOWN)
    rows = [row[2] for row in texts(part("Answers over time", told))]
    assert rows == [
        "aims: hip; falls, unsteady: no; falls, worried: no",
        "aims: taken out; falls, unsteady: yes; fractures: none",
        "–",
    ]


def test_the_saves_of_two_records_are_held_apart() -> None:
    answers = {"aims": ["hip"]}
    told = paper_of(held(answers=[save(1, answers), save(2, answers, patient=4)]), NOTHING_KNOWN)
    assert [row[2] for row in texts(part("Answers over time", told))] == ["aims: hip"] * 2


def test_the_tests_of_a_day_stand_in_one_text() -> None:
    row = dict.fromkeys(whole_record.asks(whole_record.Tests)) | {
        "date": "2026-03-02",
        "up_and_go_s": "8.4",
        "resting_bp": [126, 76],
        "unable": ["grip_kg"],
        "worry": [1, None],
        "entered_by_id": 7,
        "withdrawn_reason": "",
    }
    quiet = row | {"worry": None, "unable": []}
    told = paper_of(held(function_tests=[row, quiet]), NOTHING_KNOWN)
    assert texts(part("Function tests", told)) == [
        (
            "2 Mar 2026",
            "Timed Up and Go 8.4 s; Resting blood pressure 126/76 mmHg; "
            "Attempted, not possible grip kg; Worry scale 1, –",
            "Marta Ferro",
        ),
        ("2 Mar 2026", "Timed Up and Go 8.4 s; Resting blood pressure 126/76 mmHg", "Marta Ferro"),
    ]


def test_a_column_that_holds_nothing_is_left_out_and_so_is_an_empty_table() -> None:
    told = paper_of(held(person(record_number="")), NOTHING_KNOWN)
    assert "Record number" not in part("Name and birth", told).heads
    assert "Density scans" in told.empty
    assert [one.title for one in told.parts] == ["Name and birth"]


def test_of_a_long_table_the_newest_are_printed_and_the_rest_counted() -> None:
    many = [save(number, {"aims": [f"aim{number}"]}) for number in range(MOST_ROWS + 5)]
    found = part("Answers over time", paper_of(held(answers=many), NOTHING_KNOWN))
    assert (len(found.lines), found.rows, found.left) == (MOST_ROWS, (), 5)
    assert found.lines[-1].replace("\u00a0", " ") == (
        f"Day: 2 Mar 2026; Saved: falls; What changed: aims: aim{MOST_ROWS + 4}; By: Marta Ferro"
    )


def test_a_table_is_printed_in_cells_while_it_is_short() -> None:
    few = [save(number, {"aims": [f"aim{number}"]}) for number in range(MOST_IN_CELLS)]
    found = part("Answers over time", paper_of(held(answers=few), NOTHING_KNOWN))
    assert (len(found.rows), found.lines) == (MOST_IN_CELLS, ())
    more = [*few, save(99, few[-1]["answers"])]
    found = part("Answers over time", paper_of(held(answers=more), NOTHING_KNOWN))
    assert (len(found.lines), found.rows) == (MOST_IN_CELLS + 1, ())
    assert "What changed" not in found.lines[-1]


def test_a_word_that_no_column_is_wide_enough_for_may_be_broken() -> None:
    found = part("Name and birth", paper_of(held(person(record_number="T" * 40)), NOTHING_KNOWN))
    assert [cell.text for row in found.rows for cell in row if cell.long] == ["T" * 40]


def test_a_line_of_the_record_names_its_table_as_a_reader_does() -> None:
    line = {
        "seq": 5,
        "at": "2026-03-02T09:30:00Z",
        "actor_name": "Marta Ferro",
        "action": "add scan",
        "object_type": "patients.scanrow",
        "object_id": "12",
        "reason": "",
    }
    (row,) = texts(paper_of(held(lines=[line]), NOTHING_KNOWN).record)
    assert row == ("5", "2 Mar 2026, 09:30", "Marta Ferro", "add scan", "Density scans", "12")


def test_a_signed_text_that_is_no_program_is_said_to_be_none() -> None:
    row = {"id": 9, "version": 1, "signed_name": "Marta Ferro", "body": "{}"}
    row |= dict.fromkeys(("signed_at", "meaning", "rulebook"), "x") | {"digest": digest_of("{}")}
    told = paper_of(held(signed_programs=[row]), NOTHING_KNOWN)
    assert told.programs[0].doses == ()
    assert "format" in told.programs[0].wrong


def test_what_is_known_stands_first_in_words() -> None:
    known = Known(facts=steady(), answered={}, problems=())
    told = paper_of(held(), known)
    assert told.as_of == "2 Mar 2026"
    assert "Falls" in [reading.section.title for reading in told.readings]
