"""After a fracture, by bone: rulebook rows 4 and 5b, and what is asked about fractures."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from patients.facts.ages import add_months
from patients.facts.codes import FRACTURE_SITES
from patients.facts.declared import Fracture
from patients.facts.partial_dates import told_words
from safety import fracture_history
from safety.findings import ALL, LOADED, WALKING_BW, Level, Limits, Modality
from safety.fracture_history import ARM_SITES, MINOR_SITES, TOE_SITES
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

READS = ("fractures",)
_CAREFUL = (Modality.BALANCE, Modality.POSTURE)
_SOURCE = cite("bp819", "prt", "vibration_lists", "project")
_EVIDENCE = (
    "Lists say 6 to 12 weeks for plates, 6 months for delayed union with weights; 4 to 12 weeks "
    "as tolerated after vertebral fracture. Which bone stops what is a project choice."
)
#: Every other bone, an unknown one too: its break stops all loaded work.
WHOLE_BODY_SITES = tuple(
    site for site in FRACTURE_SITES if site not in (*ARM_SITES, *MINOR_SITES, *TOE_SITES)
)


def words(fractures: list[Fracture]) -> tuple[str, ...]:
    """Return fractures in words, each with its date and how it healed."""
    return tuple(
        f"Fracture: {FRACTURE_SITES[f.site]}, "
        + (told_words(f.date) if f.date else "date not recorded")
        + {True: ", healed", False: ", not healed", None: ", healing not recorded"}[f.healed]
        for f in fractures
    )


@cache
def _any(
    test: Callable[[Fracture, Situation], bool], sites: tuple[str, ...]
) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        found = [f for f in s.fractures or () if f.site in sites and test(f, s)]
        return Seen(answer=bool(found), facts=words(found))

    return when


def _fresh(f: Fracture, s: Situation) -> bool:
    return fracture_history.is_fresh(f, s.day)


def _mending(f: Fracture, s: Situation) -> bool:
    return fracture_history.is_mending(f, s.day)


def _never_united(f: Fracture, s: Situation) -> bool:
    dated = f.date is not None and s.day > add_months(f.date, 12)
    return dated and f.healed is False


FRESH = rule(
    "fracture.under_4_weeks",
    ALL,
    Level.REFER,
    _any(_fresh, (*WHOLE_BODY_SITES, *ARM_SITES)),
    reads=READS,
    reason="A fracture under four weeks old: nothing is drafted. Refer to whoever treats it.",
    source=cite("bp819", "project"),
    evidence="A clinical reference starts programs at 4 to 12 weeks at the earliest; the rule "
    "reads that for every bone but fingers, toes and face.",
    unanswered=Unanswered.NOTE,
    blocks=True,
)
NOT_UNITED = rule(
    "fracture.arm.not_united",
    ALL,
    Level.REFER,
    _any(_never_united, ARM_SITES),
    reads=READS,
    reason="Refer: an arm that has not healed in twelve months.",
    source=_SOURCE,
    evidence=_EVIDENCE,
    unanswered=Unanswered.NOTE,
)


def _mending_rule(modality: Modality) -> Rule:
    loaded = modality in LOADED
    return rule(
        f"fracture.mending.{modality}",
        modality,
        Level.CONTRAINDICATED if loaded else Level.NEEDS_CLEARANCE,
        _any(_mending, WHOLE_BODY_SITES),
        reads=READS,
        reason="A fracture up to twelve weeks old or not healed: "
        + ("no load on it yet." if loaded else "only with leave from whoever treats it."),
        source=_SOURCE,
        evidence=_EVIDENCE,
        unanswered=Unanswered.NOTE,
        lifted_by=None if loaded else Lift(subject="fracture"),
    )


def _by_bone(
    bone: str, sites: tuple[str, ...], modality: Modality, text: str, limits: Limits | None
) -> Rule:
    """A break that stops the plate, and of the other modalities what the limits say."""
    return rule(
        f"fracture.{bone}.{modality}",
        modality,
        Level.CONTRAINDICATED if limits is None else Level.PRECAUTION,
        _any(_mending, sites),
        reads=READS,
        reason=text,
        source=_SOURCE,
        evidence=_EVIDENCE,
        unanswered=Unanswered.NOTE,
        limits=limits,
    )


_WALKING = Limits(impact_bw=WALKING_BW)
_P = PRECAUTION_LIMITS
_NO_TOES = Limits(no_toe_stands=True)
_ARM, _MINOR = "An arm that mends", "A finger or the face broken, and it mends"
_TOE = "A toe broken, and it mends"
_ASKS: tuple[tuple[str, tuple[str, ...], Modality, str, Limits | None], ...] = (
    ("arm", ARM_SITES, Modality.PLATE, f"{_ARM}: no plate.", None),
    ("arm", ARM_SITES, Modality.IMPACT, f"{_ARM}: no more than brisk walking.", _WALKING),
    (
        "arm",
        ARM_SITES,
        Modality.RESISTANCE,
        f"{_ARM}: no lift that uses either arm or holds a weight in a hand.",
        Limits(no_arms=True),
    ),
    (
        "arm",
        ARM_SITES,
        Modality.BALANCE,
        f"{_ARM}: {PRECAUTION_WORDS[Modality.BALANCE]}",
        _P[Modality.BALANCE],
    ),
    (
        "arm",
        ARM_SITES,
        Modality.POSTURE,
        f"{_ARM}: {PRECAUTION_WORDS[Modality.POSTURE]}",
        _P[Modality.POSTURE],
    ),
    ("minor", MINOR_SITES, Modality.PLATE, f"{_MINOR}: no plate.", None),
    ("minor", MINOR_SITES, Modality.IMPACT, f"{_MINOR}: no more than brisk walking.", _WALKING),
    *(
        ("minor", MINOR_SITES, m, f"{_MINOR}. {PRECAUTION_WORDS[m]}", _P[m])
        for m in (Modality.RESISTANCE, *_CAREFUL)
    ),
    ("toe", TOE_SITES, Modality.PLATE, f"{_TOE}: no plate.", None),
    ("toe", TOE_SITES, Modality.IMPACT, f"{_TOE}: no impact.", None),
    *(
        (
            "toe",
            TOE_SITES,
            m,
            f"{_TOE}: no standing on the toes. {PRECAUTION_WORDS[m]}",
            _P[m].tightest(_NO_TOES),
        )
        for m in (Modality.RESISTANCE, *_CAREFUL)
    ),
)


def _unsure(s: Situation) -> Seen:
    broken = [f for f in s.fractures or () if not fracture_history.is_mending(f, s.day)]
    found = [f for f in broken if fracture_history.is_unsure(f, s.day)]
    missing = tuple(f"healing of the fracture of: {FRACTURE_SITES[f.site]}" for f in found)
    return Seen(answer=None if found else False, facts=words(found), missing=missing)


def _unsure_rule(modality: Modality) -> Rule:
    return rule(
        f"fracture.healing_unknown.{modality}",
        modality,
        Level.MISSING,
        _unsure,
        reads=READS,
        reason="",
        source=cite("prt", "project"),
        evidence="Delayed union is a bar to loading for 6 months; the rule asks for 12.",
        unanswered=Unanswered.HOLD,
    )


def _undated(s: Situation) -> Seen:
    found = [f for f in s.fractures or () if f.date is None]
    asked = tuple(
        f"{'date' if f.healed is not None else 'date and healing'} of the fracture of: "
        f"{FRACTURE_SITES[f.site]}"
        for f in found
    )
    return Seen(answer=None if found else False, facts=words(found), missing=asked)


UNDATED = rule(
    "fracture.undated",
    ALL,
    Level.MISSING,
    _undated,
    reads=READS,
    reason="",
    source=cite("project"),
    evidence="Without its date a fracture is recent for the risk; unless it was answered healed "
    "it counts as mending.",
    unanswered=Unanswered.NOTE,
)


def _entered_twice(s: Situation) -> Seen:
    found = fracture_history.twice(s.facts.fractures)
    missing = tuple(f"whether this is one fracture or two: {one}" for one in found)
    return Seen(answer=None if found else False, missing=missing)


TWICE = rule(
    "fracture.entered_twice",
    ALL,
    Level.MISSING,
    _entered_twice,
    reads=READS,
    reason="",
    source=cite("project"),
    evidence="The same bone and day is one fracture; each vertebra is an entry of its own.",
    unanswered=Unanswered.NOTE,
)


def _not_asked(s: Situation) -> Seen:
    return Seen(answer=None if s.fractures is None else False, missing=("fractures",))


def _not_asked_rule(modality: Modality) -> Rule:
    loaded = modality in LOADED
    return rule(
        f"fracture.not_asked.{modality}",
        modality,
        Level.MISSING,
        _not_asked,
        reads=READS,
        reason="",
        source=cite("uk2022", "project"),
        evidence="The consensus groups people by fracture history; without it no load is chosen, "
        "and the spine is spared.",
        unanswered=Unanswered.HOLD if loaded else Unanswered.DOSE,
        limits=None if loaded else Limits(spare_spine=True),
    )


def _thigh(s: Situation) -> Seen:
    found = [f for f in s.fractures or () if f.site == "femur_shaft" and f.atypical is not False]
    unknown = any(one.atypical is None for one in found)
    missing = ("whether the break of the thigh bone was atypical",) if unknown else ()
    return Seen(answer=bool(found), facts=words(found), missing=missing)


_THIGH_SOURCE = cite("atypical_femur", "project")
_THIGH_EVIDENCE = (
    "Such breaks come from repeated load and often in both thighs; that walking is the limit and "
    "the plate needs medical clearance is a project choice."
)
THIGH_PLATE = rule(
    "thigh_bone.plate",
    Modality.PLATE,
    Level.NEEDS_CLEARANCE,
    _thigh,
    reads=READS,
    reason="The shaft of the thigh bone broke, atypical or not recorded: the plate needs medical "
    "clearance.",
    source=_THIGH_SOURCE,
    evidence=_THIGH_EVIDENCE,
    unanswered=Unanswered.NOTE,
    lifted_by=Lift(subject="fracture"),
)
THIGH_IMPACT = rule(
    "thigh_bone.impact",
    Modality.IMPACT,
    Level.PRECAUTION,
    _thigh,
    reads=READS,
    reason="The shaft of the thigh bone broke, atypical or not recorded: no more than walking. "
    "Ask about pain in the other thigh.",
    source=_THIGH_SOURCE,
    evidence=_THIGH_EVIDENCE,
    unanswered=Unanswered.NOTE,
    limits=_WALKING,
)

FRACTURE_RULES: tuple[Rule, ...] = (
    FRESH,
    *(_mending_rule(modality) for modality in (*LOADED, *_CAREFUL)),
    *(_by_bone(*asks) for asks in _ASKS),
    *(_unsure_rule(modality) for modality in LOADED),
    *(_not_asked_rule(modality) for modality in (*LOADED, Modality.POSTURE)),
    UNDATED,
    TWICE,
    NOT_UNITED,
    THIGH_PLATE,
    THIGH_IMPACT,
)
