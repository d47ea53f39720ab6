"""A modality's names, columns and turn stand in one row; the names of days in one table."""

from __future__ import annotations

import ast

import pytest

from patients.facts import codes
from safety.findings import ALL, Modality
from safety.modalities import AS_PLACED, MODALITIES, about_words
from tests.gate.project import ROOT, python_of_apps


def test_each_modality_has_its_row() -> None:
    assert list(MODALITIES) == list(Modality) == list(codes.MODALITIES)
    assert [row.code for row in MODALITIES.values()] == list(Modality)


def test_all_of_them_have_a_turn_and_those_that_lie_apart_come_first() -> None:
    assert sorted(row.placed for row in MODALITIES.values()) == list(range(1, len(Modality) + 1))
    assert AS_PLACED[:2] == (Modality.RESISTANCE, Modality.PLATE)
    assert AS_PLACED[-1] is Modality.BALANCE


@pytest.mark.parametrize(
    ("about", "words"),
    [
        (Modality.PLATE, "Vibration plate"),
        ("posture", "Posture"),
        (ALL, "The whole program"),
    ],
)
def test_what_a_finding_is_about(about: str, words: str) -> None:
    assert about_words(about) == words


def test_what_is_no_modality_has_no_name() -> None:
    with pytest.raises(ValueError, match="swimming"):
        about_words("swimming")


def test_no_second_table_holds_the_names() -> None:
    names = {text.casefold() for row in MODALITIES.values() for text in (row.name, row.title)}
    held = [
        f"{path}:{node.lineno}"
        for path in python_of_apps()
        for node in ast.walk(ast.parse((ROOT / path).read_text()))
        if isinstance(node, ast.Dict) and len(_named(node, names)) > 1
    ]
    assert held == []


def _named(table: ast.Dict, names: set[str]) -> list[str]:
    """Return the names that a table gives to modalities."""
    return [
        value.value
        for key, value in zip(table.keys, table.values, strict=True)
        if isinstance(key, ast.Attribute) and isinstance(value, ast.Constant)
        if isinstance(value.value, str) and value.value.casefold() in names
    ]


def test_a_second_table_would_be_found() -> None:
    (table,) = ast.parse('{Modality.PLATE: "Vibration plate", Modality.IMPACT: 1}').body
    assert isinstance(table, ast.Expr)
    assert isinstance(table.value, ast.Dict)
    assert _named(table.value, {"vibration plate"}) == ["Vibration plate"]


def test_days_are_named_once() -> None:
    held = [
        str(path)
        for path in python_of_apps()
        for node in ast.walk(ast.parse((ROOT / path).read_text()))
        if isinstance(node, ast.Constant) and node.value == codes.DAYS["tue"]
    ]
    assert held == ["patients/facts/codes.py"]
