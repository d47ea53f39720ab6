"""Copies of the facts in which age, weight, mobility, tests or medicines stand otherwise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from patients.facts.ages import add_months
from patients.facts.codes import MEDICINES, MOBILITY, SEDATING
from patients.facts.declared import Facts, Medicine, Probability, Tests
from programs.compare.changed_facts import with_tests


@dataclass(frozen=True, kw_only=True)
class Turned:
    """The facts with one thing otherwise; words completes "If ... were on record"."""

    words: str
    facts: Facts


def medicine(facts: Facts, code: str) -> Iterator[Turned]:
    """Yield the facts with another answer about one medicine."""
    kinds = _KINDS[code](facts.as_of) if code in _KINDS else _yes_and_no(code)
    for words, held in kinds:
        yield Turned(words=words, facts=_with(facts, {code: held}))
    if code in SEDATING:
        pair = (code, *(other for other in SEDATING if other != code))[:2]
        two = {one: Medicine(answer=True) for one in pair}
        yield Turned(words="two medicines that make drowsy", facts=_with(facts, two))


def _with(facts: Facts, held: Mapping[str, Medicine]) -> Facts:
    return replace(facts, medicines={**(facts.medicines or {}), **held})


def _yes_and_no(code: str) -> Iterator[tuple[str, Medicine]]:
    for answer, word in ((False, "no"), (True, "yes")):
        yield f"“{MEDICINES[code]}: {word}”", Medicine(answer=answer)


def _steroids(day: dt.date) -> Iterator[tuple[str, Medicine]]:
    yield "“Glucocorticoid: no”", Medicine(answer=False)
    five = Medicine(answer=True, mg_per_day=5, months=3)
    yield "5 mg of glucocorticoid for 3 months", five
    thirty = Medicine(answer=True, mg_per_day=30, months=3)
    yield "30 mg of glucocorticoid", thirty
    yield "a glucocorticoid without its dose", Medicine(answer=True)


def _bone_medicines(day: dt.date) -> Iterator[tuple[str, Medicine]]:
    yield "“Medicine for bone: no”", Medicine(answer=False)
    given = Medicine(answer=True, kind="denosumab")
    yield "denosumab without its last dose", given
    for months in (2, 9):
        last = add_months(day, -months)
        words = f"a last dose of denosumab {months} months ago"
        yield words, replace(given, last_dose_on=last)


_KINDS: Mapping[str, Callable[[dt.date], Iterator[tuple[str, Medicine]]]] = {
    "glucocorticoid": _steroids,
    "bone_medicine": _bone_medicines,
}


def mobility(facts: Facts, tail: str) -> Iterator[Turned]:
    """Yield the facts with another way of getting about, and with none told and none tested."""
    for code, label in MOBILITY.items():
        person = replace(facts.person, mobility=code)
        yield Turned(words=f"“gets about {label}”", facts=replace(facts, person=person))
    unseen = replace(facts, person=replace(facts.person, mobility=None), tests=None)
    yield Turned(words="no mobility and no test", facts=unseen)


def tests(facts: Facts, tail: str) -> Iterator[Turned]:
    """Yield the facts with slow tests, with fast ones, with old ones and with none."""
    slow = with_tests(facts, Tests(up_and_go_s=16))
    yield Turned(words="an up and go of 16 s", facts=slow)
    yield Turned(words="an up and go of 8 s", facts=with_tests(facts, Tests(up_and_go_s=8)))
    longer_ago = add_months(facts.as_of, -13)
    old = tuple(replace(row, date=longer_ago) for row in facts.tests or ())
    yield Turned(words="the same tests 13 months ago", facts=replace(facts, tests=old or None))
    cannot = with_tests(facts, Tests(unable=("side_by_side_s",)))
    yield Turned(words="that standing with feet side by side is not possible", facts=cannot)
    yield Turned(words="no function test", facts=replace(facts, tests=None))


def age(facts: Facts, tail: str) -> Iterator[Turned]:
    """Yield the facts at 17 and at 70."""
    for years in (17, 70):
        born = add_months(facts.as_of, -12 * years)
        person = replace(facts.person, born=born)
        yield Turned(words=f"an age of {years}", facts=replace(facts, person=person))


def weight(facts: Facts, tail: str) -> Iterator[Turned]:
    """Yield the facts at 45 and 65 kg."""
    for kg in (45.0, 65.0):
        person = replace(facts.person, weight_kg=kg)
        yield Turned(words=f"a weight of {kg:g} kg", facts=replace(facts, person=person))


def probability(facts: Facts, tail: str) -> Iterator[Turned]:
    """Yield the facts with a low and with a very high ten-year probability."""
    for major in (5, 30):
        given = Probability(major_percent=major, hip_percent=1)
        words = f"a ten-year probability of major fracture of {major} %"
        yield Turned(words=words, facts=replace(facts, probability_10y=given))
