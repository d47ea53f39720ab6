"""The index from facts to rules: nothing that has anything to say is passed over."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

import pytest

from patients.facts.declared import Facts
from safety.findings import ALL, Finding, Level
from safety.rules.all_rules import RULES
from safety.rules.index import Index, silent_on
from safety.rules.rule import Rule, Seen, Unanswered, rule
from safety.situation import Situation, situation
from safety.sources import cite
from tests.campaign import Campaign, run
from tests.documents import Document, documents
from tests.people import facts, fracture, steady
from tests.safety.campaigns import CAMPAIGNS
from tests.safety.looking import seen as situation_of

#: Sections whose answers have a plain no.
PLAIN = ("conditions", "symptoms", "medicines", "fractures")
#: They ask anew for the risk without one scan, which copies all facts.
WORK_OUT_ANEW = ("very_high_risk.resistance", "very_high_risk.posture")


def declared(when: Callable[[Situation], Seen], *reads: str) -> Rule:
    """Return a rule of no book."""
    return rule(
        "invented",
        ALL,
        Level.REFER,
        when,
        reads=reads,
        reason="Invented.",
        source=cite("project"),
        evidence="None.",
        unanswered=Unanswered.NOTE,
    )


def by_index(one: Rule, **changes: Any) -> list[Finding]:
    """Return what a book of this rule alone finds in the steady person with changes."""
    return Index.of((one,)).look(situation_of(**changes))


def _stones(s: Situation) -> Seen:
    return Seen(answer=s.facts.condition("stones").answer, missing=("stones",))


def test_a_fact_that_is_no_plain_no_calls_for_its_rule() -> None:
    one = declared(_stones, "conditions.stones")
    assert silent_on(one) == {"conditions.stones"}
    assert by_index(one) == []
    assert [f.level for f in by_index(one, conditions={"stones": "yes"})] == [Level.REFER]
    assert [f.level for f in by_index(one, conditions={"stones": "unknown"})] == [Level.MISSING]
    assert [f.level for f in by_index(one, conditions=None)] == [Level.MISSING]


def _stones_or_hernia(s: Situation) -> Seen:
    answers = [s.facts.condition(code).answer for code in ("stones", "hernia")]
    return Seen(answer=any(answers))


def test_a_rule_of_two_facts_is_called_for_by_either() -> None:
    one = declared(_stones_or_hernia, "conditions.stones", "conditions.hernia")
    assert by_index(one) == []
    assert by_index(one, conditions={"stones": "yes"})
    assert by_index(one, conditions={"hernia": "yes"})


def test_a_rule_whose_reads_leave_out_what_it_uses_looks_at_everybody() -> None:
    one = declared(_stones_or_hernia, "conditions.stones")
    assert silent_on(one) == set()
    assert by_index(one, conditions={"hernia": "yes"})


def _on_its_day(s: Situation) -> Seen:
    return Seen(answer=s.facts.condition("stones").on is None)


def _guessing(s: Situation) -> Seen:
    return Seen(answer=getattr(s.facts.condition("stones"), "on", False) is None)


def _of_the_day(s: Situation) -> Seen:
    return Seen(answer=s.facts.condition("stones").answer is False and s.day.year > 2000)


def _of_the_mapping(s: Situation) -> Seen:
    return Seen(answer="stones" in (s.facts.conditions or {}))


def _says_so_of_a_no(s: Situation) -> Seen:
    return Seen(answer=s.facts.condition("stones").answer is False)


def _asks_after_a_no(s: Situation) -> Seen:
    answer = s.facts.condition("stones").answer
    return Seen(answer=None if answer is False else False, missing=("why not",))


@pytest.mark.parametrize(
    "when",
    [_on_its_day, _guessing, _of_the_day, _of_the_mapping, _says_so_of_a_no, _asks_after_a_no],
)
def test_what_a_plain_no_does_not_settle_is_looked_at(when: Callable[[Situation], Seen]) -> None:
    one = declared(when, "conditions.stones")
    assert silent_on(one) == set()
    assert by_index(one)


def _broken(s: Situation) -> Seen:
    return Seen(answer=bool(s.fractures)) if s.fractures is not None else Seen(answer=None)


def test_only_an_empty_list_is_a_plain_no_of_fractures() -> None:
    one = declared(_broken, "fractures")
    assert silent_on(one) == {"fractures"}
    assert by_index(one, fractures=[]) == []
    assert by_index(one, fractures=[fracture("hip", "2019-05-01")])
    assert [f.level for f in by_index(one, fractures=None)] == [Level.MISSING]


def test_rules_that_ask_alike_are_asked_once_and_found_in_the_order_of_the_book() -> None:
    asked = []

    def first(s: Situation) -> Seen:
        asked.append(s)
        return Seen(answer=True)

    book = [declared(first), declared(lambda _: Seen(answer=True)), declared(first)]
    named = [dataclasses.replace(one, code=code) for one, code in zip(book, "abc", strict=True)]
    index = Index.of(named)
    asked.clear()
    found = index.look(situation_of())
    assert [f.rule for f in found] == ["a", "b", "c"]
    assert len(asked) == 1


def test_a_review_lifts_by_the_index_too() -> None:
    one = dataclasses.replace(declared(lambda _: Seen(answer=True)), review_lifts=True)
    (found,) = Index.of((one,)).look(situation_of(), frozenset({"invented"}))
    assert found.cleared


def test_whatever_has_a_plain_no_is_in_the_index() -> None:
    """A rule that asks for more than its `reads` name would be missing here."""
    of_plain = [r for r in RULES if all(path.split(".")[0] in PLAIN for path in r.reads)]
    assert len(of_plain) >= 200
    assert [r.code for r in of_plain if not silent_on(r)] == []


# --- Each rule of the book asks only for what it declares ------------------------------------


class Followed(Facts):
    """Facts that keep by their path what was asked of them."""

    asked: set[str] = set()

    def __getattribute__(self, name: str) -> Any:
        if name in _OTHERS:
            Followed.asked.add(name)
        return super().__getattribute__(name)

    def condition(self, code: str) -> Any:
        Followed.asked.add(f"conditions.{code}")
        return super().condition(code)

    def symptom(self, code: str) -> Any:
        Followed.asked.add(f"symptoms.{code}")
        return super().symptom(code)

    def medicine(self, code: str) -> Any:
        Followed.asked.add(f"medicines.{code}")
        return super().medicine(code)


_OTHERS = {one.name for one in dataclasses.fields(Facts)} - {*PLAIN[:3], "as_of"}


def undeclared(one: Rule, s: Situation) -> set[str]:
    """Return what a rule asks for and does not name; what is worked out is no asking."""
    followed = dataclasses.replace(s, facts=Followed(**vars(s.facts)))
    Followed.asked.clear()
    one.when(followed)
    heads = {".".join(path.split(".")[:2]) for path in one.reads}
    heads |= {path.split(".")[0] for path in one.reads}
    return Followed.asked - heads


def _says_undeclared(document: Document) -> list[str]:
    s = situation(facts(document))
    book = (one for one in RULES if one.code not in WORK_OUT_ANEW)
    return [f"{r.code}: {path}" for r in book for path in undeclared(r, s)]


def test_each_rule_asks_only_for_what_it_reads() -> None:
    people = Campaign(name="reads", cases=documents, breaches=_says_undeclared)
    assert run(people, 40).shown == []


def _seated(s: Situation) -> Seen:
    return Seen(answer=s.seated)


def test_a_fact_that_is_not_declared_is_found() -> None:
    s = situation(steady())
    assert undeclared(declared(_stones_or_hernia, "conditions.stones"), s) == {"conditions.hernia"}
    assert undeclared(declared(_seated, "tests"), s) == {"person"}


def test_the_index_finds_what_all_rules_find() -> None:
    (campaign,) = CAMPAIGNS
    outcome = run(campaign, 100)
    assert outcome.tried == 100
    assert outcome.shown == []
