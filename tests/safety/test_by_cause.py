"""The screen by cause: no finding lost, none told twice, what stops first stands first."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings

from safety import by_cause, screen_page
from safety.by_cause import Asked, Cause, Open
from safety.findings import Finding, Level, Modality
from safety.rules.all_rules import RULES
from safety.screen import Screen, screen
from tests.documents import Document, documents
from tests.people import clearance, facts, fracture
from tests.safety.looking import screened

STIMULATOR = {"conditions": {"implanted_stimulator": "yes"}}


def cause(code: str, **changes: Any) -> Cause:
    """Return one cause of the steady person with these changes."""
    return next(one for one in by_cause.causes(screened(**changes)) if one.code == code)


def lost_or_twice(looked: Screen) -> tuple[list[Finding], list[str]]:
    """Return the findings that are told nowhere or twice, and the open answers told twice."""
    parts = by_cause.causes(looked)
    told = [f for one in parts for f in one.findings] + list(looked.blocked)
    lines = by_cause.open_answers(looked)
    asking = [f for f in looked.findings if not any(f is other for other in told)]
    words = [word for line in lines for word in (*line.conditions, *line.other)]
    twice = [word for word in set(words) if words.count(word) > 1]
    wrong = [f for f in told if sum(f is other for other in told) != 1]
    wrong += [f for f in asking if not (f.missing and set(f.missing) <= set(words))]
    wrong += [f for f in asking if not any(f is g for line in lines for g in line.findings)]
    return wrong, twice


@pytest.mark.slow
@settings(max_examples=200)
@given(documents)
def test_no_finding_is_lost_and_none_is_told_twice(document: Document) -> None:
    looked = screen(facts(document))
    assert lost_or_twice(looked) == ([], [])
    for line in by_cause.open_answers(looked):
        assert all(set(f.modalities) <= set(line.held) for f in line.findings if f.holds)


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"conditions": None, "fractures": None, "medicines": None, "falls": None, "tests": None},
        {"symptoms": {"blackout": "yes", "fever": "unknown"}, "conditions": {"stroke": "yes"}},
        {"conditions": {"joint_replacement": "yes", "epilepsy": "yes"}, "resources": None},
    ],
)
def test_nothing_is_lost_of_one_person(changes: dict[str, Any]) -> None:
    assert lost_or_twice(screened(**changes)) == ([], [])


def test_a_pacemaker_is_told_once_with_all_that_it_does() -> None:
    (one,) = by_cause.causes(screened(**STIMULATOR))
    assert one.title == "Pacemaker, defibrillator or other implanted stimulator"
    assert one.does == "holds vibration plate and resistance; limits impact"
    assert one.says == (
        "Agreement of the device clinic is needed.",
        "Impact to 2 body weights; no jumps.",
    )
    assert (one.level_words, one.level_class) == ("Needs clearance", "needs_clearance")
    assert one.asks == (
        Asked(
            subject="implanted_stimulator",
            rule="implanted_stimulator.plate",
            modalities=(Modality.PLATE, Modality.RESISTANCE),
        ),
    )
    # That it is answered yes, the title says.
    assert one.facts == ()
    assert one.rules == tuple(
        f"implanted_stimulator.{m}" for m in ("plate", "resistance", "impact")
    )
    assert len(one.sources) == len(set(one.sources))
    assert one.evidence
    assert one.would_change[0].startswith("A clearance lifts it")


def test_what_stops_first_stands_first_and_what_is_cleared_last() -> None:
    cleared = {"answer": "yes", "cleared": clearance("plate")}
    conditions = {
        "other_metalwork": cleared,
        "chronic_back_pain": "yes",
        "stones": {"answer": "yes", "on": "2026-01-05"},
        "aneurysm": "yes",
    }
    found = by_cause.causes(screened(conditions=conditions))
    assert [one.code for one in found] == [
        *("aneurysm", "stones", "chronic_back_pain", "other_metalwork")
    ]
    assert [one.level_class for one in found] == [
        *("contraindicated", "needs_clearance", "precaution", "fine")
    ]
    last = found[-1]
    assert last.level_words == "Cleared"
    assert last.does == "cleared for vibration plate"
    assert any(words.startswith("Cleared by ") for words in last.says)
    assert last.would_change == ("It holds again when the clearance ends.",)
    assert last.asks == ()


def test_what_is_of_one_kind_alone_names_it() -> None:
    one = cause("fracture.arm", fractures=[fracture("wrist", "2026-01-10")])
    assert one.does == "bars vibration plate; limits resistance, impact, balance and posture"
    assert "Impact: no more than brisk walking." in one.says
    assert one.would_change == (
        "It stands as long as the facts do. Correct them if they are wrong.",
    )


def test_two_causes_that_are_one_to_a_reader_ask_for_both_clearances() -> None:
    broken = [fracture("vertebra", "2020-02-10"), fracture("wrist", "2019-05-01")]
    one = cause("fragile_spine", fractures=broken)
    assert one.title == "Vertebral fracture"
    assert any(words.startswith("Vertebral fracture, or two or more") for words in one.says)
    assert [asked.subject for asked in one.asks] == ["vertebral_fracture"]
    two = cause("fragile_spine", fractures=[fracture("humerus", "2019-02-10"), broken[1]])
    assert [asked.subject for asked in two.asks] == ["fracture"]


def test_a_referral_stands_in_its_cause_or_alone() -> None:
    falls = {"last_12_months": 3}
    one = cause("falls.high", falls=falls)
    assert one.says[-1] == "Refer: high fall risk, for a falls assessment."
    assert one.would_change[0] == "A review with no trouble can lift it."
    alone = cause("medicines.sedating", medicines={"opioid": "yes", "antidepressant": "yes"})
    assert alone.title.startswith("Refer for a medicine review")
    assert (alone.does, alone.says) == ("", ())


def test_what_a_cause_lacks_is_asked_for_beside_it() -> None:
    one = cause("spine_not_imaged", person={"tallest_height_cm": 170})
    assert one.level_words == "Not recorded"
    assert one.does.startswith("holds vibration plate; limits ")
    assert one.missing == ("an image of the spine",)
    assert "fractures" in one.sections
    dated = cause("joint_replacement", conditions={"joint_replacement": "yes"})
    assert dated.missing
    assert dated.sections == ("conditions",)


def test_what_is_of_the_whole_program_names_no_kind() -> None:
    one = cause("anticoagulant.knock", medicines={"anticoagulant": "yes"})
    assert one.title == "Takes a blood thinner"
    assert one.does == ""
    assert one.says == ("After any knock on the head, help the same day.",)


def test_open_answers_stand_once_with_what_they_hold() -> None:
    lines = by_cause.open_answers(screened(conditions=None, fractures=None, medicines=None))
    assert [len(line.held) for line in lines] == sorted((len(x.held) for x in lines), reverse=True)
    of_fractures = next(line for line in lines if "fractures" in line.other)
    assert of_fractures.held == (Modality.PLATE, Modality.RESISTANCE, Modality.IMPACT)
    assert of_fractures.consequence.startswith(
        "On hold until answered: vibration plate, resistance and impact. Dosed with care"
    )
    assert "stroke or TIA" in of_fractures.conditions
    assert of_fractures.sections[0] == "fractures"
    assert of_fractures.sources


def test_an_answer_that_holds_nothing_is_asked_for() -> None:
    lines = by_cause.open_answers(screened(falls=None))
    assert [line.consequence for line in lines][-1] == "Asked for"
    bare = Open(held=(), dosed=(), conditions=(), other=("a",), findings=())
    assert bare.consequence == "Asked for"


def test_what_blocks_everything_asks_for_its_clearance_first() -> None:
    looked = screened(symptoms={"blackout": "yes"})
    subjects = [one.subject for one in by_cause.asked(looked)]
    assert subjects[0] == "blackout"
    assert screen_page.stop(looked) is not None


def test_every_rule_is_of_a_cause_that_names_no_kind() -> None:
    names = {by_cause.cause_of(rule) for rule in RULES}
    assert not [name for name in names if name.rpartition(".")[2] in set(Modality)]
    assert len(names) < len(RULES) / 2


def test_asking_is_told_from_what_a_fact_set_off() -> None:
    looked = screened(person={"tallest_height_cm": 170}, fractures=None)
    told = {f.rule: by_cause.only_asks(f) for f in looked.findings if f.level is Level.MISSING}
    assert told["spine_not_imaged.plate"] is False
    assert told["fracture.not_asked.plate"] is True
