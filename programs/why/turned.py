"""Copies of the facts in which one thing that a rule reads stands otherwise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from patients import codes
from patients.facts import (
    Condition,
    Facts,
    Falls,
    Fracture,
    Medicine,
    OtherClearance,
    SpineImage,
    Symptom,
    Tests,
)
from patients.units import show_number
from programs.changed_facts import (
    T_LIMITS,
    with_condition,
    with_falls,
    with_fracture,
    with_lowest_t,
    with_pressure,
    with_resources,
)

_HELPERS = {
    "supervised": "sessions overseen by trained staff",
    "watcher": "another adult at home who has been shown how",
}


@dataclass(frozen=True, kw_only=True)
class Turned:
    """The facts with one thing otherwise; words completes "If ... were on record"."""

    words: str
    facts: Facts


def turned(path: str, facts: Facts) -> Iterator[Turned]:
    """Yield the facts with what stands at a path of the facts changed, one way after another."""
    head, _, tail = path.partition(".")
    handler = _BY_PATH.get(path) or _BY_HEAD.get(head)
    if handler is not None:
        yield from handler(facts, tail)


def _condition(facts: Facts, path: str) -> Iterator[Turned]:
    code, _, part = path.partition(".")
    label, held = codes.CONDITIONS[code], facts.condition(code)
    if part == "on":
        dated = replace(held, answer=True, on=facts.as_of)
        undated = replace(held, answer=True, on=None)
        yield Turned(words=f"the date of “{label}”", facts=with_condition(facts, code, dated))
        words = f"“{label}: yes” without its date"
        yield Turned(words=words, facts=with_condition(facts, code, undated))
        return
    for answer, word in ((False, "no"), (True, "yes")):
        if held.answer is not answer:
            after = with_condition(facts, code, Condition(answer=answer))
            yield Turned(words=f"“{label}: {word}”", facts=after)
    if code in codes.DATED_CONDITIONS:
        old = Condition(answer=True, on=facts.person.born)
        words = f"“{label}: yes”, years ago"
        yield Turned(words=words, facts=with_condition(facts, code, old))


def _symptom(facts: Facts, code: str) -> Iterator[Turned]:
    for answer, word in ((False, "no"), (True, "yes")):
        if facts.symptom(code).answer is not answer:
            after = {**(facts.symptoms or {}), code: Symptom(answer=answer)}
            words = f"“{codes.SYMPTOMS[code]}: {word}”"
            yield Turned(words=words, facts=replace(facts, symptoms=after))


def _fractures(facts: Facts, tail: str) -> Iterator[Turned]:
    day = facts.as_of
    kinds = (
        ("a vertebral fracture of three years ago, healed", 1095, True, "vertebra"),
        ("a wrist fracture of eight weeks ago", 56, None, "wrist"),
        ("a wrist fracture of one week ago", 7, False, "wrist"),
        ("a wrist fracture of half a year ago, healing not known", 183, None, "wrist"),
    )
    if facts.fractures is None:
        yield Turned(words="“Fractures: none”", facts=replace(facts, fractures=()))
    if facts.fractures:
        yield Turned(words="no fracture at all", facts=replace(facts, fractures=()))
        healed = tuple(
            replace(one, healed=True, date=day - dt.timedelta(days=1095)) for one in facts.fractures
        )
        yield Turned(
            words="these fractures older and healed", facts=replace(facts, fractures=healed)
        )
    for words, days, mended, site in kinds:
        date = day - dt.timedelta(days=days)
        one = Fracture(site=site, date=date, low_trauma=True, healed=mended)
        yield Turned(words=words, facts=with_fracture(facts, one))
    yield Turned(words="that fractures were not asked", facts=replace(facts, fractures=None))


def _scans(facts: Facts, tail: str) -> Iterator[Turned]:
    for limit in T_LIMITS:
        for t in (limit, round(limit + 0.1, 1)):
            yield Turned(
                words=f"a lowest T-score of {show_number(t, 1)}", facts=with_lowest_t(facts, t)
            )


def _falls(facts: Facts, tail: str) -> Iterator[Turned]:
    for count, words in ((0, "no fall in 12 months"), (2, "two falls in 12 months")):
        yield Turned(words=words, facts=with_falls(facts, count))
    held = facts.falls or Falls()
    asked = replace(held, injury=bool(held.injury), long_lie=bool(held.long_lie))
    asked = replace(asked, last_12_months=held.last_12_months or 0, blackout=bool(held.blackout))
    yield Turned(words="how each fall ended", facts=replace(facts, falls=asked))
    yield Turned(words="that falls were not asked", facts=replace(facts, falls=None))


def _blackout(facts: Facts, tail: str) -> Iterator[Turned]:
    held = replace(facts.falls or Falls(), last_12_months=1)
    for answer, word in ((False, "no"), (True, "yes")):
        after = replace(facts, falls=replace(held, blackout=answer))
        yield Turned(words=f"a fall, “with a blackout: {word}”", facts=after)


def _pressure(facts: Facts, tail: str) -> Iterator[Turned]:
    for resting in ((130, 80), (165, 85), (185, 95)):
        after = with_pressure(facts, resting)
        yield Turned(words=f"a resting pressure of {resting[0]}/{resting[1]}", facts=after)
    tests = replace(facts.tests or Tests(), resting_bp=None)
    yield Turned(words="no resting pressure", facts=replace(facts, tests=tests))


def _standing(facts: Facts, tail: str) -> Iterator[Turned]:
    tests = facts.tests or Tests()
    lying = tests.resting_bp or (130, 80)
    for drop, words in ((0, "no fall"), (20, "a fall of 20")):
        after = replace(tests, resting_bp=lying, standing_bp=(lying[0] - drop, lying[1]))
        yield Turned(words=f"{words} in pressure on standing", facts=replace(facts, tests=after))


def _height(facts: Facts, tail: str) -> Iterator[Turned]:
    tallest = facts.person.tallest_height_cm or facts.person.height_cm or 165.0
    for loss, words in ((0.0, "no height lost"), (4.0, "4 cm of height lost")):
        person = replace(
            facts.person,
            height_cm=tallest - loss,
            tallest_height_cm=tallest,
            earlier_heights=(),
        )
        yield Turned(words=words, facts=replace(facts, person=person))
    person = replace(facts.person, height_cm=None)
    yield Turned(words="no height today", facts=replace(facts, person=person))


def _steroid(facts: Facts, tail: str) -> Iterator[Turned]:
    kinds = (
        ("“Glucocorticoid: no”", Medicine(answer=False)),
        ("5 mg of glucocorticoid for 3 months", Medicine(answer=True, mg_per_day=5, months=3)),
        ("a glucocorticoid without its dose", Medicine(answer=True)),
    )
    for words, held in kinds:
        after = {**(facts.medicines or {}), "glucocorticoid": held}
        yield Turned(words=words, facts=replace(facts, medicines=after))


def _image(facts: Facts, tail: str) -> Iterator[Turned]:
    image = SpineImage(answer=True, on=facts.as_of)
    yield Turned(words="a spine image of today", facts=replace(facts, spine_image=image))
    yield Turned(words="no spine image", facts=replace(facts, spine_image=None))


def _clearances(facts: Facts, tail: str) -> Iterator[Turned]:
    """Yield a blackout with leave that names a part only; nothing else reads these."""
    known = replace(facts, symptoms={**(facts.symptoms or {}), "blackout": Symptom(answer=True)})
    for modality, label in codes.MODALITIES.items():
        leave = OtherClearance(
            subject="blackout",
            modalities=(modality,),
            by="whoever treats it",
            on=facts.as_of,
            until=facts.as_of,
        )
        after = replace(known, clearances=(*(facts.clearances or ()), leave))
        yield Turned(words=f"a blackout, with leave for {label} alone,", facts=after)


def _pregnant(facts: Facts, tail: str) -> Iterator[Turned]:
    for answer, word in ((False, "no"), (True, "yes")):
        person = replace(facts.person, pregnant=answer)
        yield Turned(words=f"“Pregnant: {word}”", facts=replace(facts, person=person))
    person = replace(facts.person, menopause="before", pregnant=True)
    words = f"“{codes.MENOPAUSE['before']}” and “Pregnant: yes”"
    yield Turned(words=words, facts=replace(facts, person=person))


def _menopause(facts: Facts, tail: str) -> Iterator[Turned]:
    for stage in ("before", "after"):
        person = replace(facts.person, menopause=stage)
        words = codes.MENOPAUSE[stage]
        yield Turned(words=f"“{words}”", facts=replace(facts, person=person))


def _helper(facts: Facts, name: str) -> Iterator[Turned]:
    for answer, word in ((True, "yes"), (False, "no")):
        words = f"“{_HELPERS[name]}: {word}”"
        yield Turned(words=words, facts=with_resources(facts, **{name: answer}))


_BY_HEAD: Mapping[str, Callable[[Facts, str], Iterator[Turned]]] = {
    "conditions": _condition,
    "symptoms": _symptom,
    "medicines": _steroid,
}
_BY_PATH: Mapping[str, Callable[[Facts, str], Iterator[Turned]]] = {
    "fractures": _fractures,
    "scans": _scans,
    "falls": _falls,
    "falls.blackout": _blackout,
    "tests.resting_bp": _pressure,
    "tests.standing_bp": _standing,
    "person.height_cm": _height,
    "person.tallest_height_cm": _height,
    "spine_image": _image,
    "clearances": _clearances,
    "person.pregnant": _pregnant,
    "person.menopause": _menopause,
    "resources.supervised": lambda facts, _tail: _helper(facts, "supervised"),
    "resources.watcher": lambda facts, _tail: _helper(facts, "watcher"),
}
