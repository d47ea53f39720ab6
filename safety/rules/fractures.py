"""After a fracture, the fragile spine, and the spine nobody has looked at (rows 2a, 4, 5)."""

from __future__ import annotations

from collections.abc import Callable

from patients.ages import add_months
from patients.codes import FRACTURE_SITES
from patients.facts import Fracture
from safety import history
from safety.findings import ALL, LOADED, Level, Limits, Modality
from safety.rules.rule import Lift, Rule, Seen, Unanswered, rule
from safety.situation import Situation
from safety.sources import cite

_READS = ("fractures",)
_CAREFUL = (Modality.BALANCE, Modality.POSTURE)
WALKING_BW = 1.5


def _words(fractures: list[Fracture]) -> tuple[str, ...]:
    return tuple(
        f"Fracture: {FRACTURE_SITES[f.site]}, "
        + (f"{f.date:%-d %B %Y}" if f.date else "date not recorded")
        + {True: ", healed", False: ", not healed", None: ", healing not recorded"}[f.healed]
        for f in fractures
    )


def _any(test: Callable[[Fracture, Situation], bool]) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        found = [f for f in s.facts.fractures or () if test(f, s)]
        return Seen(answer=bool(found), facts=_words(found))

    return when


def _fresh(f: Fracture, s: Situation) -> bool:
    return history.is_fresh(f, s.day)


def _mending(f: Fracture, s: Situation) -> bool:
    return history.is_mending(f, s.day)


def _unsure(s: Situation) -> Seen:
    found = [
        f
        for f in s.facts.fractures or ()
        if history.is_unsure(f, s.day) and not history.is_mending(f, s.day)
    ]
    missing = tuple(
        f"{'date of' if f.date is None else 'healing of'} the fracture of: {FRACTURE_SITES[f.site]}"
        for f in found
    )
    return Seen(answer=None if found else False, facts=_words(found), missing=missing)


def _not_asked(s: Situation) -> Seen:
    return Seen(answer=None if s.facts.fractures is None else False, missing=("fractures",))


FRESH = rule(
    "fracture.under_4_weeks",
    ALL,
    Level.REFER,
    _any(_fresh),
    reads=_READS,
    reason="A fracture under four weeks old: nothing is drafted. Refer to whoever treats it.",
    source=cite("bp819", "project"),
    evidence="A clinical reference starts programs at 4 to 12 weeks at the earliest; the rule "
    "reads that for every bone.",
    unanswered=Unanswered.NOTE,
    blocks=True,
)


def _mending_rule(modality: Modality) -> Rule:
    loaded = modality in LOADED
    return rule(
        f"fracture.mending.{modality}",
        modality,
        Level.CONTRAINDICATED if loaded else Level.NEEDS_CLEARANCE,
        _any(_mending),
        reads=_READS,
        reason="A fracture up to twelve weeks old or not healed: "
        + ("no load on it yet." if loaded else "only with leave from whoever treats it."),
        source=cite("bp819", "prt", "vibration_lists"),
        evidence="Lists say 6 to 12 weeks for plates, 6 months for delayed union with weights; "
        "4 to 12 weeks as tolerated after vertebral fracture.",
        unanswered=Unanswered.NOTE,
        lifted_by=None if loaded else Lift(subject="fracture", by=()),
    )


def _unsure_rule(modality: Modality) -> Rule:
    return rule(
        f"fracture.healing_unknown.{modality}",
        modality,
        Level.MISSING,
        _unsure,
        reads=_READS,
        reason="",
        source=cite("prt", "project"),
        evidence="Delayed union is a bar to loading for 6 months; the rule asks for 12.",
        unanswered=Unanswered.HOLD,
    )


def _not_asked_rule(modality: Modality) -> Rule:
    return rule(
        f"fracture.not_asked.{modality}",
        modality,
        Level.MISSING,
        _not_asked,
        reads=_READS,
        reason="",
        source=cite("uk2022", "project"),
        evidence="The consensus groups people by fracture history; without it no load is chosen.",
        unanswered=Unanswered.HOLD,
    )


def _fragile_spine(s: Situation) -> Seen:
    fractures = s.facts.fractures
    found = [*history.vertebral(fractures)] or [*history.low_trauma(fractures)]
    return Seen(answer=history.is_fragile_spine(fractures), facts=_words(found))


def _fragile_rule(modality: Modality, reason: str, limits: Limits, *sources: str) -> Rule:
    return rule(
        f"fragile_spine.{modality}",
        modality,
        Level.PRECAUTION,
        _fragile_spine,
        reads=_READS,
        reason=f"Vertebral fracture, or two or more low-trauma fractures. {reason}",
        source=cite(*sources),
        evidence="Expert consensus, no trials of harm; flexion and several fractures go together "
        "in old case series.",
        unanswered=Unanswered.NOTE,
        limits=limits,
    )


SPINE_PLATE = rule(
    "fragile_spine.plate",
    Modality.PLATE,
    Level.NEEDS_CLEARANCE,
    _fragile_spine,
    reads=_READS,
    reason="Vertebral fracture, or two or more low-trauma fractures: the plate needs leave.",
    source=cite("vibration_lists", "pavos", "project"),
    evidence="Lists bar plates; one trial trained people with severe osteoporosis on one for a "
    "year. A specialist decides.",
    unanswered=Unanswered.NOTE,
    lifted_by=Lift(subject="vertebral_fracture", by=()),
)
SPINE_RULES = (
    SPINE_PLATE,
    _fragile_rule(
        Modality.RESISTANCE,
        "Form before load; nothing lifted from the floor, no loaded bending or twisting.",
        Limits(group_c=True, spare_spine=True),
        "uk2022",
        "toofit2014",
    ),
    _fragile_rule(
        Modality.IMPACT,
        "Impact no higher than brisk walking.",
        Limits(impact_bw=WALKING_BW),
        "uk2022",
    ),
    _fragile_rule(
        Modality.POSTURE,
        "No loaded or end-range bending or twisting of the spine.",
        Limits(spare_spine=True),
        "uk2022",
        "toofit2014",
    ),
)


def _image_due(s: Situation) -> Seen:
    return Seen(
        answer=bool(s.image_reasons),
        facts=s.image_reasons,
        missing=("an image of the spine",),
    )


def _steroid_unknown(s: Situation) -> Seen:
    missing = history.steroid_missing(s.facts)
    return Seen(answer=None if missing else False, missing=missing)


def _steroid_unknown_unimaged(s: Situation) -> Seen:
    """A recent image answers for the plate; the dose may still make the fracture risk very high."""
    imaged = history.imaged_since(s.facts, add_months(s.day, -24))
    return Seen(answer=False) if imaged else _steroid_unknown(s)


_IMAGE_READS = (
    "person.height_cm",
    "person.tallest_height_cm",
    "person.earlier_heights",
    "medicines.glucocorticoid",
    "spine_image",
)
_IMAGE_EVIDENCE = (
    "Societies differ between more than 4 and 4 cm or more, and set 6 cm for men; the rule takes "
    "4 and 2 cm for all, the careful side."
)
_IMAGE_SOURCE = cite("iscd_vfa", "bhof2022", "project")
_IMAGE_ASKS = {
    Modality.PLATE: (Level.MISSING, "The plate waits for the image.", Limits()),
    Modality.RESISTANCE: (
        Level.PRECAUTION,
        "Lifting as after a vertebral fracture until the image.",
        Limits(group_c=True),
    ),
    Modality.IMPACT: (
        Level.PRECAUTION,
        "Impact no higher than brisk walking until the image.",
        Limits(impact_bw=WALKING_BW),
    ),
}


def _image_rule(modality: Modality) -> Rule:
    level, words, limits = _IMAGE_ASKS[modality]
    return rule(
        f"spine_not_imaged.{modality}",
        modality,
        level,
        _image_due,
        reads=_IMAGE_READS,
        reason=f"A vertebral fracture has not been ruled out. {words}",
        source=_IMAGE_SOURCE,
        evidence=_IMAGE_EVIDENCE,
        unanswered=Unanswered.NOTE,
        limits=limits,
    )


def _steroid_rule(modality: Modality) -> Rule:
    _level, _words, limits = _IMAGE_ASKS[modality]
    plate = modality is Modality.PLATE
    return rule(
        f"glucocorticoid.not_recorded.{modality}",
        modality,
        Level.MISSING,
        _steroid_unknown_unimaged if plate else _steroid_unknown,
        reads=("medicines.glucocorticoid", *(("spine_image",) if plate else ())),
        reason="",
        source=_IMAGE_SOURCE,
        evidence="Not recorded is dosed as if a vertebral fracture had not been ruled out.",
        unanswered=Unanswered.HOLD if plate else Unanswered.DOSE,
        limits=limits,
    )


IMAGE_REFERRAL = rule(
    "spine_not_imaged.refer",
    ALL,
    Level.REFER,
    _image_due,
    reads=_IMAGE_READS,
    reason="Refer: vertebral fracture to be looked for on an image of the spine.",
    source=_IMAGE_SOURCE,
    evidence=_IMAGE_EVIDENCE,
    unanswered=Unanswered.NOTE,
)


def _no_height(s: Situation) -> Seen:
    missing = s.facts.person.height_cm is None
    return Seen(answer=None if missing else False, missing=("height today",))


HEIGHT_RULE = rule(
    "height.not_recorded",
    ALL,
    Level.MISSING,
    _no_height,
    reads=("person.height_cm",),
    reason="",
    source=_IMAGE_SOURCE,
    evidence="Loss of height cannot be judged without it.",
    unanswered=Unanswered.NOTE,
)

FRACTURE_RULES: tuple[Rule, ...] = (
    FRESH,
    *(_mending_rule(modality) for modality in (*LOADED, *_CAREFUL)),
    *(_unsure_rule(modality) for modality in LOADED),
    *(_not_asked_rule(modality) for modality in LOADED),
    *SPINE_RULES,
    IMAGE_REFERRAL,
    *(_image_rule(modality) for modality in LOADED),
    *(_steroid_rule(modality) for modality in LOADED),
    HEIGHT_RULE,
)
