"""Resting pressure and its fall on standing (rulebook row 6)."""

from __future__ import annotations

from collections.abc import Callable

from patients.facts import Tests
from patients.function_tests import postural_drop
from safety.findings import ALL, LOADED, Level, Limits, Modality
from safety.rules.rule import PRECAUTION_LIMITS, PRECAUTION_WORDS, Rule, Seen, Unanswered, rule
from safety.situation import Situation
from safety.sources import cite

_READS = ("tests.resting_bp",)
_SOURCES = cite("rt_bp", "prt", "project")
_EVIDENCE = (
    "Published limits differ: over 200/110 before a test, over 180/110 and over 160/100 for "
    "resistance, over 170 untreated in older adults. The rule takes 180/110 and 160/100 for all "
    "loaded work, either number counting."
)


def _resting(s: Situation) -> tuple[int, int] | None:
    return (s.facts.tests or Tests()).resting_bp


def _between(low: tuple[int, int], high: tuple[int, int] | None) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        found = _resting(s)
        if found is None:
            return Seen(answer=False)
        over = found[0] > low[0] or found[1] > low[1]
        under = high is None or not (found[0] > high[0] or found[1] > high[1])
        return Seen(answer=over and under, facts=(f"Resting pressure {found[0]}/{found[1]}",))

    return when


def _unmeasured(s: Situation) -> Seen:
    return Seen(answer=None if _resting(s) is None else False, missing=("resting blood pressure",))


_TOO_HIGH = _between((180, 110), None)
_HIGH = _between((160, 100), (180, 110))
_HIGH_ASKS = {
    Modality.PLATE: (PRECAUTION_LIMITS[Modality.PLATE], PRECAUTION_WORDS[Modality.PLATE]),
    Modality.RESISTANCE: (
        Limits(percent_1rm=60, no_held_breath=True),
        "No more than 60 %, never holding the breath.",
    ),
    Modality.IMPACT: (Limits(impact_bw=2.0), "No more than 2 body weights."),
}


def _bar(modality: Modality) -> Rule:
    return rule(
        f"pressure.over_180_110.{modality}",
        modality,
        Level.CONTRAINDICATED,
        _TOO_HIGH,
        reads=_READS,
        reason="Resting pressure over 180 or over 110: not until it is treated.",
        source=_SOURCES,
        evidence=_EVIDENCE,
        unanswered=Unanswered.NOTE,
    )


def _care(modality: Modality) -> Rule:
    limits, words = _HIGH_ASKS[modality]
    return rule(
        f"pressure.over_160_100.{modality}",
        modality,
        Level.PRECAUTION,
        _HIGH,
        reads=_READS,
        reason=f"Resting pressure over 160 or over 100. {words}",
        source=_SOURCES,
        evidence=_EVIDENCE,
        unanswered=Unanswered.NOTE,
        limits=limits,
        review_lifts=modality is Modality.PLATE,
    )


def _hold(modality: Modality) -> Rule:
    return rule(
        f"pressure.not_measured.{modality}",
        modality,
        Level.MISSING,
        _unmeasured,
        reads=_READS,
        reason="",
        source=_SOURCES,
        evidence="Pressure never measured is never normal.",
        unanswered=Unanswered.HOLD,
    )


REFERRAL = rule(
    "pressure.refer",
    ALL,
    Level.REFER,
    _TOO_HIGH,
    reads=_READS,
    reason="Refer: resting pressure over 180 or over 110 is treated first.",
    source=_SOURCES,
    evidence=_EVIDENCE,
    unanswered=Unanswered.NOTE,
)


def _drop(s: Situation) -> Seen:
    tests = s.facts.tests or Tests()
    if tests.resting_bp is None or tests.standing_bp is None:
        return Seen(answer=None, missing=("pressure after standing up",))
    (lying, low), (standing, low_standing) = tests.resting_bp, tests.standing_bp
    return Seen(
        answer=bool(postural_drop(tests)),
        facts=(f"Pressure {lying}/{low}, after standing {standing}/{low_standing}",),
    )


def _drop_rule(modality: Modality) -> Rule:
    return rule(
        f"pressure.standing_fall.{modality}",
        modality,
        Level.PRECAUTION,
        _drop,
        reads=("tests.resting_bp", "tests.standing_bp"),
        reason="Pressure falls by 20/10 or more on standing: get up slowly. "
        + PRECAUTION_WORDS[modality],
        source=cite("orthostatic", "project"),
        evidence="The definition is published; what it asks of a program is a project choice.",
        unanswered=Unanswered.NOTE,
        limits=PRECAUTION_LIMITS[modality],
        review_lifts=modality is Modality.PLATE,
    )


PRESSURE_RULES: tuple[Rule, ...] = (
    *(_bar(modality) for modality in LOADED),
    *(_care(modality) for modality in LOADED),
    *(_hold(modality) for modality in LOADED),
    REFERRAL,
    _drop_rule(Modality.BALANCE),
    _drop_rule(Modality.PLATE),
)
