"""The draft/1 document: plain, whole, and the errors of a line that is none."""

from __future__ import annotations

import json

from programs.draft.document import answer, refusal, write
from programs.draft.draft import draft
from programs.week.week import WEEK
from safety.rules.all_rules import RULEBOOK
from tests.people import clearance, facts, steady_document


def test_a_document_answers_as_its_draft_is_written() -> None:
    document = steady_document()
    assert answer(document) == write(draft(facts(document)))


def test_it_is_json_and_holds_what_the_format_names() -> None:
    found = json.loads(json.dumps(answer(steady_document()), allow_nan=False))
    assert set(found) == {
        *("format", "rulebook", "assessment", "findings", "issuable", "modalities", "weeks"),
        *("left_out", "timetable", "reviews"),
    }
    assert (found["format"], found["rulebook"]) == ("draft/1", RULEBOOK)
    assert set(found["weeks"][0]) == {
        *("week", "minutes", "plate", "resistance", "impact", "balance", "posture")
    }
    assert set(found["timetable"]) <= set(WEEK)


def test_the_assessment_says_function_and_how_she_trains() -> None:
    told = answer(steady_document())["assessment"]
    assert (told["low_function"], told["training_posture"]) == ("no", "standing")
    assert told["one_rm_kg"] == {"leg_press": 69.8}
    sits = answer(steady_document(person={"mobility": "wheelchair"}))["assessment"]
    assert (sits["low_function"], sits["training_posture"]) == ("unknown", "seated")
    reasons = answer(steady_document(falls={"last_12_months": 2}))["assessment"]["reasons"]
    assert any(one["sources"] and "fall" in one["text"].casefold() for one in reasons)


def test_until_is_the_last_day_of_the_clearance_or_null() -> None:
    cleared = {"answer": "yes", "cleared": [clearance("plate", until="2026-05-11")]}
    found = answer(steady_document(conditions={"other_metalwork": cleared}))["modalities"]
    assert found["plate"]["until"] == "2026-05-11"
    assert found["balance"]["until"] is None


def test_a_line_that_is_no_facts_document_says_what_is_wrong() -> None:
    found = answer({"format": "facts/1", "as_of": "2026-03-02", "person": {"sex": "female"}})
    assert found["format"] == "draft/1"
    assert [one["at"] for one in found["errors"]] == ["person.born"]
    assert found["errors"][0]["text"]
    assert refusal(()) == {"format": "draft/1", "errors": []}
