"""Very low T, falls, pregnancy (rows 2b, 3, and the last lines of rows 7 to 10)."""

from __future__ import annotations

from patients.facts import Falls
from patients.units import show_number
from safety.findings import ALL, Level, Limits, Modality
from safety.risk import severity_missing
from safety.rules.rule import (
    PRECAUTION_LIMITS,
    PRECAUTION_WORDS,
    Lift,
    Rule,
    Seen,
    Unanswered,
    rule,
)
from safety.situation import Situation
from safety.sources import cite

#: Menopause not recorded counts as past from this age when pregnancy is asked about.
PREGNANCY_IMPROBABLE_AGE = 55


def _low_t(s: Situation) -> Seen:
    found = s.density
    if found.score is None:
        return Seen(answer=None, missing=("a bone density result",))
    low = found.by == "t" and found.score <= -3.5
    return Seen(answer=low, facts=(f"{found.by.upper()}-score {show_number(found.score, 1)}",))


LOW_T = rule(
    "low_t.plate",
    Modality.PLATE,
    Level.NEEDS_CLEARANCE,
    _low_t,
    reads=("scans",),
    reason="T-score \u22123.5 or lower: a specialist decides about the plate.",
    source=cite("vibration_lists", "pavos", "project"),
    evidence="No T-score limit is published for plates; lists bar severe osteoporosis, one trial "
    "trained it.",
    unanswered=Unanswered.NOTE,
    lifted_by=Lift(subject="low_t", by=()),
)


def _faller(s: Situation) -> Seen:
    high = s.fall_risk.drafted_as == "high"
    return Seen(answer=high, facts=tuple(c.text for c in s.fall_risk.fired))


FALLER_IMPACT = rule(
    "falls.high.impact",
    Modality.IMPACT,
    Level.CONTRAINDICATED,
    _faller,
    reads=("falls", "tests"),
    reason="High fall risk: no impact until a review lifts it; balance and strength first.",
    source=cite("uk2022", "project"),
    evidence="The consensus starts people at risk of falls with strength and balance.",
    unanswered=Unanswered.NOTE,
    review_lifts=True,
)
FALLER_LIFTING = rule(
    "falls.high.resistance",
    Modality.RESISTANCE,
    Level.PRECAUTION,
    _faller,
    reads=("falls", "tests"),
    reason="High fall risk: form before load, start low, rise slowly.",
    source=cite("uk2022", "toofit2014"),
    evidence="Start lower where a condition limits or risk is high.",
    unanswered=Unanswered.NOTE,
    limits=Limits(group_c=True),
)


def _falls_unasked(s: Situation) -> Seen:
    falls = s.facts.falls or Falls()
    if falls.last_12_months is None:
        return Seen(answer=None, missing=("falls in the last 12 months",))
    words = tuple(f"whether a fall was with {name}" for name in severity_missing(falls))
    if falls.unsteady is None:
        words = (*words, "feeling unsteady")
    return Seen(answer=None if words else False, missing=words)


FALLS_UNASKED = rule(
    "falls.not_asked",
    ALL,
    Level.MISSING,
    _falls_unasked,
    reads=("falls",),
    reason="",
    source=cite("wfg2022", "project"),
    evidence="Not asked is drafted as at least intermediate, unsteadiness not asked likewise; "
    "a fall not described as high.",
    unanswered=Unanswered.NOTE,
)


def _pregnant(s: Situation) -> Seen:
    person = s.facts.person
    unsaid = person.menopause in (None, "not_applicable")  # it does apply to a woman
    past = person.menopause == "after" or (
        unsaid and s.age >= PREGNANCY_IMPROBABLE_AGE and not person.pregnant
    )
    if person.sex == "male" or past:
        return Seen(answer=False)
    return Seen(answer=person.pregnant, facts=("Pregnant: yes",), missing=("pregnancy",))


_PREGNANCY = {
    Modality.PLATE: Level.CONTRAINDICATED,
    Modality.RESISTANCE: Level.NEEDS_CLEARANCE,
    Modality.IMPACT: Level.CONTRAINDICATED,
    Modality.BALANCE: Level.PRECAUTION,
    Modality.POSTURE: Level.PRECAUTION,
}


def _pregnancy_rule(modality: Modality, level: Level) -> Rule:
    careful = level is Level.PRECAUTION
    return rule(
        f"pregnancy.{modality}",
        modality,
        level,
        _pregnant,
        reads=("person.pregnant", "person.menopause", "person.sex"),
        reason="Pregnancy." + (f" {PRECAUTION_WORDS[modality]}" if careful else ""),
        source=cite("vibration_lists", "project"),
        evidence="Lists name it, absolute or relative; the rule takes the careful side.",
        unanswered=Unanswered.DOSE if careful else Unanswered.HOLD,
        limits=PRECAUTION_LIMITS[modality] if careful else None,
        lifted_by=Lift(subject="pregnancy", by=()) if level is Level.NEEDS_CLEARANCE else None,
    )


RISK_RULES: tuple[Rule, ...] = (
    LOW_T,
    FALLER_IMPACT,
    FALLER_LIFTING,
    FALLS_UNASKED,
    *(_pregnancy_rule(modality, level) for modality, level in _PREGNANCY.items()),
)
