"""The screen laid out for reading, its words, and the rulebook's chapters."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from safety import screen_page
from safety.findings import ALL, Limits, Modality
from safety.rulebook_page import chapters, is_overdue, overdue
from safety.rules.all_rules import RULES
from safety.rules.conditions import TABLE_RULES
from safety.rules.rule import Unanswered
from safety.screen import Status
from safety.words import density_words, fact_words, limits_words, sections_read, why_this_score
from tests.each import each
from tests.people import fracture, scan
from tests.safety.looking import screened, seen

#: Conditions that hold the plate while nobody has asked; a pair of rules asks once.
HOLD_PLATE = {
    rule.reads[0]
    for rule in TABLE_RULES
    if rule.applies_to is Modality.PLATE and rule.unanswered is Unanswered.HOLD
}
#: Beside them: whether somebody is there, for one who may forget.
WAITS_FOR = len(HOLD_PLATE) + 1
METAL = {"conditions": {"other_metalwork": "yes"}}


def test_nothing_blocked_is_no_stop() -> None:
    assert screen_page.stop(screened()) is None


@pytest.mark.parametrize(
    ("symptoms", "same_day"),
    [
        ({"fever": "yes"}, False),
        ({"fever": "yes", "chest_pain": "yes"}, True),
        ({"chest_pain": "unknown"}, False),
    ],
)
def test_one_stop_for_all(symptoms: dict[str, str], same_day: bool) -> None:
    found = screen_page.stop(screened(symptoms=symptoms))
    assert found is not None
    assert found.same_day == same_day
    assert len(found.referred) == list(symptoms.values()).count("yes")
    assert len(found.unasked) == list(symptoms.values()).count("unknown")


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, ""),
        ({"symptoms": {"fever": "yes"}}, "stopped"),
        ({"symptoms": {"fever": "unknown"}}, "red flags not asked"),
        ({"symptoms": {"fever": "unknown", "chest_pain": "yes"}}, "stopped"),
        (METAL, "needs 1 clearance"),
        ({"conditions": {"other_metalwork": "yes", "vertigo": "yes"}}, "needs 2 clearances"),
        ({"conditions": {"other_metalwork": "unknown"}}, "needs 1 answer"),
        (
            {"fractures": None, "conditions": {"other_metalwork": "yes"}},
            "needs 1 answer and 1 clearance",
        ),
    ],
)
def test_what_is_open_in_a_few_words(changes: dict[str, Any], expected: str) -> None:
    assert screen_page.open_words(screened(**changes)) == expected


def _plate(**changes: Any) -> screen_page.Group:
    return screen_page.groups(screened(**changes))[0]


@pytest.mark.parametrize(
    ("changes", "status", "css", "why"),
    [
        ({}, "Allowed", "fine", ""),
        ({"conditions": {"aneurysm": "yes"}}, "Excluded", "contraindicated", "Aneurysm"),
        (
            METAL,
            "On hold",
            "needs_clearance",
            "waits for clearance of",
        ),
        ({"fractures": None}, "On hold", "needs_clearance", "waits for an answer: fractures"),
        ({"conditions": None}, "On hold", "needs_clearance", f"waits for {WAITS_FOR} answers"),
        ({"conditions": {"chronic_back_pain": "yes"}}, "Allowed", "fine", "start dose only"),
    ],
)
def test_where_a_modality_stands(changes: dict[str, Any], status: str, css: str, why: str) -> None:
    group = _plate(**changes)
    assert (group.status_words, group.status_class) == (status, css)
    assert group.why.startswith(why)
    assert group.empty == (not changes)


def test_nothing_is_allowed_while_something_stops_all() -> None:
    groups = screen_page.groups(screened(symptoms={"fever": "yes"}, conditions={"aneurysm": "yes"}))
    found = {(group.status_words, group.status_class) for group in groups}
    assert ("Excluded", "contraindicated") in found
    assert ("Stopped", "contraindicated") in found
    assert len(found) == 2


def test_risks_name_what_is_not_recorded_by_the_fact() -> None:
    fractures, falls = screen_page.risks(
        screened(scans=None, fractures=None, medicines=None, falls=None, tests=None)
    )
    assert fractures.unrecorded == (
        "fractures",
        "a density result",
        "ten-year probability of a major fracture",
        "ten-year probability of a hip fracture",
        "glucocorticoid, its dose and months",
    )
    assert falls.unrecorded == (
        "falls in the last 12 months",
        "function tests",
        "feeling unsteady",
        "medicines that make drowsy",
    )
    assert fractures.level_words == "not known, drafted as high"
    assert falls.met == ()


def test_mobility_and_hormone_treatment_are_asked_for() -> None:
    changes = {"person": {"mobility": "unknown"}, "conditions": {"otherwise": "unknown"}}
    bone, falls = screen_page.risks(screened(**changes))
    assert "treatment that blocks sex hormones" in bone.unrecorded
    assert falls.unrecorded == ("mobility indoors",)


def test_every_criterion_met_is_named() -> None:
    found = screen_page.risks(screened(fractures=[fracture("vertebra", "2025-05-01")]))[0]
    assert [c.code for c in found.met] == [
        "fracture_risk.recent_fracture",
        "fracture_risk.earlier_fracture",
        "fracture_risk.t_1_0",
    ]
    assert found.level_words == "very high"


# --- Words ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("person", "words"),
    [
        ({"sex": "male", "menopause": "not_applicable"}, "T-score used, for a man of 50 or more."),
        ({"sex": "male", "born": "1990-01-01"}, "Z-score used, for a man under 50."),
        ({}, "T-score used, after menopause."),
        ({"menopause": "before"}, "Z-score used, before menopause."),
        ({"menopause": None}, "T-score used: menopause is not recorded, at 45 or more."),
        (
            {"menopause": None, "born": "1990-01-01"},
            "Z-score used: menopause is not recorded, at 44 or less.",
        ),
    ],
)
def test_why_t_or_z(person: dict[str, Any], words: str) -> None:
    assert why_this_score(seen(person=person)) == words


def test_which_site_decided() -> None:
    assert density_words(seen()) == "T-score −1.9 at the femoral neck, 20 Jan 2026"
    assert density_words(seen(scans=[])) == ""
    assert density_words(seen(scans=[scan(z=-1.0)])) == ""


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("fractures", "Fractures"),
        ("person.height_cm", "Height today"),
        ("tests.resting_bp", "Resting blood pressure"),
        ("conditions.other_metalwork", "Other pins, plates or screws in bone"),
        ("conditions.recent_surgery.on", "Surgery: since, or done on"),
        ("symptoms.fever", "Fever"),
        ("resources.watcher", "Another adult at home who has been shown how"),
    ],
)
def test_a_fact_in_words(path: str, words: str) -> None:
    assert fact_words(path) == words


@each("rule", RULES, ids=lambda rule: rule.code)
def test_the_facts_of_every_rule_have_words_and_a_section(rule: Any) -> None:
    assert all(fact_words(path) for path in rule.reads)
    assert sections_read(rule)


def test_limits_in_words() -> None:
    everything = Limits(
        plate_start_dose=True,
        percent_1rm=60,
        reps_in_reserve=3,
        impact_bw=1.5,
        group_c=True,
        near_support=True,
        spare_spine=True,
        no_held_breath=True,
    )
    assert limits_words(everything)[:4] == (
        "start dose only",
        "at most 60 % of 1RM",
        "3 in reserve",
        "to 1.5 body weights",
    )
    assert len(limits_words(everything)) == 8
    assert limits_words(Limits()) == ()


# --- The rulebook ---------------------------------------------------------------------------


def test_every_rule_stands_in_one_chapter() -> None:
    found = chapters(RULES, dt.date(2026, 12, 1))
    assert [chapter.about for chapter in found] == [ALL, *Modality]
    codes = [entry.rule.code for chapter in found for entry in chapter.entries]
    assert sorted(codes) == sorted(rule.code for rule in RULES)
    first = found[0].entries
    assert [e.rule.blocks for e in first] == sorted((e.rule.blocks for e in first), reverse=True)


def test_what_a_rule_says_of_itself() -> None:
    entries = {
        e.rule.code: e for chapter in chapters(RULES, dt.date(2026, 12, 1)) for e in chapter.entries
    }
    assert entries["retinal_disease.plate"].lifted == "a clearance by an eye doctor"
    assert entries["other_metalwork.plate"].lifted == "a clearance"
    assert entries["vertigo.plate"].lifted == "a clearance"
    assert entries["chronic_back_pain.plate"].lifted == "a review with no trouble"
    assert entries["aneurysm.plate"].lifted == ""
    assert entries["fracture.not_asked.plate"].says == "Asks, for as long as it is not recorded."
    assert entries["pressure.over_160_100.impact"].asks == "to 2 body weights"
    assert entries["cognitive_impairment.alone.plate"].reads == (
        "Memory or thinking impaired; Supervised sessions; "
        "Another adult at home who has been shown how"
    )
    assert entries["other_metalwork.plate"].level_words == "Needs clearance"


def test_overdue_the_day_after() -> None:
    rule = RULES[0]
    assert not is_overdue(rule, rule.review_by)
    assert is_overdue(rule, rule.review_by + dt.timedelta(days=1))
    assert overdue(RULES, rule.review_by) == 0
    assert overdue(RULES, rule.review_by + dt.timedelta(days=1)) == len(RULES)


def test_statuses_are_all_in_words() -> None:
    for status in Status:
        group = screen_page.Group(
            about=Modality.PLATE, status=status, stopped=False, why="", empty=True
        )
        assert group.status_words
