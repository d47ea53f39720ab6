"""The questions of a day in her own words; texts of columns said in words."""

from __future__ import annotations

import datetime as dt

from programs.actions.papers import words_of
from programs.exercises import EXERCISES
from programs.log.day import Column, all_columns
from programs.log.entries import read_day
from programs.log.her_form import Field, Group, groups_of
from programs.log.told import day_words
from programs.papers import ENGLISH, Words
from safety.findings import Modality

DAY = dt.date(2026, 3, 4)
KINDS = (Modality.PLATE, Modality.RESISTANCE, Modality.BALANCE)
COLUMNS = all_columns(KINDS, ("leg_press",))
NAMES = {name: one.name for name, one in EXERCISES.items()}


def groups(texts: dict[str, str] | None = None, words: Words = ENGLISH) -> tuple[Group, ...]:
    held = texts or {}
    by_column: dict[Column, str] = {c: held[c.name] for c in COLUMNS if c.name in held}
    return groups_of(
        COLUMNS,
        planned=[Modality.BALANCE],
        texts=held,
        wrong=read_day(DAY, by_column, ("at home",)).wrong,
        plates=("at home",),
        lift_names=NAMES,
        words=words,
    )


def fields(texts: dict[str, str] | None = None, words: Words = ENGLISH) -> dict[str, Field]:
    return {one.name: one for group in groups(texts, words) for one in group.fields}


def test_every_column_of_the_declaration_is_asked_once() -> None:
    asked = [one.name for group in groups() for one in group.fields]
    assert sorted(asked) == sorted(column.name for column in COLUMNS)


def test_what_is_planned_comes_first_then_the_day() -> None:
    titles = [(one.title, one.planned, one.of_day) for one in groups()]
    assert titles[:2] == [("Balance", True, False), ("About the day", False, True)]
    assert [planned or of_day for _, planned, of_day in titles[2:]] == [False, False]


def test_each_is_asked_as_the_declaration_reads_it() -> None:
    found = fields({"day.pain_with": "VB", "resistance.kg:leg_press": "40"})
    assert found["balance.done"].options[0] == ("A", "All of it")
    assert found["day.pain"].options[-1] == ("X", "10")
    assert found["day.pain_with"].several
    assert found["day.pain_with"].chosen == ("V", "B")
    assert found["day.pain"].chosen == ("",)
    assert found["plate.plate"].options == (
        ("at home", "at home"),
        ("another plate", "Another plate"),
    )
    lift = found["resistance.kg:leg_press"]
    assert (lift.number, lift.unit, lift.text, lift.options) == (True, "kg", "40", ())
    assert lift.asked.startswith(f"{NAMES['leg_press']}: ")


def test_a_group_with_anything_in_it_is_open() -> None:
    held = {group.title: group for group in groups({"resistance.kg:leg_press": "4"})}
    assert not held["Vibration plate"].open
    assert [one.open for one in groups({"resistance.kg:leg_press": "4"})].count(True) == 1


def test_what_is_wrong_is_said_in_her_words() -> None:
    texts = {
        "resistance.kg:leg_press": "900",
        "resistance.done": "A",
        "balance.effort": "4",
        "plate.done": "A",
        "plate.broken_off": "Y",
        "day.pain_settled": "Y",
        "day.fell": "perhaps",
        "day.note": "x" * 201,
    }
    found = fields(texts)
    assert found["resistance.kg:leg_press"].error == "Write a number from 0 to 500, like 12.5."
    assert found["balance.done"].error == "Say how much of it you did."
    assert found["plate.broken_off"].error == "You had to stop, so you did not do all of it."
    assert found["day.pain"].error == "Say how bad the pain was."
    assert found["day.fell"].error == "Choose one of the answers."
    assert found["day.note"].error == "Write this in 200 letters or less."
    assert found["day.note"].text == "x" * 201
    assert fields(texts, words_of("es"))["day.fell"].error == "Elija una de las respuestas."


def test_texts_of_the_day_in_words() -> None:
    told = {
        "balance.done": "A",
        "day.pain": "X",
        "day.fell": "Y",
        "day.red_flag": "chest pain",
        "day.ill": "perhaps",
    }
    said = day_words(told)
    assert said == ("pain 10", "fall: yes", "warning sign: chest pain", "ill: perhaps")
