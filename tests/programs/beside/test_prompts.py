"""The prompts beside the exercise: what they give, and their sources."""

import datetime as dt

import pytest

from programs.beside.prompts import ANSWERS, PROMPTS
from programs.beside.said import AGREES, REFUSES, Said


def test_each_thing_that_was_asked_for_has_its_prompt():
    assert list(PROMPTS) == [
        *("medicine_review", "home_hazards", "vision", "feet", "alarm"),
        *("protein", "calcium", "vitamin_d"),
    ]
    assert list(ANSWERS.values()) == ["done", "declined", "not now", "referred to"]


def test_each_prompt_names_its_sources_and_what_is_from_memory_says_so():
    for prompt in PROMPTS.values():
        assert prompt.ask.endswith(".")
        assert prompt.sources
        for source in prompt.sources:
            assert source.checked or "From memory, to be confirmed." in source.text


@pytest.mark.parametrize(
    "code, figure",
    [
        # Deutz 2014, ESPEN expert group, abstract: 1.0-1.2 g/kg, 1.2-1.5 where ill.
        ("protein", "1.0 to 1.2 g for each kg"),
        ("protein", "1.2 to 1.5 g for each kg"),
        # Institute of Medicine 2011: calcium 1,000 mg, 1,200 mg for women from 51, men from 71.
        ("calcium", "1,000 mg a day to 50 years, and for men to 70; 1,200 mg for women from 51"),
        ("calcium", "and for men from 71"),
        # Institute of Medicine 2011: vitamin D 600 IU to 70 years, 800 IU above.
        ("vitamin_d", "600 IU (15 µg) a day to 70 years, 800 IU (20 µg) from 71"),
        # Osteoporosis Canada 2023, from memory, to be confirmed.
        ("vitamin_d", "400 IU (10 µg)"),
    ],
)
def test_each_amount_is_that_of_its_source(code, figure):
    assert figure in " ".join(PROMPTS[code].figures)


def test_what_she_said_is_told_in_her_words_with_day_and_asker():
    day = dt.date(2028, 2, 29)
    said = Said(said=REFUSES, words="It's not for me", on=day, asked_by="Dr O'Vale")
    assert said.refuses
    assert said.text == ("Does not want it: “It's not for me”. Asked by Dr O'Vale on 29 Feb 2028.")
    agreed = Said(said=AGREES, words="", on=day, asked_by="Dr O'Vale")
    assert not agreed.refuses
    assert agreed.text == "Agrees to it. Asked by Dr O'Vale on 29 Feb 2028."
