"""What the safety findings ask of a patient, in her own words.

A finding's rule is its subject and its modality. Each subject that can raise a precaution has
a wording here, and each modality has one for what a precaution asks of its dose. The wordings
say no more than the findings do; they are a project choice, for the clinic to confirm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from programs.handout.said import Section, Words, gettext_noop
from safety.findings import Level, Modality
from safety.rules.rule import Unanswered

Finding = Mapping[str, Any]

#: What a precaution asks of the dose, whatever it comes from.
OF_MODALITY: Mapping[str, tuple[str, ...]] = {
    Modality.PLATE: (gettext_noop("Keep the plate at the settings on this paper."),),
    Modality.RESISTANCE: (
        gettext_noop("Lift no more than this paper says."),
        gettext_noop("Breathe out as you lift. Never hold your breath."),
    ),
    Modality.IMPACT: (gettext_noop("Do not jump or run."),),
    Modality.BALANCE: (gettext_noop("Keep a fixed worktop within reach of your hand."),),
    Modality.POSTURE: (),
}

_FRAGILE = (
    gettext_noop("Do not lift from the floor."),
    gettext_noop("Do not bend or twist your back under a load."),
    gettext_noop("Learn each move well before you add weight."),
)
_WALK = (gettext_noop("Walk only. Do not jump, stamp or run."),)
#: Where the subject asks something else of a modality than OF_MODALITY says.
INSTEAD: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("fragile_spine", Modality.RESISTANCE): _FRAGILE,
    ("fragile_spine", Modality.POSTURE): _FRAGILE[1:2],
    ("fragile_spine", Modality.IMPACT): _WALK,
    ("spine_not_imaged", Modality.RESISTANCE): _FRAGILE,
    ("spine_not_imaged", Modality.IMPACT): _WALK,
    ("glucocorticoid.not_recorded", Modality.RESISTANCE): _FRAGILE,
    ("glucocorticoid.not_recorded", Modality.IMPACT): _WALK,
    ("falls.high", Modality.RESISTANCE): _FRAGILE[2:],
}
#: Subjects for which every move of the day should spare the spine.
SPARE_SPINE = frozenset({"fragile_spine", "spine_not_imaged", "glucocorticoid.not_recorded"})

#: What the subject itself asks.
OF_SUBJECT: Mapping[str, str] = {
    "acute_thrombosis": gettext_noop("Call us at once if a leg swells or hurts."),
    "aneurysm": gettext_noop("Do not strain or hold your breath."),
    "arrhythmia": gettext_noop("Sit down and call us if your heart races or skips."),
    "arterial_disease": gettext_noop("Rest when your legs cramp. Go on when it has gone."),
    "chronic_back_pain": gettext_noop("Stop at any new back pain."),
    "cognitive_impairment": gettext_noop("Train with someone beside you."),
    "epilepsy": gettext_noop("Have someone near when you train."),
    "falls.high": gettext_noop("Clear the floor and put on a light before you train."),
    "fragile_spine": gettext_noop("Stop and call us at any new back pain."),
    "glucocorticoid.not_recorded": gettext_noop("Stop and call us at any new back pain."),
    "heart_failure": gettext_noop("Rest when you are short of breath."),
    "hernia": gettext_noop("Stop if the bulge grows or hurts."),
    "implanted_stimulator": gettext_noop("Stop and call us if your implant acts up."),
    "joint_replacement.older": gettext_noop("Spare your new joint from jolts."),
    "joint_replacement.recent": gettext_noop("Do not twist on the leg with the new joint."),
    "kidney_disease": gettext_noop("Tell us about any new pain in a bone."),
    "osteoarthritis": gettext_noop("Look at your joints the next day. Call us if one is swollen."),
    "pelvic_floor_symptoms": gettext_noop("Tell us if you leak more than before."),
    "pregnancy": gettext_noop("Tell us how your pregnancy goes before each change."),
    "pressure.over_160_100": gettext_noop("Have your blood pressure checked as we agreed."),
    "pressure.standing_fall": gettext_noop("Get up slowly. Sit for 1 minute before you stand."),
    "recent_eye_surgery.recent": gettext_noop("Stop at once if your sight changes."),
    "retinal_disease": gettext_noop("Stop at once if you see flashes, spots or a shadow."),
    "severe_migraine": gettext_noop("Stop if a headache starts."),
    "severe_neuropathy": gettext_noop("Wear firm shoes. Check your feet after each session."),
    "spinal_implant.older": gettext_noop("Do not bend or twist your back as far as it goes."),
    "spine_not_imaged": gettext_noop("Stop and call us at any new back pain."),
    "spondylolisthesis": gettext_noop("Do not arch your low back."),
    "stroke": gettext_noop("Take care on your weaker side."),
    "uncontrolled_diabetes": gettext_noop("Check your sugar first, as your doctor told you."),
    "vertigo": gettext_noop("Sit down when the room spins."),
}


def cautions(findings: Iterable[Finding], held: frozenset[str], words: Words) -> Section | None:
    """Return what the findings about the modalities held in the weeks ask of the patient.

    None where they ask nothing. A precaution that a review lifted keeps what its subject asks.
    """
    asked: list[str] = []
    for finding in findings:
        if finding["about"] in held and _asks(finding):
            asked.extend(_wording(finding))
    if not asked:
        return None
    if _WALK[0] in asked:
        # It says all that the other says, and more.
        asked = [text for text in asked if text not in OF_MODALITY[Modality.IMPACT]]
    return Section(
        title=words.gettext("Take special care"),
        do=tuple(words.gettext(text) for text in dict.fromkeys(asked)),
    )


def spares_spine(findings: Iterable[Finding]) -> bool:
    """Tell whether daily moves must spare the spine."""
    return any(
        subject_of(finding) in SPARE_SPINE and _asks(finding)
        for finding in findings
        if finding["about"] in tuple(Modality)
    )


def subject_of(finding: Finding) -> str:
    """Return the rule's name without its modality."""
    return str(finding["rule"]).removesuffix(f".{finding['about']}")


def _asks(finding: Finding) -> bool:
    if finding["level"] == Level.MISSING:
        return Unanswered.DOSE.capitalize() in finding["text"]
    return bool(finding["level"] == Level.PRECAUTION)


def _wording(finding: Finding) -> Sequence[str]:
    subject, about = subject_of(finding), finding["about"]
    of_dose = INSTEAD.get((subject, about), OF_MODALITY[about])
    own = OF_SUBJECT.get(subject)
    known = finding["level"] == Level.PRECAUTION
    return (*(() if finding["cleared"] else of_dose), *([own] if own and known else ()))
