"""What goes with the conditions beside the table: dates, company, referrals, low weight."""

from __future__ import annotations

from collections.abc import Callable

from patients.facts.codes import CONDITIONS, DATED_CONDITIONS, in_a_line
from patients.facts.units import bmi_kg_m2
from safety.findings import ALL, Level, Modality
from safety.rules.rule import (
    NO,
    PRECAUTION_LIMITS,
    PRECAUTION_WORDS,
    Rule,
    Seen,
    Unanswered,
    rule,
)
from safety.situation import WATCHED, Situation
from safety.sources import cite

#: Under this, in kg/m2, she is referred and does not jump.
LOW_BMI = 18.5


def _undated(code: str) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        condition = s.facts.condition(code)
        unknown = condition.answer is True and condition.on is None
        label = in_a_line(CONDITIONS[code])
        return Seen(answer=None if unknown else False, missing=(f"date of: {label}",))

    return when


DATE_RULES = tuple(
    rule(
        f"{code}.date",
        ALL,
        Level.MISSING,
        _undated(code),
        reads=(f"conditions.{code}.on",),
        reason="",
        source=cite("project"),
        evidence="A dated condition without its date is read as recent.",
        unanswered=Unanswered.NOTE,
    )
    for code in DATED_CONDITIONS
)


def _alone(code: str) -> Callable[[Situation], Seen]:
    label = CONDITIONS[code]

    def when(s: Situation) -> Seen:
        answer = s.facts.condition(code).answer
        if answer is False or s.company:
            return Seen(answer=False)
        missing: tuple[str, ...] = () if answer else (in_a_line(label),)
        if s.company is None:
            missing += ("whether somebody is there in sessions",)
        return Seen(
            answer=None if missing else True,
            facts=(f"{label}: yes",) if answer else (),
            missing=missing,
        )

    return when


def _alone_rule(code: str, modality: Modality, level: Level) -> Rule:
    return rule(
        f"{code}.alone.{modality}",
        modality,
        level,
        _alone(code),
        reads=(f"conditions.{code}", "resources.supervised", "resources.watcher"),
        reason=f"{CONDITIONS[code]}, and nobody there in sessions: left out for now.",
        source=cite("prt", "project"),
        evidence="Severe dementia is on the lists; that company answers it is a project choice.",
        unanswered=Unanswered.HOLD,
    )


ALONE_RULES = (
    *(_alone_rule(code, Modality.PLATE, Level.CONTRAINDICATED) for code in WATCHED),
    _alone_rule("cognitive_impairment", Modality.RESISTANCE, Level.MISSING),
    _alone_rule("cognitive_impairment", Modality.IMPACT, Level.MISSING),
    _alone_rule("cognitive_impairment", Modality.BALANCE, Level.MISSING),
)


def _yes(code: str) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        answer = bool(s.facts.condition(code).answer)
        return Seen(answer=answer, facts=(f"{CONDITIONS[code]}: yes",))

    return when


PELVIC_REFERRAL = rule(
    "pelvic_floor_symptoms.refer",
    Modality.IMPACT,
    Level.REFER,
    _yes("pelvic_floor_symptoms"),
    reads=("conditions.pelvic_floor_symptoms",),
    reason="Incontinence or prolapse: refer to a pelvic floor physiotherapist.",
    source=cite("pelvic_floor"),
    evidence="Impact and heavy lifts go with more leaking in athletes; referral is usual care.",
    unanswered=Unanswered.NOTE,
)
ENERGY_REFERRAL = rule(
    "low_energy.refer",
    ALL,
    Level.REFER,
    _yes("low_energy"),
    reads=("conditions.low_energy",),
    reason="Refer: eating less than training needs, or missed periods; the cause comes first.",
    source=cite("low_energy", "project"),
    evidence="Bone is lost for as long as energy is short, whatever is trained.",
    unanswered=Unanswered.NOTE,
)


def _thin(s: Situation) -> Seen:
    weight, height = s.facts.person.weight_kg, s.facts.person.height_cm
    if weight is None or height is None:
        missing = ("weight",) if weight is None else ("height today",)
        return Seen(answer=None, missing=missing)
    bmi = bmi_kg_m2(weight, height)
    return Seen(answer=True, facts=(f"BMI {bmi:.1f}",)) if bmi < LOW_BMI else NO


def _thin_rule(about: Modality | str, level: Level, reason: str) -> Rule:
    precaution = level is Level.PRECAUTION
    return rule(
        f"low_bmi.{'impact' if precaution else 'refer'}",
        about,
        level,
        _thin,
        reads=("person.weight_kg", "person.height_cm"),
        reason=reason,
        source=cite("low_energy", "project"),
        evidence="The limit is that of underweight in adults; what it asks is a project choice.",
        # What is not known never loosens: a height not measured keeps what it might show.
        unanswered=Unanswered.DOSE if precaution else Unanswered.NOTE,
        limits=PRECAUTION_LIMITS[Modality.IMPACT] if precaution else None,
        review_lifts=precaution,
    )


LOW_WEIGHT_RULES = (
    _thin_rule(ALL, Level.REFER, "Refer: BMI under 18.5; look for the cause."),
    _thin_rule(
        Modality.IMPACT,
        Level.PRECAUTION,
        f"BMI under 18.5. {PRECAUTION_WORDS[Modality.IMPACT]}",
    ),
)

BESIDE_CONDITION_RULES: tuple[Rule, ...] = (
    *DATE_RULES,
    *ALONE_RULES,
    PELVIC_REFERRAL,
    ENERGY_REFERRAL,
    *LOW_WEIGHT_RULES,
)
