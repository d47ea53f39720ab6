"""Copies of the facts in which one thing that a rule reads stands otherwise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from patients.facts import codes
from patients.facts.ages import add_months
from patients.facts.declared import (
    Condition,
    Facts,
    Falls,
    Fracture,
    OtherClearance,
    SpineImage,
    Symptom,
    Tests,
)
from patients.facts.units import show_number
from programs.compare.changed_facts import (
    T_LIMITS,
    with_condition,
    with_falls,
    with_fracture,
    with_lowest_t,
    with_pressure,
    with_resources,
    with_tests,
)
from programs.why import other_bodies
from programs.why.other_bodies import Turned

_HELPERS = {
    "supervised": "supervised sessions",
    "watcher": "another adult at home who has been shown how",
}


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
        ("an ankle fracture of eight weeks ago", 56, None, "ankle"),
        ("a toe broken eight weeks ago", 56, None, "toe"),
        ("a finger broken eight weeks ago", 56, None, "finger"),
        ("an arm broken 14 months ago and not healed", 426, False, "humerus"),
        ("a fracture of the thigh bone's shaft five years ago, healed", 1826, True, "femur_shaft"),
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
    rib = Fracture(site="rib", date=add_months(day, -60), low_trauma=True, healed=True)
    two = with_fracture(facts, replace(rib, site="ankle"))
    yield Turned(words="two old fractures, healed", facts=with_fracture(two, rib))
    twice = with_fracture(with_fracture(facts, rib), rib)
    yield Turned(words="the same rib and day twice", facts=twice)
    undated = replace(rib, date=None)
    yield Turned(words="a fracture without its date", facts=with_fracture(facts, undated))
    yield Turned(words="that fractures were not asked", facts=replace(facts, fractures=None))


def _scans(facts: Facts, tail: str) -> Iterator[Turned]:
    for limit in T_LIMITS:
        for t in (limit, round(limit + 0.1, 1)):
            yield Turned(
                words=f"a lowest T-score of {show_number(t, 1)}", facts=with_lowest_t(facts, t)
            )
    old = tuple(
        replace(scan, date=add_months(facts.as_of, -37), t=-1.0, z=0.0)
        for scan in facts.scans or ()
    )
    yield Turned(
        words="a normal scan of more than three years ago", facts=replace(facts, scans=old)
    )
    low = replace(with_lowest_t(facts, -2.6), person=replace(facts.person, menopause="before"))
    yield Turned(words="a T-score of \u22122.6 before menopause", facts=low)


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
    for resting in ((130, 80), (165, 85), (185, 95), (88, 56)):
        after = with_pressure(facts, resting)
        yield Turned(words=f"a resting pressure of {resting[0]}/{resting[1]}", facts=after)
    without = tuple(replace(row, resting_bp=None) for row in facts.tests or ())
    yield Turned(words="no resting pressure", facts=replace(facts, tests=without or None))


def _standing(facts: Facts, tail: str) -> Iterator[Turned]:
    held = [row.resting_bp for row in facts.tests or () if row.resting_bp]
    lying = held[-1] if held else (130, 80)
    for drop, words in ((0, "no fall"), (20, "a fall of 20")):
        after = Tests(resting_bp=lying, standing_bp=(lying[0] - drop, lying[1]))
        yield Turned(words=f"{words} in pressure on standing", facts=with_tests(facts, after))
    low = Tests(resting_bp=(88, 56), standing_bp=(78, 52))
    yield Turned(words="88/56, and 78/52 after standing", facts=with_tests(facts, low))


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
    for tallest_cm, words in (
        (tallest, "no height today"),
        (None, "no height today, and none before"),
    ):
        person = replace(facts.person, height_cm=None, tallest_height_cm=tallest_cm)
        yield Turned(words=words, facts=replace(facts, person=person))


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
            by="the doctor who treats it",
            on=facts.as_of,
            until=facts.as_of,
        )
        after = replace(known, clearances=(*(facts.clearances or ()), leave))
        yield Turned(words=f"a blackout, with clearance for {label} alone,", facts=after)


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
    "medicines": other_bodies.medicine,
}
_BY_PATH: Mapping[str, Callable[[Facts, str], Iterator[Turned]]] = {
    "fractures": _fractures,
    "scans": _scans,
    "falls": _falls,
    "falls.blackout": _blackout,
    "tests": other_bodies.tests,
    "tests.unable": other_bodies.tests,
    "person.mobility": other_bodies.mobility,
    "person.born": other_bodies.age,
    "person.weight_kg": other_bodies.weight,
    "person.earlier_heights": _height,
    "probability_10y": other_bodies.probability,
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
