"""Every rule of the table: a case that fires, one that does not, one not recorded."""

from __future__ import annotations

import dataclasses
import re
from typing import Any

from patients.facts import codes
from patients.facts.declared import Facts
from patients.facts.question import Kind, asks
from safety.findings import ALL, Finding, Level, Modality
from safety.rules.all_rules import RULES
from safety.rules.rule import Rule, Unanswered
from safety.sources import SOURCES
from tests.each import each
from tests.safety.looking import found
from tests.safety.rules.cases import case_of

BY_CODE = {rule.code: rule for rule in RULES}


every_rule = each("code", sorted(BY_CODE))


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
    # Treatment that blocks hormones bears on the fracture risk alone.
    assert {f"conditions.{code}" for code in codes.CONDITIONS} - read == {
        "conditions.hormone_blocking_treatment"
    }
    assert {f"symptoms.{code}" for code in codes.SYMPTOMS} <= read


@every_rule
def test_is_worded_for_women_and_men_alike(code: str) -> None:
    said = f"{BY_CODE[code].reason} {BY_CODE[code].evidence}"
    for changes in (case_of(BY_CODE[code]).fires, case_of(BY_CODE[code]).unrecorded):
        finding = found(code, **changes)
        if finding is not None:
            said += " ".join((finding.text, *finding.facts, *finding.missing))
    assert not {"she", "her", "hers", "he", "his", "him"} & set(re.findall(r"\w+", said.lower()))
