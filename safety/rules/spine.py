"""The fragile spine, and the spine nobody has looked at (rulebook rows 2a, 2b, 5, 5a)."""

from __future__ import annotations

from collections.abc import Callable

from patients.facts.ages import add_months
from safety import fracture_history
from safety.findings import ALL, WALKING_BW, Level, Limits, Modality
from safety.rules.fractures import READS, words
from safety.rules.rule import NO, Lift, Rule, Seen, Unanswered, rule
from safety.situation import Situation
from safety.sources import cite

_FRAGILE_EVIDENCE = (
    "Expert consensus, no trials of harm; flexion and several fractures go together in old case "
    "series."
)


def _fragile_spine(s: Situation) -> Seen:
    spine = fracture_history.vertebral(s.fractures)
    several = fracture_history.is_several(s.fractures)
    found = [*spine] or [*fracture_history.low_trauma(s.fractures)]
    return Seen(answer=bool(spine) or several, facts=words(found))


def _fragile_rule(modality: Modality, reason: str, limits: Limits, *sources: str) -> Rule:
    return rule(
        f"fragile_spine.{modality}",
        modality,
        Level.PRECAUTION,
        _fragile_spine,
        reads=READS,
        reason=f"Vertebral fracture, or two or more low-trauma fractures. {reason}",
        source=cite(*sources),
        evidence=_FRAGILE_EVIDENCE,
        unanswered=Unanswered.NOTE,
        limits=limits,
    )


def _vertebra(s: Situation) -> Seen:
    found = fracture_history.vertebral(s.fractures)
    return Seen(answer=bool(found), facts=words([*found]))


def _several_elsewhere(s: Situation) -> Seen:
    found = fracture_history.low_trauma(s.fractures)
    spine = fracture_history.vertebral(s.fractures)
    several = fracture_history.is_several(s.fractures)
    return Seen(answer=several and not spine, facts=words([*found]))


def _fragile_plate(code: str, when: Callable[[Situation], Seen], reason: str, subject: str) -> Rule:
    return rule(
        f"{code}.plate",
        Modality.PLATE,
        Level.NEEDS_CLEARANCE,
        when,
        reads=READS,
        reason=f"{reason}: the plate needs medical clearance.",
        source=cite("vibration_lists", "pavos", "project"),
        evidence="Lists bar plates; one trial trained people with severe osteoporosis on one for "
        "a year. A specialist decides.",
        unanswered=Unanswered.NOTE,
        lifted_by=Lift(subject=subject),
    )


FRAGILE_RULES = (
    _fragile_plate("fragile_spine", _vertebra, "Vertebral fracture", "vertebral_fracture"),
    _fragile_plate(
        "several_fractures", _several_elsewhere, "Two or more low-trauma fractures", "fracture"
    ),
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


def _very_high(s: Situation) -> Seen:
    if s.fracture_risk.drafted_as != "very_high":
        return NO
    excepted = s.very_high_only_by_arm or s.very_high_only_by_radius
    return Seen(answer=not excepted, facts=tuple(c.text for c in s.fracture_risk.fired))


def _very_high_rule(modality: Modality) -> Rule:
    return rule(
        f"very_high_risk.{modality}",
        modality,
        Level.PRECAUTION,
        _very_high,
        reads=("scans", "fractures", "probability_10y", "medicines.glucocorticoid"),
        reason="Very high fracture risk: the spine is spared, in lifting and in posture.",
        source=cite("uk2022", "toofit2014", "project"),
        evidence="The consensus spares the spine after a vertebral fracture; that very high risk "
        "asks the same is a project choice.",
        unanswered=Unanswered.NOTE,
        limits=Limits(spare_spine=True),
    )


_AS_FRAGILE = {
    Modality.PLATE: (Level.MISSING, "The plate waits for the image.", Limits()),
    Modality.RESISTANCE: (
        Level.PRECAUTION,
        "Lifting as after a vertebral fracture until the image.",
        Limits(group_c=True, spare_spine=True),
    ),
    Modality.IMPACT: (
        Level.PRECAUTION,
        "Impact no higher than brisk walking until the image.",
        Limits(impact_bw=WALKING_BW),
    ),
    Modality.POSTURE: (
        Level.PRECAUTION,
        "No loaded or end-range bending or twisting of the spine until the image.",
        Limits(spare_spine=True),
    ),
}
_IMAGE_READS = (
    "person.height_cm",
    "person.tallest_height_cm",
    "person.earlier_heights",
    "medicines.glucocorticoid",
    "medicines.bone_medicine",
    "spine_image",
)
_IMAGE_EVIDENCE = (
    "Societies differ between more than 4 and 4 cm or more, and set 6 cm for men; the rule takes "
    "4 and 2 cm for all, the careful side. After denosumab several vertebrae may break at once."
)
_IMAGE_SOURCE = cite("iscd_vfa", "bhof2022", "denosumab_rebound", "project")


def _image_due(s: Situation) -> Seen:
    if not s.image_reasons:
        return NO
    return Seen(answer=True, facts=s.image_reasons, missing=("an image of the spine",))


def _image_rule(modality: Modality) -> Rule:
    level, text, limits = _AS_FRAGILE[modality]
    return rule(
        f"spine_not_imaged.{modality}",
        modality,
        level,
        _image_due,
        reads=_IMAGE_READS,
        reason=f"A vertebral fracture, or a further one, has not been ruled out. {text}",
        source=_IMAGE_SOURCE,
        evidence=_IMAGE_EVIDENCE,
        unanswered=Unanswered.NOTE,
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


def _steroid_unknown(s: Situation) -> Seen:
    missing = fracture_history.steroid_missing(s.facts)
    return Seen(answer=None, missing=missing) if missing else NO


def _steroid_unknown_unimaged(s: Situation) -> Seen:
    """A recent image answers for the plate; the dose may still make the fracture risk very high."""
    seen = _steroid_unknown(s)
    if seen.answer is False:
        return seen
    imaged = fracture_history.imaged_since(s.facts, add_months(s.day, -24))
    return NO if imaged else seen


def _height_unknown(s: Situation) -> Seen:
    missing = fracture_history.height_missing(s.facts)
    return Seen(answer=None, missing=("height today",)) if missing else NO


def _last_dose_unknown(s: Situation) -> Seen:
    undated = fracture_history.on_denosumab(s.facts) and (
        fracture_history.last_denosumab(s.facts) is None
    )
    missing = ("the day of the last dose of denosumab",)
    return Seen(answer=None if undated else False, missing=missing)


def _as_not_imaged(
    code: str, modality: Modality, when: Callable[[Situation], Seen], *reads: str
) -> Rule:
    """What is not recorded is dosed as if a vertebral fracture had not been ruled out."""
    _level, _text, limits = _AS_FRAGILE[modality]
    return rule(
        f"{code}.not_recorded.{modality}",
        modality,
        Level.MISSING,
        when,
        reads=reads,
        reason="",
        source=_IMAGE_SOURCE,
        evidence="Not recorded is dosed as if a vertebral fracture had not been ruled out.",
        unanswered=Unanswered.HOLD if modality is Modality.PLATE else Unanswered.DOSE,
        limits=limits,
    )


def _steroid_rule(modality: Modality) -> Rule:
    plate = modality is Modality.PLATE
    when = _steroid_unknown_unimaged if plate else _steroid_unknown
    image = ("spine_image",) if plate else ()
    return _as_not_imaged("glucocorticoid", modality, when, "medicines.glucocorticoid", *image)


def _no_height(s: Situation) -> Seen:
    missing = s.facts.person.height_cm is None and not fracture_history.height_missing(s.facts)
    return Seen(answer=None, missing=("height today",)) if missing else NO


_HEIGHTS = (
    "person.height_cm",
    "person.tallest_height_cm",
    "person.earlier_heights",
    "spine_image",
)
HEIGHT_RULE = rule(
    "height.not_recorded",
    ALL,
    Level.MISSING,
    _no_height,
    reads=_HEIGHTS,
    reason="",
    source=_IMAGE_SOURCE,
    evidence="Loss of height cannot be judged without it.",
    unanswered=Unanswered.NOTE,
)


def _low_and_not_imaged(s: Situation) -> Seen:
    low = s.density.by == "t" and s.density.score is not None and s.density.score <= -2.5
    if not low or s.image_reasons:
        return NO
    imaged = fracture_history.imaged_since(s.facts, add_months(s.day, -24))
    return NO if imaged else Seen(answer=None, missing=("an image of the spine",))


IMAGE_WANTED = rule(
    "spine_image.wanted",
    ALL,
    Level.MISSING,
    _low_and_not_imaged,
    reads=("scans", "spine_image"),
    reason="",
    source=cite("iscd_vfa", "project"),
    evidence="Many vertebral fractures are silent; T of osteoporosis is one reason to look. The "
    "answer doses nothing by itself.",
    unanswered=Unanswered.NOTE,
)

SPINE_RULES: tuple[Rule, ...] = (
    *FRAGILE_RULES,
    _very_high_rule(Modality.RESISTANCE),
    _very_high_rule(Modality.POSTURE),
    IMAGE_REFERRAL,
    *(_image_rule(modality) for modality in _AS_FRAGILE),
    *(_steroid_rule(modality) for modality in _AS_FRAGILE),
    *(_as_not_imaged("height", m, _height_unknown, *_HEIGHTS) for m in _AS_FRAGILE),
    *(
        _as_not_imaged("denosumab", m, _last_dose_unknown, "medicines.bone_medicine")
        for m in _AS_FRAGILE
    ),
    HEIGHT_RULE,
    IMAGE_WANTED,
)
