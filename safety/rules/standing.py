"""Whether she can stand and walk, and low function (rulebook rows 2b, 3a, 3b)."""

from __future__ import annotations

from patients.measured.newest_tests import STANDING_TESTS
from safety.findings import ALL, WALKING_BW, Level, Limits, Modality
from safety.rules.rule import NO, PRECAUTION_LIMITS, Rule, Seen, Unanswered, rule
from safety.situation import Situation
from safety.sources import cite

_FUNCTION_READS = ("tests", "person.mobility")
_STAND_READS = ("person.mobility", "tests.unable")
_START_LOW = "Start with targeted strength and balance (consensus of 2022)."


def _low(s: Situation) -> Seen:
    if s.seated or s.low_function.level == "no":
        return NO
    if s.low_function.level == "unknown":
        return Seen(
            answer=None,
            missing=("up and go, the walk, five stands or chair stands",),
        )
    return Seen(answer=True, facts=tuple(c.text for c in s.low_function.fired))


def _not_tested(s: Situation) -> Seen:
    seen = _low(s)
    return seen if seen.answer is None else NO


def _low_drafted(s: Situation) -> Seen:
    """Not known counts as low from 75 on, and before is only asked for."""
    seen = _low(s)
    return seen if seen.answer is not None or s.function_is_low else NO


def _function_rule(modality: Modality, reason: str, limits: Limits) -> Rule:
    return rule(
        f"low_function.{modality}",
        modality,
        Level.PRECAUTION,
        _low_drafted,
        reads=_FUNCTION_READS,
        reason=f"Low function. {reason}",
        source=cite("uk2022", "ewgsop2", "project"),
        evidence=f"{_START_LOW} The cuts are published; what they ask is a project choice.",
        unanswered=Unanswered.DOSE,
        limits=limits,
    )


FUNCTION_ASKED = rule(
    "low_function.not_tested",
    ALL,
    Level.MISSING,
    _not_tested,
    reads=_FUNCTION_READS,
    reason="",
    source=cite("uk2022", "project"),
    evidence=f"{_START_LOW} Not tested is drafted as low function from 75 on.",
    unanswered=Unanswered.NOTE,
)
FUNCTION_RULES = (
    _function_rule(
        Modality.RESISTANCE,
        "Form before load, start low, rise slowly.",
        Limits(group_c=True),
    ),
    _function_rule(
        Modality.IMPACT,
        "Impact no higher than brisk walking until a new test no longer shows it.",
        Limits(impact_bw=WALKING_BW),
    ),
)


def _cannot(s: Situation) -> Seen:
    facts = ("Stays in bed or in a wheelchair, or cannot stand with the feet side by side",)
    return Seen(answer=s.seated, facts=facts)


def _cannot_rule(about: Modality | str, level: Level, reason: str) -> Rule:
    return rule(
        f"cannot_stand.{'refer' if about == ALL else about}",
        about,
        level,
        _cannot,
        reads=_STAND_READS,
        reason=reason,
        source=cite("project"),
        evidence="No trial of plates or impact took people who cannot stand; a seated program of "
        "strength, balance and posture is common practice.",
        unanswered=Unanswered.NOTE,
    )


def _frame(s: Situation) -> Seen:
    walks = s.facts.person.mobility == "frame" and not s.seated
    return Seen(answer=walks, facts=("Walks with a frame indoors",))


def _frame_rule(modality: Modality, reason: str, limits: Limits) -> Rule:
    return rule(
        f"frame.{modality}",
        modality,
        Level.PRECAUTION,
        _frame,
        reads=("person.mobility",),
        reason=f"Walks with a frame indoors. {reason}",
        source=cite("project"),
        evidence="What is not safe without a frame is not trained without hands.",
        unanswered=Unanswered.NOTE,
        limits=limits,
    )


_HANDS = "Hands on support in every standing exercise."
_ON_SUPPORT = Limits(hands_on_support=True)


def _unseen(s: Situation) -> Seen:
    known = s.facts.person.mobility is not None or s.tests.known(*STANDING_TESTS)
    missing = ("how standing and walking go, told or tested",)
    return Seen(answer=False if known else None, missing=missing)


def _unseen_rule(modality: Modality) -> Rule:
    balance = modality is Modality.BALANCE
    return rule(
        f"standing.not_recorded.{modality}",
        modality,
        Level.MISSING,
        _unseen,
        reads=("person.mobility", "tests"),
        reason="",
        source=cite("project"),
        evidence="Nobody is stood on a plate or told to jump who was not seen to stand.",
        unanswered=Unanswered.DOSE if balance else Unanswered.HOLD,
        limits=PRECAUTION_LIMITS[Modality.BALANCE] if balance else None,
    )


STANDING_RULES: tuple[Rule, ...] = (
    FUNCTION_ASKED,
    *FUNCTION_RULES,
    _cannot_rule(
        Modality.PLATE, Level.CONTRAINDICATED, "Cannot stand or walk: nobody is stood on a plate."
    ),
    _cannot_rule(Modality.IMPACT, Level.CONTRAINDICATED, "Cannot stand or walk: no impact."),
    _cannot_rule(
        ALL, Level.REFER, "Refer to a physiotherapist: cannot stand or walk; trained seated."
    ),
    _frame_rule(Modality.RESISTANCE, _HANDS, _ON_SUPPORT),
    _frame_rule(
        Modality.IMPACT,
        "Impact no higher than brisk walking.",
        Limits(impact_bw=WALKING_BW, hands_on_support=True),
    ),
    _frame_rule(Modality.BALANCE, _HANDS, Limits(near_support=True, hands_on_support=True)),
    _frame_rule(Modality.POSTURE, _HANDS, _ON_SUPPORT),
    *(_unseen_rule(m) for m in (Modality.PLATE, Modality.IMPACT, Modality.BALANCE)),
)
