"""Criteria of risk that are nearly met: one number worse by a tenth, or by one step, meets them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from patients.facts.declared import Facts, Medicine, Scan, Tests
from patients.facts.units import show_number
from safety.risk import Criterion, Risk
from safety.situation import situation

TENTH = 0.1
STEP_T = 0.1
#: A tenth of the fall of pressure that counts, 20/10.
STEP_SYSTOLIC, STEP_DIASTOLIC = 2, 1


@dataclass(frozen=True, kw_only=True)
class Near:
    """A criterion that is not met, and the person's own number that comes close to it."""

    criterion: Criterion
    number: str


#: A number of hers in words, and the facts with that number a little worse.
Worse = tuple[str, Facts]


def near_fracture(facts: Facts) -> tuple[Near, ...]:
    """Return the criteria of fracture risk that are nearly met."""
    return _near(facts, _fracture, _worse_bone(facts))


def near_fall(facts: Facts) -> tuple[Near, ...]:
    """Return the criteria of fall risk that are nearly met."""
    return _near(facts, _fall, _worse_on_her_feet(facts))


def _fracture(facts: Facts) -> Risk:
    return situation(facts).fracture_risk


def _fall(facts: Facts) -> Risk:
    return situation(facts).fall_risk


def _near(facts: Facts, risk: Callable[[Facts], Risk], worse: Iterator[Worse]) -> tuple[Near, ...]:
    now = {criterion.code: criterion for criterion in risk(facts).criteria}
    return tuple(
        Near(criterion=now[then.code], number=number)
        for number, changed in worse
        for then in risk(changed).criteria
        if then.met and now[then.code].met is False
    )


def _worse_bone(facts: Facts) -> Iterator[Worse]:
    found = situation(facts).density
    if found.score is not None:
        lower = tuple(_lower(scan) for scan in facts.scans or ())
        number = f"{found.by.upper()}-score {show_number(found.score, 1)}"
        yield number, replace(facts, scans=lower)
    given = facts.probability_10y
    for name, label in (("major_percent", "major fracture"), ("hip_percent", "hip fracture")):
        chance = getattr(given, name, None)
        if given is not None and chance is not None:
            more = replace(given, **{name: chance * (1 + TENTH)})
            yield f"{label} {chance:g} %", replace(facts, probability_10y=more)
    yield from _worse_steroid(facts)


def _lower(scan: Scan) -> Scan:
    return replace(scan, t=_less(scan.t), z=_less(scan.z))


def _less(score: float | None) -> float | None:
    return None if score is None else score - max(STEP_T, TENTH * abs(score))


def _worse_steroid(facts: Facts) -> Iterator[Worse]:
    steroid = facts.medicine("glucocorticoid")
    if not steroid.answer or steroid.mg_per_day is None:
        return
    number = f"glucocorticoid {steroid.mg_per_day:g} mg a day"
    yield number, _with_steroid(facts, replace(steroid, mg_per_day=steroid.mg_per_day * 1.1))
    if steroid.months is not None:
        longer = replace(steroid, months=steroid.months + 1)
        yield f"{number} for {steroid.months:g} months", _with_steroid(facts, longer)


def _with_steroid(facts: Facts, steroid: Medicine) -> Facts:
    return replace(facts, medicines={**(facts.medicines or {}), "glucocorticoid": steroid})


def _worse_on_her_feet(facts: Facts) -> Iterator[Worse]:
    falls = facts.falls
    if falls is not None and falls.last_12_months == 1:
        yield "one fall", replace(facts, falls=replace(falls, last_12_months=2))
    if not facts.tests:
        return
    tests = situation(facts).tests.newest
    for name, label, unit in (
        ("up_and_go_s", "Timed Up and Go", "s"),
        ("walk_4m_s", "4 m walk", "s"),
    ):
        seconds = getattr(tests, name)
        if seconds is not None:
            slower = replace(tests, **{name: seconds * (1 + TENTH)})
            yield f"{label} {seconds:g} {unit}", _with_newest(facts, slower)
    if tests.chair_stands_30s:
        fewer = replace(tests, chair_stands_30s=tests.chair_stands_30s - 1)
        yield f"{tests.chair_stands_30s} chair stands", _with_newest(facts, fewer)
    yield from _worse_standing(facts, tests)


def _with_newest(facts: Facts, tests: Tests) -> Facts:
    """Return the facts with these results beside the older ones, as the newest."""
    return replace(facts, tests=(*(facts.tests or ()), replace(tests, date=facts.as_of)))


def _worse_standing(facts: Facts, tests: Tests) -> Iterator[Worse]:
    if tests.standing_bp is None:
        return
    upper, lower = tests.standing_bp
    worse = replace(tests, standing_bp=(upper - STEP_SYSTOLIC, lower - STEP_DIASTOLIC))
    yield f"pressure after standing {upper}/{lower}", _with_newest(facts, worse)
