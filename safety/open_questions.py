"""What each question that is still open would decide: which kinds of loading, by which answer.

Each question is held by itself against everything else answered as it is for most people: what is
said of it is what it alone decides, and of the last open one what will come of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from patients.facts.declared import Facts
from safety.deciding_questions import QUESTIONS, Question
from safety.findings import Limits, Modality
from safety.screen import Status, screen


@dataclass(frozen=True, kw_only=True)
class Change:
    """What would be said of a kind of loading."""

    modality: Modality
    status: Status
    otherwise_dosed: bool


@dataclass(frozen=True, kw_only=True)
class Decides:
    """What one answer would change of the kinds of loading; stops where nothing may be issued."""

    answer: str
    changes: tuple[Change, ...]
    stops: bool


@dataclass(frozen=True, kw_only=True)
class Open:
    """An open question, and each of its answers that changes something."""

    question: Question
    decides: tuple[Decides, ...]


def open_questions(facts: Facts) -> tuple[Open, ...]:
    """Return the questions still open that would change what may be done, each with its answers."""
    asked = still_open(facts)
    settled = _standing(_usual(facts, asked))
    told = [_look(facts, question, asked, settled) for question in asked]
    return tuple(one for one in told if one.decides)


def still_open(facts: Facts) -> tuple[Question, ...]:
    """Return the questions that nobody answered, whatever they would change."""
    return tuple(question for question in QUESTIONS if question.is_open(facts))


def _usual(facts: Facts, asked: Iterable[Question]) -> Facts:
    """Return the facts with these questions answered as most people answer them."""
    for question in asked:
        facts = question.answers[0].turn(facts)
    return facts


def _look(facts: Facts, question: Question, asked: Iterable[Question], settled: _Standing) -> Open:
    """Hold one open question against the others settled."""
    rest = _usual(facts, (other for other in asked if other is not question))
    now = _standing(rest)
    first, *others = question.answers
    told = [_decides(now, first.words, settled)]
    told += [_decides(now, one.words, _standing(one.turn(rest))) for one in others]
    return Open(question=question, decides=tuple(one for one in told if one.changes or one.stops))


@dataclass(frozen=True)
class _Standing:
    """Where each kind stands, and how it is dosed."""

    blocked: bool
    kinds: Mapping[Modality, tuple[Status, Limits]]


def _standing(facts: Facts) -> _Standing:
    """Return where each kind stands by these facts."""
    seen = screen(facts)
    kinds = {kind: (seen.status(kind), seen.limits(kind)) for kind in Modality}
    return _Standing(bool(seen.blocked), kinds)


def _decides(now: _Standing, answer: str, then: _Standing) -> Decides:
    changes = () if then.blocked else tuple(_changes(now, then))
    return Decides(answer=answer, changes=changes, stops=then.blocked)


def _changes(now: _Standing, then: _Standing) -> Iterator[Change]:
    for kind, (after, limits) in then.kinds.items():
        before, dosed = now.kinds[kind]
        moved = now.blocked or before is not after
        other = after is Status.INCLUDED and limits != dosed
        if moved or other:
            yield Change(modality=kind, status=after, otherwise_dosed=other and not moved)
