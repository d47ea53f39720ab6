"""Medicines, findings grown old, and who is not drafted for (rows 0, 1, 3, 6a, 11, 11a)."""

from __future__ import annotations

from patients.facts.codes import MEDICINES, in_a_line
from patients.facts.partial_dates import told_words
from patients.facts.units import show_number
from safety import fracture_history
from safety.findings import ALL, Level
from safety.risk import sedating, sedating_missing
from safety.rules.rule import NO, Rule, Seen, Unanswered, rule
from safety.situation import Situation
from safety.sources import cite

ADULT_AGE = 18


def _child(s: Situation) -> Seen:
    return Seen(answer=True, facts=(f"Age {s.youngest}",)) if s.youngest < ADULT_AGE else NO


UNDER_AGE = rule(
    "age.under_18",
    ALL,
    Level.REFER,
    _child,
    reads=("person.born",),
    reason="Under 18: nothing is drafted. Refer to a children's bone clinic.",
    source=cite("project"),
    evidence="No rule here was made for bone that still grows.",
    unanswered=Unanswered.NOTE,
    blocks=True,
)


def _overdue(s: Situation) -> Seen:
    last = fracture_history.last_denosumab(s.facts)
    overdue = last is not None and fracture_history.denosumab_overdue(s.facts)
    facts = (f"Last denosumab: {told_words(last)}",) if last else ()
    return Seen(answer=overdue, facts=facts)


DENOSUMAB_OVERDUE = rule(
    "denosumab.overdue",
    ALL,
    Level.REFER,
    _overdue,
    reads=("medicines.bone_medicine",),
    reason="Refer the same week: denosumab more than seven months ago and nothing after it; "
    "vertebrae may break as it wears off.",
    source=cite("denosumab_rebound", "project"),
    evidence="Bone lost fast and several vertebrae broken are reported once the effect ends.",
    unanswered=Unanswered.NOTE,
)


def _untreated(s: Situation) -> Seen:
    high = s.fracture_risk.level in ("high", "very_high")
    if not high or s.facts.medicine("bone_medicine").answer is not False:
        return NO
    facts = (*(c.text for c in s.fracture_risk.fired), f"{MEDICINES['bone_medicine']}: no")
    return Seen(answer=True, facts=facts)


UNTREATED = rule(
    "bone_medicine.wanted",
    ALL,
    Level.REFER,
    _untreated,
    reads=("medicines.bone_medicine", "scans", "fractures", "probability_10y"),
    reason="Refer: high fracture risk and no medicine for bone; whether one is wanted is for a "
    "doctor. Training does not replace it.",
    source=cite("bhof2022", "treatment_line", "project"),
    evidence="Guidelines treat at this risk; no trial of training had fractures as its end.",
    unanswered=Unanswered.NOTE,
)


def _drowsy(s: Situation) -> Seen:
    taken = tuple(f"{MEDICINES[code]}: yes" for code in sedating(s.facts))
    unknown = tuple(in_a_line(MEDICINES[code]) for code in sedating_missing(s.facts))
    if len(taken) >= 2:
        return Seen(answer=True, facts=taken)
    return Seen(answer=None if unknown else False, missing=unknown)


MEDICINE_REVIEW = rule(
    "medicines.sedating",
    ALL,
    Level.REFER,
    _drowsy,
    reads=tuple(
        f"medicines.{code}"
        for code in ("sedative", "antidepressant", "antipsychotic", "opioid", "antiepileptic")
    ),
    reason="Refer for a medicine review: two or more that make drowsy or unsteady.",
    source=cite("wfg2022", "project"),
    evidence="They go with falls in cohorts; that two make the risk intermediate is a project "
    "choice.",
    unanswered=Unanswered.NOTE,
)


def _falls_high(s: Situation) -> Seen:
    if s.fall_risk.drafted_as != "high":
        return NO
    return Seen(answer=True, facts=tuple(c.text for c in s.fall_risk.fired))


FALLS_ASSESSMENT = rule(
    "falls.high.refer",
    ALL,
    Level.REFER,
    _falls_high,
    reads=("falls",),
    reason="Refer: high fall risk, for a falls assessment.",
    source=cite("wfg2022"),
    evidence="The world guidelines refer people at high risk for an assessment of all causes.",
    unanswered=Unanswered.NOTE,
)


def _thinned(s: Situation) -> Seen:
    answer = s.facts.medicine("anticoagulant").answer
    return Seen(answer=bool(answer), facts=(f"{MEDICINES['anticoagulant']}: yes",))


BLOOD_THINNER = rule(
    "anticoagulant.knock",
    ALL,
    Level.PRECAUTION,
    _thinned,
    reads=("medicines.anticoagulant",),
    reason="Takes a blood thinner: after any knock on the head, help the same day.",
    source=cite("head_injury", "project"),
    evidence="Bleeding inside the skull may show late; the words stand on every paper.",
    unanswered=Unanswered.NOTE,
)


def _low_t_young(s: Situation) -> Seen:
    low = s.density.low_t
    if low is None:
        return NO
    return Seen(answer=True, facts=(f"T-score {show_number(low, 1)}, where Z is read",))


LOW_T_YOUNG = rule(
    "low_t.young",
    ALL,
    Level.REFER,
    _low_t_young,
    reads=("scans",),
    reason="Refer: T-score \u22122.5 or lower before menopause or under 50; look for a cause.",
    source=cite("iscd", "project"),
    evidence="Z is read at this age; a T so low is still asked about.",
    unanswered=Unanswered.NOTE,
)


def _old_tests(s: Situation) -> Seen:
    return Seen(answer=None, missing=s.tests.old) if s.tests.old else NO


OLD_TESTS = rule(
    "tests.old",
    ALL,
    Level.MISSING,
    _old_tests,
    reads=("tests",),
    reason="",
    source=cite("project"),
    evidence="Older than twelve months, a resting pressure than six: a normal result is as never "
    "measured, an abnormal one still counts.",
    unanswered=Unanswered.NOTE,
)


def _old_scan(s: Situation) -> Seen:
    return Seen(answer=None, missing=("a newer bone density scan",)) if s.density.too_old else NO


OLD_SCAN = rule(
    "scans.old",
    ALL,
    Level.MISSING,
    _old_scan,
    reads=("scans",),
    reason="",
    source=cite("project"),
    evidence="Older than 36 months, 12 on a glucocorticoid, a scan can raise the risk and never "
    "lower it.",
    unanswered=Unanswered.NOTE,
)

MEDICINE_AND_AGE_RULES: tuple[Rule, ...] = (
    UNDER_AGE,
    DENOSUMAB_OVERDUE,
    UNTREATED,
    MEDICINE_REVIEW,
    FALLS_ASSESSMENT,
    BLOOD_THINNER,
    LOW_T_YOUNG,
    OLD_TESTS,
    OLD_SCAN,
)
