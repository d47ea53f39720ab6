"""The screen laid out for reading, its words, and the rulebook's chapters."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from hypothesis import given, settings

from safety import reading
from safety.findings import ALL, Level, Limits, Modality
from safety.rulebook import chapters, is_overdue, overdue
from safety.rules.book import RULES
from safety.screen import Status, screen
from safety.words import density_words, fact_words, limits_words, sections_read, why_this_score
from tests.documents import Document, documents
from tests.people import clearance, facts, fracture, scan
from tests.safety.looking import screened, seen


@pytest.mark.slow
@settings(max_examples=200)
@given(documents)
def test_every_finding_is_shown_once_and_nothing_is_lost(document: Document) -> None:
    looked = screen(facts(document))
    stop, parts = reading.stop(looked), (reading.whole(looked), *reading.groups(looked))
    shown = [one.finding for part in parts for one in part.shown]
    shown += [one.finding for one in stop.referred] if stop else []
    assert len(shown) == len(set(map(id, shown)))
    only_asks = [f for f in looked.findings if f not in shown]
    said = {w for part in parts for line in part.unasked for w in (*line.conditions, *line.other)}
    said |= set(stop.unasked) if stop else set()
    for finding in only_asks:
        assert finding.level is Level.MISSING
        assert set(finding.missing) <= said


def test_nothing_blocked_is_no_stop() -> None:
    assert reading.stop(screened()) is None


@pytest.mark.parametrize(
    ("symptoms", "same_day"),
    [
        ({"fever": "yes"}, False),
        ({"fever": "yes", "chest_pain": "yes"}, True),
        ({"chest_pain": "unknown"}, False),
    ],
)
def test_one_stop_for_all(symptoms: dict[str, str], same_day: bool) -> None:
    found = reading.stop(screened(symptoms=symptoms))
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
        ({"conditions": {"stones": "yes"}}, "needs 1 clearance"),
        ({"conditions": {"stones": "yes", "epilepsy": "yes"}}, "needs 2 clearances"),
        ({"conditions": {"stones": "unknown"}}, "needs 1 answer"),
        ({"fractures": None, "conditions": {"stones": "yes"}}, "needs 1 answer and 1 clearance"),
    ],
)
def test_what_is_open_in_a_few_words(changes: dict[str, Any], expected: str) -> None:
    assert reading.open_words(screened(**changes)) == expected


def _plate(**changes: Any) -> reading.Group:
    return reading.groups(screened(**changes))[0]


@pytest.mark.parametrize(
    ("changes", "status", "css", "why"),
    [
        ({}, "Allowed", "fine", ""),
        ({"conditions": {"aneurysm": "yes"}}, "Excluded", "contraindicated", "Aneurysm"),
        ({"conditions": {"stones": "yes"}}, "On hold", "needs_clearance", "waits for clearance of"),
        ({"fractures": None}, "On hold", "needs_clearance", "waits for an answer: fractures"),
        ({"conditions": None}, "On hold", "needs_clearance", "waits for 29 answers"),
        ({"conditions": {"chronic_back_pain": "yes"}}, "Allowed", "fine", "start dose only"),
    ],
)
def test_where_a_modality_stands(changes: dict[str, Any], status: str, css: str, why: str) -> None:
    group = _plate(**changes)
    assert (group.status_words, group.status_class) == (status, css)
    assert group.why.startswith(why)
    assert group.empty == (not changes)


def test_nothing_is_allowed_while_something_stops_all() -> None:
    groups = reading.groups(screened(symptoms={"fever": "yes"}, conditions={"aneurysm": "yes"}))
    found = {(group.status_words, group.status_class) for group in groups}
    assert ("Excluded", "contraindicated") in found
    assert ("Stopped", "contraindicated") in found
    assert len(found) == 2


@pytest.mark.parametrize(
    ("changes", "rule", "words"),
    [
        ({"conditions": {"stones": "yes"}}, "stones.plate", "A clearance lifts it"),
        ({"conditions": {"chronic_back_pain": "yes"}}, "chronic_back_pain.plate", "A review with"),
        ({"conditions": {"aneurysm": "yes"}}, "aneurysm.plate", "It stands as long as"),
        (
            {"conditions": {"stones": {"answer": "yes", "cleared": clearance("plate")}}},
            "stones.plate",
            "It holds again when",
        ),
    ],
)
def test_what_would_change_a_finding(changes: dict[str, Any], rule: str, words: str) -> None:
    (one,) = [one for one in _plate(**changes).shown if one.finding.rule == rule]
    assert one.would_change.startswith(words)


def test_an_eye_doctor_s_clearance_is_asked_for_beside_the_retina() -> None:
    group = _plate(conditions={"retinal_disease": "yes"})
    assert [one.asks_for for one in group.shown] == ["retinal_disease"]


def test_a_finding_that_a_fact_set_off_is_not_taken_for_one_that_only_asks() -> None:
    group = _plate(person={"tallest_height_cm": 170})
    assert [one.finding.rule for one in group.shown] == ["spine_not_imaged.plate"]
    assert group.unasked == ()


def test_one_line_a_consequence() -> None:
    lines = reading.groups(screened(conditions=None, fractures=None, medicines=None))[1].unasked
    assert [line.consequence for line in lines] == [
        "On hold until answered",
        "Dosed with care until answered",
    ]
    assert "fractures" in lines[0].other
    assert "stroke or passing stroke" in lines[0].conditions
    assert lines[0].sections[0] == "fractures"
    assert lines[0].sources


def test_risks_name_what_is_not_recorded_by_the_fact() -> None:
    fractures, falls = reading.risks(
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
    )
    assert fractures.level_words == "not known, drafted as high"
    assert falls.met == ()


def test_a_fall_without_gait_asks_for_gait() -> None:
    tests = {"walk_4m_s": None, "up_and_go_s": 9.0}
    _, falls = reading.risks(screened(falls={"last_12_months": 1}, tests=tests))
    assert falls.unrecorded == ("gait and up-and-go",)


def test_every_criterion_met_is_named() -> None:
    found = reading.risks(screened(fractures=[fracture("vertebra", "2025-05-01")]))[0]
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
        ({"sex": "male", "menopause": "not_applicable"}, "T is read for a man of 50 or more."),
        ({"sex": "male", "born": "1990-01-01"}, "Z is read for a man under 50."),
        ({}, "T is read after menopause."),
        ({"menopause": "before"}, "Z is read before menopause."),
        ({"menopause": None}, "T is read: menopause is not recorded, at 45 or more."),
        (
            {"menopause": None, "born": "1990-01-01"},
            "Z is read: menopause is not recorded, at 44 or less.",
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
        ("conditions.stones", "Gall, kidney or bladder stones"),
        ("conditions.recent_surgery.on", "Surgery: since, or done on"),
        ("symptoms.fever", "Fever"),
        ("resources.watcher", "Another adult at home who has been shown how"),
    ],
)
def test_a_fact_in_words(path: str, words: str) -> None:
    assert fact_words(path) == words


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
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
    assert entries["stones.plate"].lifted == "a clearance"
    assert entries["vertigo.plate"].lifted == "a clearance"
    assert entries["chronic_back_pain.plate"].lifted == "a review with no trouble"
    assert entries["aneurysm.plate"].lifted == ""
    assert entries["fracture.not_asked.plate"].says == "Asks, for as long as it is not recorded."
    assert entries["pressure.over_160_100.impact"].asks == "to 2 body weights"
    assert entries["cognitive_impairment.alone.plate"].reads == (
        "Memory or thinking impaired; Sessions overseen by trained staff; "
        "Another adult at home who has been shown how"
    )
    assert entries["stones.plate"].level_words == "Needs clearance"


def test_overdue_the_day_after() -> None:
    rule = RULES[0]
    assert not is_overdue(rule, rule.review_by)
    assert is_overdue(rule, rule.review_by + dt.timedelta(days=1))
    assert overdue(RULES, rule.review_by) == 0
    assert overdue(RULES, rule.review_by + dt.timedelta(days=1)) == len(RULES)


def test_statuses_are_all_in_words() -> None:
    for status in Status:
        group = reading.Group(
            about=Modality.PLATE, status=status, stopped=False, why="", shown=(), unasked=()
        )
        assert group.status_words
