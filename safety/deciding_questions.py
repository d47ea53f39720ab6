"""The questions that decide what a first consult comes to, each with answers that it can have.

The first answer of each is what most people say; the others stand on the far side of a threshold.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from patients.facts import codes
from patients.facts.ages import NOT_PREGNANT_AGE, add_months
from patients.facts.declared import (
    Condition,
    Facts,
    Falls,
    Fracture,
    Medicine,
    Resources,
    Scan,
    Symptom,
    Tests,
)
from patients.facts.partial_dates import ages_on

Turn = Callable[[Facts], Facts]


@dataclass(frozen=True, kw_only=True)
class Answer:
    """One answer that a question can have, and the facts with it."""

    words: str
    turn: Turn


@dataclass(frozen=True, kw_only=True)
class Question:
    """A question that decides.

    code      where it is asked on the page of the first consult
    is_open   whether nobody answered it
    answers   the first is what most people answer
    """

    code: str
    words: str
    is_open: Callable[[Facts], bool]
    answers: tuple[Answer, ...]


def _codes(key: str, labels: Mapping[str, str], no: object, yes: object, *told: str) -> Turn:
    """Return the turn that answers no all that is open of a list, but yes to the codes named."""

    def turn(facts: Facts) -> Facts:
        held = dict(getattr(facts, key) or {})
        for code in labels:
            if code not in held or held[code].answer is None:
                held[code] = yes if code in told else no
        return replace(facts, **{key: held})  # type: ignore[arg-type]

    return turn


def _any_open(key: str, labels: Mapping[str, str]) -> Callable[[Facts], bool]:
    def is_open(facts: Facts) -> bool:
        held = getattr(facts, key) or {}
        return any(code not in held or held[code].answer is None for code in labels)

    return is_open


def _person(**told: object) -> Turn:
    return lambda facts: replace(facts, person=replace(facts.person, **told))  # type: ignore[arg-type]


def _falls(**told: object) -> Turn:
    return lambda facts: replace(facts, falls=replace(facts.falls or Falls(), **told))  # type: ignore[arg-type]


def _help(**told: object) -> Turn:
    return lambda facts: replace(
        facts,
        resources=replace(facts.resources or Resources(), **told),  # type: ignore[arg-type]
    )


def _tested(**told: object) -> Turn:
    return lambda facts: replace(
        facts,
        tests=(*(facts.tests or ()), Tests(date=facts.as_of, **told)),  # type: ignore[arg-type]
    )


def _scanned(t: float) -> Turn:
    return lambda facts: replace(
        facts, scans=(*(facts.scans or ()), Scan(date=facts.as_of, site="total_hip", t=t))
    )


def _broken(site: str, months: int) -> Turn:
    def turn(facts: Facts) -> Facts:
        day: dt.date = add_months(facts.as_of, -months)
        one = Fracture(site=site, date=day, low_trauma=True, healed=True)
        return replace(facts, fractures=(one,))

    return turn


def _shorter(cm: float) -> Turn:
    def turn(facts: Facts) -> Facts:
        tallest = facts.person.tallest_height_cm
        assert tallest is not None
        return replace(facts, person=replace(facts.person, height_cm=tallest - cm))

    return turn


def _no_fall(facts: Facts) -> bool:
    return facts.falls is None or facts.falls.last_12_months is None


def _steadiness(facts: Facts) -> bool:
    return facts.falls is None or facts.falls.unsteady is None


def _has_test(name: str) -> Callable[[Facts], bool]:
    return lambda facts: any(getattr(row, name) is not None for row in facts.tests or ())


def _no_stance(facts: Facts) -> bool:
    return not any(_has_test(name)(facts) for name in _FUNCTION)


#: Tests by which low function and fall risk are read.
_FUNCTION = ("up_and_go_s", "chair_stands_30s", "one_leg_s", "tandem_s", "walk_4m_s")
_NORMAL = {"up_and_go_s": 8.0, "chair_stands_30s": 20, "one_leg_s": 20.0, "tandem_s": 10.0}
_SLOW = _NORMAL | {"up_and_go_s": 12.0}


def _may_be_pregnant(facts: Facts) -> bool:
    person = facts.person
    young = ages_on(person.born, facts.as_of)[0] < NOT_PREGNANT_AGE
    asked = person.sex == "female" and person.menopause != "after"
    return asked and young and person.pregnant is None


def _stage_open(facts: Facts) -> bool:
    return facts.person.sex == "female" and facts.person.menopause is None


def _company_open(facts: Facts) -> bool:
    held = facts.resources or Resources()
    return not (held.supervised or held.watcher) and None in (held.supervised, held.watcher)


def _shrunk_open(facts: Facts) -> bool:
    return facts.person.height_cm is None and facts.person.tallest_height_cm is not None


QUESTIONS: tuple[Question, ...] = (
    Question(
        code="symptoms",
        words="Red flags",
        is_open=_any_open("symptoms", codes.SYMPTOMS),
        answers=(
            Answer(
                words="none",
                turn=_codes("symptoms", codes.SYMPTOMS, Symptom(answer=False), None),
            ),
            Answer(
                words="any of them",
                turn=_codes(
                    "symptoms",
                    codes.SYMPTOMS,
                    Symptom(answer=False),
                    Symptom(answer=True),
                    *codes.SYMPTOMS,
                ),
            ),
        ),
    ),
    Question(
        code="conditions",
        words="Conditions",
        is_open=_any_open("conditions", codes.CONDITIONS),
        answers=(
            Answer(
                words="none",
                turn=_codes("conditions", codes.CONDITIONS, Condition(answer=False), None),
            ),
        ),
    ),
    Question(
        code="medicines",
        words="Medicines",
        is_open=_any_open("medicines", codes.MEDICINES),
        answers=(
            Answer(
                words="none",
                turn=_codes("medicines", codes.MEDICINES, Medicine(answer=False), None),
            ),
            Answer(
                words="prednisolone 10 mg for 6 months",
                turn=_codes(
                    "medicines",
                    codes.MEDICINES,
                    Medicine(answer=False),
                    Medicine(answer=True, mg_per_day=10, months=6),
                    "glucocorticoid",
                ),
            ),
            Answer(
                words="two that make drowsy",
                turn=_codes(
                    "medicines",
                    codes.MEDICINES,
                    Medicine(answer=False),
                    Medicine(answer=True),
                    *codes.SEDATING[:2],
                ),
            ),
        ),
    ),
    Question(
        code="fractures",
        words="Fractures",
        is_open=lambda facts: facts.fractures is None,
        answers=(
            Answer(words="none", turn=lambda facts: replace(facts, fractures=())),
            Answer(words="a vertebra, years ago", turn=_broken("vertebra", 60)),
            Answer(words="a wrist, a year ago", turn=_broken("wrist", 12)),
        ),
    ),
    Question(
        code="falls",
        words="Falls in 12 months",
        is_open=_no_fall,
        answers=(
            Answer(words="none", turn=_falls(last_12_months=0)),
            Answer(
                words="two or more",
                turn=_falls(last_12_months=2, injury=False, long_lie=False, blackout=False),
            ),
        ),
    ),
    Question(
        code="unsteady",
        words="Feels unsteady",
        is_open=_steadiness,
        answers=(
            Answer(words="no", turn=_falls(unsteady=False)),
            Answer(words="yes", turn=_falls(unsteady=True)),
        ),
    ),
    Question(
        code="mobility",
        words="Gets about indoors",
        is_open=lambda facts: facts.person.mobility is None,
        answers=(
            Answer(words="without help", turn=_person(mobility="independent")),
            Answer(words="with a frame", turn=_person(mobility="frame")),
            Answer(words="in a wheelchair", turn=_person(mobility="wheelchair")),
        ),
    ),
    Question(
        code="pressure",
        words="Resting blood pressure",
        is_open=lambda facts: not _has_test("resting_bp")(facts),
        answers=(
            Answer(words="130/80", turn=_tested(resting_bp=(130, 80))),
            Answer(words="over 180/110", turn=_tested(resting_bp=(185, 112))),
        ),
    ),
    Question(
        code="tests",
        words="Function tests",
        is_open=_no_stance,
        answers=(
            Answer(words="all usual", turn=_tested(**_NORMAL)),
            Answer(
                words="up and go 12 s or more", turn=_tested(**{**_NORMAL, "up_and_go_s": 12.0})
            ),
        ),
    ),
    Question(
        code="scans",
        words="T-score",
        is_open=lambda facts: not facts.scans,
        answers=(
            Answer(words="\u22121.5", turn=_scanned(-1.5)),
            Answer(words="\u22122.7", turn=_scanned(-2.7)),
            Answer(words="\u22123.5", turn=_scanned(-3.5)),
        ),
    ),
    Question(
        code="menopause",
        words="Menopause",
        is_open=_stage_open,
        answers=(
            Answer(words="after", turn=_person(menopause="after")),
            Answer(words="before", turn=_person(menopause="before")),
        ),
    ),
    Question(
        code="pregnant",
        words="Pregnant, or may be",
        is_open=_may_be_pregnant,
        answers=(
            Answer(words="no", turn=_person(pregnant=False)),
            Answer(words="yes", turn=_person(pregnant=True)),
        ),
    ),
    Question(
        code="height",
        words="Height today",
        is_open=_shrunk_open,
        answers=(
            Answer(words="as tall as ever", turn=_shorter(0)),
            Answer(words="4 cm shorter", turn=_shorter(4)),
        ),
    ),
    Question(
        code="company",
        words="Somebody beside her",
        is_open=_company_open,
        answers=(
            Answer(words="yes", turn=_help(watcher=True)),
            Answer(words="nobody", turn=_help(supervised=False, watcher=False)),
        ),
    ),
)
