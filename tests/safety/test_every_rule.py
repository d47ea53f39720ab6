"""Every rule of the table: a case that fires, one that does not, one not recorded."""

from __future__ import annotations

import dataclasses
import re
from dataclasses import dataclass
from typing import Any

import pytest

from patients import codes
from patients.asking import Kind, asks
from patients.facts import Facts
from safety.findings import ALL, Finding, Level, Modality
from safety.rules.book import RULES
from safety.rules.rule import Rule, Unanswered
from safety.sources import SOURCES
from tests.people import clearance, fracture, scan
from tests.safety.looking import days_ago, found

BY_CODE = {rule.code: rule for rule in RULES}


@dataclass(frozen=True, kw_only=True)
class Case:
    """Changes to the steady person.

    asked_by   the rule that asks where this one leaves the asking to another
    """

    fires: dict[str, Any]
    spares: dict[str, Any]
    unrecorded: dict[str, Any]
    asked_by: str = ""


def _blackout(answer: str, *cleared_for: str) -> dict[str, Any]:
    given = {"for": "blackout", **clearance(*cleared_for)}
    return {"symptoms": {"blackout": answer}, "clearances": [given]}


def _condition(code: str, answer: object) -> dict[str, Any]:
    return {"conditions": {code: answer}}


_YOUNG = {"born": "1986-05-01", "menopause": "before"}
_SCANS = [scan(t=-1.8, z=-0.4)]
_NO_FRACTURES = {"fractures": None}
_ALONE = {"supervised": "no", "watcher": "no"}
_STEROID_YES = {"answer": "yes", "mg_per_day": 7.5, "months": 6}
#: By the part of a rule's code that its modalities share.
CASES = {
    **{
        f"blackout.not_cleared.{m}": Case(
            fires=_blackout("yes", *(other for other in codes.MODALITIES if other != m)),
            spares=_blackout("yes", *codes.MODALITIES),
            unrecorded=_blackout("unknown", *codes.MODALITIES),
            asked_by="red_flag.blackout",
        )
        for m in codes.MODALITIES
    },
    "fracture.under_4_weeks": Case(
        fires={"fractures": [fracture("wrist", days_ago(27))]},
        spares={"fractures": [fracture("wrist", days_ago(28))]},
        unrecorded={"fractures": [fracture("wrist", None)]},
        asked_by="fracture.healing_unknown.plate",
    ),
    "fracture.mending": Case(
        fires={"fractures": [fracture("wrist", days_ago(84))]},
        spares={"fractures": [fracture("wrist", days_ago(85))]},
        unrecorded={"fractures": [{"site": "wrist", "date": days_ago(200)}]},
        asked_by="fracture.healing_unknown.plate",
    ),
    "fracture.healing_unknown": Case(
        fires={"fractures": [{"site": "wrist", "date": days_ago(200)}]},
        spares={"fractures": [fracture("wrist", days_ago(200))]},
        unrecorded={"fractures": [{"site": "wrist"}]},
    ),
    "fracture.not_asked": Case(
        fires=_NO_FRACTURES, spares={"fractures": []}, unrecorded=_NO_FRACTURES
    ),
    "fragile_spine": Case(
        fires={"fractures": [fracture("vertebra", "2019-05-01")]},
        spares={"fractures": [fracture("wrist", "2019-05-01")]},
        unrecorded=_NO_FRACTURES,
        asked_by="fracture.not_asked.plate",
    ),
    "spine_not_imaged": Case(
        fires={"person": {"tallest_height_cm": 167}},
        spares={"person": {"tallest_height_cm": 166.9}},
        unrecorded={"person": {"height_cm": None}},
        asked_by="height.not_recorded",
    ),
    "glucocorticoid.not_recorded": Case(
        fires={"medicines": {"glucocorticoid": "unknown"}},
        spares={"medicines": {"glucocorticoid": _STEROID_YES}},
        unrecorded={"medicines": None},
    ),
    "height.not_recorded": Case(
        fires={"person": {"height_cm": None}}, spares={}, unrecorded={"person": {"height_cm": None}}
    ),
    "pressure.over_180_110": Case(
        fires={"tests": {"resting_bp": [181, 76]}},
        spares={"tests": {"resting_bp": [180, 110]}},
        unrecorded={"tests": None},
        asked_by="pressure.not_measured.plate",
    ),
    "pressure.over_160_100": Case(
        fires={"tests": {"resting_bp": [161, 76]}},
        spares={"tests": {"resting_bp": [160, 100]}},
        unrecorded={"tests": {"resting_bp": None}},
        asked_by="pressure.not_measured.plate",
    ),
    "pressure.not_measured": Case(
        fires={"tests": {"resting_bp": None}}, spares={}, unrecorded={"tests": None}
    ),
    "pressure.refer": Case(
        fires={"tests": {"resting_bp": [126, 111]}},
        spares={"tests": {"resting_bp": [126, 110]}},
        unrecorded={"tests": None},
        asked_by="pressure.not_measured.plate",
    ),
    "pressure.standing_fall": Case(
        fires={"tests": {"standing_bp": [106, 76]}},
        spares={"tests": {"standing_bp": [107, 76]}},
        unrecorded={"tests": {"standing_bp": None}},
    ),
    "low_t": Case(
        fires={"scans": [scan(t=-3.5)]},
        spares={"scans": [scan(t=-3.4)]},
        unrecorded={"scans": None},
    ),
    "falls.high": Case(
        fires={"falls": {"last_12_months": 2}},
        spares={"falls": {"last_12_months": 1}},
        unrecorded={"falls": None},
        asked_by="falls.not_asked",
    ),
    "falls.not_asked": Case(
        fires={"falls": None},
        spares={"falls": {"last_12_months": 0}},
        unrecorded={"falls": {"last_12_months": 1, "injury": "unknown"}},
    ),
    "pregnancy": Case(
        fires={"person": {**_YOUNG, "pregnant": "yes"}, "scans": _SCANS},
        spares={"person": {**_YOUNG, "pregnant": "no"}, "scans": _SCANS},
        unrecorded={"person": {**_YOUNG, "pregnant": None}, "scans": _SCANS},
    ),
    "cognitive_impairment.alone": Case(
        fires={**_condition("cognitive_impairment", "yes"), "resources": _ALONE},
        spares={**_condition("cognitive_impairment", "yes"), "resources": {"watcher": "yes"}},
        unrecorded={**_condition("cognitive_impairment", "yes"), "resources": {"watcher": None}},
    ),
    "pelvic_floor_symptoms.refer": Case(
        fires=_condition("pelvic_floor_symptoms", "yes"),
        spares=_condition("pelvic_floor_symptoms", "no"),
        unrecorded=_condition("pelvic_floor_symptoms", "unknown"),
        asked_by="pelvic_floor_symptoms.impact",
    ),
}


def _of_condition(code: str, part: str) -> Case:
    old, fresh = {"answer": "yes", "on": "2020-01-01"}, {"answer": "yes", "on": days_ago(10)}
    if part == "date":
        undated = _condition(code, "yes")
        return Case(fires=undated, spares=_condition(code, old), unrecorded=undated)
    fires, spares = (old, fresh) if part == "older" else (fresh, old if part else "no")
    return Case(
        fires=_condition(code, fires),
        spares=_condition(code, spares),
        unrecorded=_condition(code, "unknown"),
        asked_by=f"{code}.recent.plate" if part == "older" else "",
    )


def case_of(rule: Rule) -> Case:
    """Return the case of a rule; a rule without one fails here."""
    shared = rule.code.removesuffix(f".{rule.applies_to}")
    for name in (rule.code, shared, rule.code.removesuffix(".refer")):
        if name in CASES:
            return CASES[name]
    family, _, part = shared.partition(".")
    if family == "red_flag":
        return Case(
            fires={"symptoms": {part: "yes"}},
            spares={"symptoms": {part: "no"}},
            unrecorded={"symptoms": {part: "unknown"}},
        )
    return _of_condition(family, "" if part == rule.applies_to else part)


every_rule = pytest.mark.parametrize("code", sorted(BY_CODE))


@every_rule
def test_fires(code: str) -> None:
    rule, case = BY_CODE[code], case_of(BY_CODE[code])
    finding = found(code, **case.fires)
    assert finding is not None
    assert finding.level == rule.level
    assert finding.about == rule.applies_to
    assert finding.sources == rule.source
    assert not finding.cleared
    assert finding.text
    assert finding.facts or finding.missing


@every_rule
def test_does_not_fire(code: str) -> None:
    assert found(code, **case_of(BY_CODE[code]).spares) is None


@every_rule
def test_not_recorded_is_asked_for_and_never_fine(code: str) -> None:
    rule, case = BY_CODE[code], case_of(BY_CODE[code])
    finding = found(case.asked_by or code, **case.unrecorded)
    assert finding is not None
    assert finding.level is Level.MISSING
    assert finding.missing
    assert all(words in finding.text for words in finding.missing)
    if not case.asked_by:
        _does_what_it_declares(rule, finding)


def _does_what_it_declares(rule: Rule, finding: Finding) -> None:
    does = rule.unanswered
    assert finding.holds == (does is Unanswered.HOLD)
    assert finding.blocks == (does is Unanswered.BLOCK)
    assert finding.limits == (rule.limits if does is Unanswered.DOSE else type(rule.limits)())


def test_the_steady_person_has_no_finding_at_all() -> None:
    assert [code for code in BY_CODE if found(code)] == []


def test_codes_are_unique() -> None:
    assert len(BY_CODE) == len(RULES)


@every_rule
def test_is_declared_with_all_that_a_reader_needs(code: str) -> None:
    rule = BY_CODE[code]
    published = {source.text for source in SOURCES.values()}
    assert rule.source
    assert set(rule.source) <= published
    assert rule.evidence.endswith(".")
    assert rule.reviewed_on < rule.review_by
    assert rule.reason.endswith(".") or (rule.level is Level.MISSING and not rule.reason)
    assert rule.applies_to == ALL or rule.applies_to in tuple(Modality)
    assert not [f for f in dataclasses.fields(rule) if f.default is not dataclasses.MISSING]


@every_rule
def test_reads_facts_that_exist(code: str) -> None:
    for path in BY_CODE[code].reads:
        assert _is_a_fact(path.split(".")), path


def _is_a_fact(path: list[str], of: type[Any] = Facts) -> bool:
    by_key = {ask.key: ask for ask in asks(of).values()}
    if path[0] not in by_key:
        return False
    ask, rest = by_key[path[0]], path[1:]
    if ask.kind is Kind.ANSWERS and rest:
        assert ask.choices is not None
        return rest[0] in ask.choices
    return not rest or (ask.of is not None and _is_a_fact(rest, ask.of))


def test_every_condition_and_red_flag_has_a_rule() -> None:
    read = {path for rule in RULES for path in rule.reads}
    assert {f"conditions.{code}" for code in codes.CONDITIONS} <= read
    assert {f"symptoms.{code}" for code in codes.SYMPTOMS} <= read


@every_rule
def test_is_worded_for_women_and_men_alike(code: str) -> None:
    said = f"{BY_CODE[code].reason} {BY_CODE[code].evidence}"
    for changes in (case_of(BY_CODE[code]).fires, case_of(BY_CODE[code]).unrecorded):
        finding = found(code, **changes)
        if finding is not None:
            said += " ".join((finding.text, *finding.facts, *finding.missing))
    assert not {"she", "her", "hers", "he", "his", "him"} & set(re.findall(r"\w+", said.lower()))
