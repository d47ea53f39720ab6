"""Which rules have anything to look at in a person: an index from facts to rules.

Most answers are a plain no: no such illness, no red flag, no fracture. A rule is passed over only
where that is certain. It is asked once, when the index is made, what it says of somebody of whom
nothing is told but the facts that it `reads`, each a plain no. If it then says no, it says no of
everybody whose answers to what it asked for are a plain no, for it had nothing else to go by. If it
asks for anything else, a fact that its `reads` leave out, a day, a risk, a test, it is looked at in
everybody.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from operator import itemgetter
from typing import Any, cast

from patients.facts.declared import Fracture
from safety.findings import Finding
from safety.rules.rule import Rule, Seen
from safety.situation import Situation

FRACTURES = "fractures"


class _NoPlainNo(Exception):
    """What a rule asked for has no plain no, or does not stand in its `reads`."""


class _PlainNo:
    """An answer that is no. Nothing else may be asked of it."""

    answer = False

    def __getattr__(self, name: str) -> Any:
        raise _NoPlainNo(name)


class _PlainFacts:
    """Facts of which only those named are told, each a plain no; keeps which were asked for."""

    def __init__(self, reads: Iterable[str]) -> None:
        self._told = {".".join(path.split(".")[:2]) for path in reads}
        self.asked: set[str] = set()

    def _ask(self, path: str) -> None:
        if path not in self._told:
            raise _NoPlainNo(path)
        self.asked.add(path)

    def _answer(self, section: str, code: str) -> _PlainNo:
        self._ask(f"{section}.{code}")
        return _PlainNo()

    def condition(self, code: str) -> _PlainNo:
        return self._answer("conditions", code)

    def symptom(self, code: str) -> _PlainNo:
        return self._answer("symptoms", code)

    def medicine(self, code: str) -> _PlainNo:
        return self._answer("medicines", code)

    @property
    def fractures(self) -> tuple[Fracture, ...]:
        self._ask(FRACTURES)
        return ()

    def __getattr__(self, name: str) -> Any:
        raise _NoPlainNo(name)


class _PlainSituation:
    """A situation of which nothing is worked out but what the plain facts say."""

    def __init__(self, facts: _PlainFacts) -> None:
        self.facts = facts

    @property
    def fractures(self) -> tuple[Fracture, ...]:
        return self.facts.fractures

    def __getattr__(self, name: str) -> Any:
        raise _NoPlainNo(name)


def silent_on(rule: Rule) -> frozenset[str]:
    """Return the facts that leave a rule nothing to say where each is a plain no; else none."""
    told = _PlainFacts(rule.reads)
    try:
        seen = rule.when(cast(Situation, _PlainSituation(told)))
    except _NoPlainNo:
        return frozenset()
    return frozenset(told.asked) if seen.answer is False else frozenset()


@dataclass(frozen=True)
class _Question:
    """What several rules ask alike, asked once; each rule with its place in the book."""

    when: Callable[[Situation], Seen]
    rules: tuple[tuple[int, Rule], ...]


#: Facts by section, and the numbers of the questions to which a fact that is no plain no speaks.
_ByFact = Mapping[str, tuple[int, ...]]


@dataclass(frozen=True)
class Index:
    """The questions of a book: those asked of everybody, and those that a fact calls for."""

    questions: tuple[_Question, ...]
    always: frozenset[int]
    conditions: _ByFact
    symptoms: _ByFact
    medicines: _ByFact
    fractures: tuple[int, ...]

    @classmethod
    def of(cls, rules: Iterable[Rule]) -> Index:
        """Return the index of a book."""
        alike: dict[tuple[Callable[[Situation], Seen], frozenset[str]], list[tuple[int, Rule]]] = {}
        for place, rule in enumerate(rules):
            alike.setdefault((rule.when, silent_on(rule)), []).append((place, rule))
        by_fact: dict[str, dict[str, tuple[int, ...]]] = {}
        for number, (_, facts) in enumerate(alike):
            for path in facts:
                section, _, code = path.partition(".")
                calls = by_fact.setdefault(section, {})
                calls[code] = (*calls.get(code, ()), number)
        return cls(
            questions=tuple(_Question(when, tuple(held)) for (when, _), held in alike.items()),
            always=frozenset(n for n, (_, facts) in enumerate(alike) if not facts),
            conditions=by_fact.get("conditions", {}),
            symptoms=by_fact.get("symptoms", {}),
            medicines=by_fact.get("medicines", {}),
            fractures=by_fact.get(FRACTURES, {}).get("", ()),
        )

    def look(self, seen_from: Situation, lifted: frozenset[str] = frozenset()) -> list[Finding]:
        """Return what the rules find, in the order of the book."""
        found: list[tuple[int, Finding]] = []
        for number in self._asked(seen_from):
            question = self.questions[number]
            seen = question.when(seen_from)
            if seen.answer is False:
                continue
            for place, rule in question.rules:
                finding = rule.told(seen, seen_from, lifted=rule.code in lifted)
                found.append((place, finding))
        found.sort(key=itemgetter(0))
        return [finding for _, finding in found]

    def _asked(self, seen_from: Situation) -> set[int]:
        """Return the numbers of the questions that have anything to look at."""
        facts, numbers = seen_from.facts, set(self.always)
        for calls, answers in (
            (self.conditions, facts.conditions or {}),
            (self.symptoms, facts.symptoms or {}),
            (self.medicines, facts.medicines or {}),
        ):
            for code, called in calls.items():
                told = answers.get(code)
                if told is None or told.answer is not False:
                    numbers.update(called)
        if facts.fractures != ():
            numbers.update(self.fractures)
        return numbers
