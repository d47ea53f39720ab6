"""Very low T, falls, pregnancy (rows 2b, 3, and the last lines of rows 7 to 10)."""

from __future__ import annotations

from patients.facts.declared import Falls
from patients.facts.units import show_number
from safety.findings import ALL, Level, Limits, Modality
from safety.risk import severity_missing
from safety.rules.conditions import may_bear
from safety.rules.rule import (
    NO,
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


def _low_t(s: Situation) -> Seen:
    found = s.density
    if found.score is None:
        return Seen(answer=None, missing=("a bone density result",))
    if found.by != "t" or found.score > -3.5:
        return NO
    return Seen(answer=True, facts=(f"{found.by.upper()}-score {show_number(found.score, 1)}",))


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
    lifted_by=Lift(subject="low_t"),
)


def _faller(s: Situation) -> Seen:
    if s.fall_risk.drafted_as != "high":
        return NO
    return Seen(answer=True, facts=tuple(c.text for c in s.fall_risk.fired))


def _standing_faller(s: Situation) -> Seen:
    """Who cannot stand is not grouped by falls (rulebook row 3b)."""
    return NO if s.seated else _faller(s)


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
    _standing_faller,
    reads=("falls", "tests", "person.mobility"),
    reason="High fall risk: form before load, start low, rise slowly.",
    source=cite("uk2022", "toofit2014"),
    evidence="Start lower where a condition limits or risk is high.",
    unanswered=Unanswered.NOTE,
    limits=Limits(group_c=True),
)


FALLER_BALANCE = rule(
    "falls.high.balance",
    Modality.BALANCE,
    Level.PRECAUTION,
    _faller,
    reads=("falls", "tests"),
    reason=f"High fall risk. {PRECAUTION_WORDS[Modality.BALANCE]}",
    source=cite("wfg2022", "project"),
    evidence="Balance is trained at the edge of what is held; a hand's reach from support is a "
    "project choice.",
    unanswered=Unanswered.NOTE,
    limits=PRECAUTION_LIMITS[Modality.BALANCE],
)


def _falls_unasked(s: Situation) -> Seen:
    falls = s.facts.falls or Falls()
    if falls.last_12_months is None:
        return Seen(answer=None, missing=("falls in the last 12 months",))
    words = tuple(f"whether a fall was with {name}" for name in severity_missing(falls))
    if falls.unsteady is None:
        words = (*words, "feeling unsteady")
    return Seen(answer=None, missing=words) if words else NO


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
    """See a pregnancy; not answered counts as no where none is to be expected."""
    person = s.facts.person
    if person.sex == "male" or (person.pregnant is None and not may_bear(s)):
        return NO
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
        lifted_by=Lift(subject="pregnancy") if level is Level.NEEDS_CLEARANCE else None,
    )


RISK_RULES: tuple[Rule, ...] = (
    LOW_T,
    FALLER_IMPACT,
    FALLER_LIFTING,
    FALLER_BALANCE,
    FALLS_UNASKED,
    *(_pregnancy_rule(modality, level) for modality, level in _PREGNANCY.items()),
)
