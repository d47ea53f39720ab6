"""Resting pressure, high and low, and its fall on standing (rulebook row 6)."""

from __future__ import annotations

from collections.abc import Callable

from patients.measured.function_tests import (
    HIGH_MMHG,
    LOW_RESTING_MMHG,
    LOW_STANDING_MMHG,
    TOO_HIGH_MMHG,
)
from patients.measured.newest_tests import RESTING
from safety.findings import ALL, LOADED, Level, Limits, Modality
from safety.rules.rule import NO, PRECAUTION_LIMITS, PRECAUTION_WORDS, Rule, Seen, Unanswered, rule
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
    return s.tests.read.resting_bp


def _over(found: tuple[int, int], limit: tuple[int, int]) -> bool:
    return found[0] > limit[0] or found[1] > limit[1]


def _between(low: tuple[int, int], high: tuple[int, int] | None) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        found = _resting(s)
        if found is None or not _over(found, low) or (high is not None and _over(found, high)):
            return NO
        return Seen(answer=True, facts=(f"Resting pressure {found[0]}/{found[1]}",))

    return when


def _unmeasured(s: Situation) -> Seen:
    """See a pressure never measured, or too long ago: a high one of then clears nothing."""
    measured = _resting(s) is not None and RESTING not in s.tests.stale
    return Seen(answer=False if measured else None, missing=("resting blood pressure",))


_TOO_HIGH = _between(TOO_HIGH_MMHG, None)
_HIGH = _between(HIGH_MMHG, TOO_HIGH_MMHG)
_HIGH_ASKS = {
    Modality.PLATE: (PRECAUTION_LIMITS[Modality.PLATE], PRECAUTION_WORDS[Modality.PLATE]),
    Modality.RESISTANCE: (
        Limits(percent_1rm=60, least_could_lift=25, no_held_breath=True),
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


def _refer(code: str, when: Callable[[Situation], Seen], reason: str) -> Rule:
    return rule(
        code,
        ALL,
        Level.REFER,
        when,
        reads=("tests.resting_bp", "tests.standing_bp"),
        reason=reason,
        source=_SOURCES,
        evidence=_EVIDENCE,
        unanswered=Unanswered.NOTE,
    )


def _low(s: Situation) -> Seen:
    found = _resting(s)
    if found is None or found[0] > LOW_RESTING_MMHG:
        return NO
    return Seen(answer=True, facts=(f"Resting pressure {found[0]}/{found[1]}",))


def _low_and_falls(s: Situation) -> Seen:
    """See a low pressure with a fall on standing, or one that is very low after standing."""
    seen, standing = _low(s), s.tests.read.standing_bp
    very_low = standing is not None and standing[0] <= LOW_STANDING_MMHG
    if not seen.answer or not (s.tests.drops or very_low):
        return NO
    after = (f"after standing {standing[0]}/{standing[1]}",) if standing else ()
    return Seen(answer=True, facts=(*seen.facts, *after))


REFERRALS = (
    _refer(
        "pressure.refer",
        _TOO_HIGH,
        "Refer: resting pressure over 180 or over 110 is treated first.",
    ),
    _refer(
        "pressure.over_160_100.refer",
        _HIGH,
        "Refer: resting pressure over 160 or over 100, to be looked at.",
    ),
    _refer(
        "pressure.low.refer",
        _low_and_falls,
        "Refer: pressure of 90 or less that falls on standing, or 80 or less after standing.",
    ),
)


def _low_rule(modality: Modality) -> Rule:
    return rule(
        f"pressure.low.{modality}",
        modality,
        Level.PRECAUTION,
        _low,
        reads=_READS,
        reason="Resting pressure 90 or less: get up slowly. " + PRECAUTION_WORDS[modality],
        source=cite("orthostatic", "project"),
        evidence="Low pressure and faints go together; the limit is a project choice.",
        unanswered=Unanswered.NOTE,
        limits=PRECAUTION_LIMITS[modality],
    )


def _drop(s: Situation) -> Seen:
    pair = s.tests.pair
    if pair is None or pair.resting_bp is None or pair.standing_bp is None:
        return Seen(answer=None, missing=("pressure after standing up",))
    if not s.tests.drops:
        return NO
    (lying, low), (standing, low_standing) = pair.resting_bp, pair.standing_bp
    return Seen(
        answer=True,
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
    )


PRESSURE_RULES: tuple[Rule, ...] = (
    *(_bar(modality) for modality in LOADED),
    *(_care(modality) for modality in LOADED),
    *(_hold(modality) for modality in LOADED),
    *REFERRALS,
    _low_rule(Modality.BALANCE),
    _low_rule(Modality.PLATE),
    _drop_rule(Modality.BALANCE),
    _drop_rule(Modality.PLATE),
)
