"""What the safety findings ask of a patient, in her own words.

A finding has a subject and is about a modality. Each subject that can raise a precaution has
a wording here, and each modality has one for what a precaution asks of its dose. The wordings
say no more than the findings do; they are a project choice, for the clinic to confirm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from programs.papers.paper_parts import Section, Words, gettext_noop
from programs.signed.program import SignedFinding
from safety.findings import Level, Modality

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
#: Weights have to come from somewhere that is not the floor.
_FROM_A_TABLE = gettext_noop("Have weights on a table, or handed to you. Put them back there.")
_WALK = (gettext_noop("Walk only. Do not jump, stamp or run."),)
#: Where the subject asks something else of a modality than OF_MODALITY says.
INSTEAD: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("fragile_spine", Modality.RESISTANCE): (*_FRAGILE, _FROM_A_TABLE),
    ("fragile_spine", Modality.POSTURE): _FRAGILE[1:2],
    ("fragile_spine", Modality.IMPACT): _WALK,
    **{
        (subject, about): words
        for subject in (
            "spine_not_imaged",
            "glucocorticoid.not_recorded",
            "height.not_recorded",
            "denosumab.not_recorded",
        )
        for about, words in (
            (Modality.RESISTANCE, (*_FRAGILE, _FROM_A_TABLE)),
            (Modality.IMPACT, _WALK),
            (Modality.POSTURE, _FRAGILE[1:2]),
        )
    },
    ("very_high_risk", Modality.RESISTANCE): (*_FRAGILE[:2], _FROM_A_TABLE),
    ("very_high_risk", Modality.POSTURE): _FRAGILE[1:2],
    ("fracture.not_asked", Modality.POSTURE): _FRAGILE[1:2],
    ("low_function", Modality.RESISTANCE): _FRAGILE[2:],
    ("low_function", Modality.IMPACT): _WALK,
    ("frame", Modality.RESISTANCE): (),
    ("frame", Modality.IMPACT): _WALK,
    ("fracture.arm", Modality.RESISTANCE): (
        gettext_noop("Use neither arm to lift. Hold no weight in your hands."),
    ),
    ("fracture.arm", Modality.IMPACT): _WALK,
    ("fracture.minor", Modality.IMPACT): _WALK,
    ("thigh_bone", Modality.IMPACT): _WALK,
    ("falls.high", Modality.RESISTANCE): _FRAGILE[2:],
}
#: Subjects for which every move of the day should spare the spine.
SPARE_SPINE = frozenset(
    {
        "fragile_spine",
        "spine_not_imaged",
        "glucocorticoid.not_recorded",
        "height.not_recorded",
        "denosumab.not_recorded",
        "very_high_risk",
        "fracture.not_asked",
    }
)
_NEW_PAIN = gettext_noop("Stop and call us at any new back pain.")
_GET_UP = gettext_noop("Get up slowly. Sit for 1 minute before you stand.")

#: What the subject itself asks.
OF_SUBJECT: Mapping[str, str] = {
    "acute_thrombosis": gettext_noop("Call us at once if a leg swells or hurts."),
    "amputation_or_prosthesis": gettext_noop("Stop if your stump or socket rubs or hurts."),
    "aneurysm": gettext_noop("Do not strain or hold your breath."),
    "arrhythmia": gettext_noop("Sit down and call us if your heart races or skips."),
    "arterial_disease": gettext_noop("Rest when your legs cramp. Go on when it has gone."),
    "chronic_back_pain": gettext_noop("Stop at any new back pain."),
    "cognitive_impairment": gettext_noop("Train with someone beside you."),
    "epilepsy": gettext_noop("Have someone near when you train."),
    "falls.high": gettext_noop("Clear the floor and put on a light before you train."),
    "fracture.arm": gettext_noop("Spare your broken arm until we tell you that it has healed."),
    "fracture.minor": gettext_noop("Spare the part you broke. Take care not to knock it."),
    "fracture.toe": gettext_noop("Do not stand on your toes."),
    "fragile_spine": _NEW_PAIN,
    "frame": gettext_noop("Hold on to something fixed when you stand to train."),
    "glucocorticoid.not_recorded": _NEW_PAIN,
    "heart_failure": gettext_noop("Rest when you are short of breath."),
    "hernia": gettext_noop("Stop if the bulge grows or hurts."),
    "implanted_stimulator": gettext_noop("Stop and call us if your implant acts up."),
    "joint_replacement.older": gettext_noop("Spare your new joint from jolts."),
    "joint_replacement.recent": gettext_noop("Do not twist on the leg with the new joint."),
    "kidney_disease": gettext_noop("Tell us about any new pain in a bone."),
    "low_bmi": gettext_noop("Eat enough. Tell us if you lose weight."),
    "low_energy": gettext_noop("Eat before and after you train. Tell us if you lose weight."),
    "low_function": gettext_noop("Start slowly. Sit down when you are tired."),
    "movement_disorder": gettext_noop("Train when your medicine works well. Stop if you freeze."),
    "osteoarthritis": gettext_noop("Look at your joints the next day. Call us if one is swollen."),
    "pelvic_floor_symptoms": gettext_noop("Tell us if you leak more urine or stool than before."),
    "pregnancy": gettext_noop("Tell us how your pregnancy goes before each change."),
    "pressure.over_160_100": gettext_noop("Have your blood pressure checked as we agreed."),
    "pressure.low": _GET_UP,
    "pressure.standing_fall": _GET_UP,
    "recent_birth.recent": gettext_noop("Stop and call us if you bleed or leak urine."),
    "recent_eye_surgery.recent": gettext_noop("Stop at once if your sight changes."),
    "retinal_disease": gettext_noop("Stop at once if you see flashes, spots or a shadow."),
    "severe_migraine": gettext_noop("Stop if a headache starts."),
    "severe_neuropathy": gettext_noop("Wear firm shoes. Check your feet after each session."),
    "spinal_implant.older": gettext_noop("Do not bend or twist your back as far as it goes."),
    "spine_not_imaged": _NEW_PAIN,
    "spondylolisthesis": gettext_noop("Do not arch your low back."),
    "stones.older": gettext_noop("Stop and call us if you get pain in your side."),
    "stroke": gettext_noop("Take care on your weaker side."),
    "thigh_bone": gettext_noop("Call us at once if a thigh or groin hurts."),
    "uncontrolled_diabetes": gettext_noop("Check your sugar first, as your doctor told you."),
    "vertigo": gettext_noop("Sit down when the room spins."),
    "very_high_risk": _NEW_PAIN,
}
#: What is said instead to somebody who trains sitting or lying.
SEATED: Mapping[str, str] = {
    OF_MODALITY[Modality.BALANCE][0]: gettext_noop("Keep something fixed within reach."),
    _GET_UP: gettext_noop("Sit up slowly. Rest for 1 minute before you train."),
}


def cautions(
    findings: Iterable[SignedFinding], held: frozenset[str], words: Words, *, seated: bool
) -> Section | None:
    """Return what the findings about the modalities held in the weeks ask of the patient.

    seated   she trains sitting or lying
    None where they ask nothing. A precaution that a review lifted keeps what its subject asks.
    """
    asked: list[str] = []
    for finding in findings:
        if finding.about in held and asks(finding):
            asked.extend(_wording(finding))
    if not asked:
        return None
    if _WALK[0] in asked:
        # It says all that the other says, and more.
        asked = [text for text in asked if text not in OF_MODALITY[Modality.IMPACT]]
    if seated:
        asked = [SEATED.get(text, text) for text in asked]
    return Section(
        title=words.gettext("Take special care"),
        do=tuple(words.gettext(text) for text in dict.fromkeys(asked)),
    )


def spares_spine(findings: Iterable[SignedFinding]) -> bool:
    """Tell whether daily moves must spare the spine."""
    return any(
        finding.subject in SPARE_SPINE and asks(finding)
        for finding in findings
        if finding.about in tuple(Modality)
    )


def asks(finding: SignedFinding) -> bool:
    """Tell whether a finding asks for care: a precaution, or a missing answer dosed as one."""
    return finding.dosed or finding.level is Level.PRECAUTION


def is_lifted(finding: SignedFinding) -> bool:
    """Tell whether a review or a clearance has lifted what it asks of the dose."""
    return finding.cleared and not finding.dosed


def _wording(finding: SignedFinding) -> Sequence[str]:
    of_dose = INSTEAD.get((finding.subject, finding.about), OF_MODALITY[finding.about])
    own = OF_SUBJECT.get(finding.subject)
    known = finding.level is not Level.MISSING
    return (*(() if is_lifted(finding) else of_dose), *([own] if own and known else ()))
