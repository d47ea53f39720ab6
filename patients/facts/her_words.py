"""What is asked before the first visit, in the patient's words: each code as she would say it.

A trade's word stands in brackets only where she may know it from a letter. Order and codes are
those of the facts; a code that is kept for older records alone is not asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType


def gettext_noop(text: str) -> str:
    """Mark a text for the translators of the paper."""
    return text


CONDITIONS: Mapping[str, str] = MappingProxyType(
    {
        "acute_thrombosis": gettext_noop(
            "A blood clot in a vein or lung, now or in the last months"
        ),
        "unstable_heart_disease": gettext_noop("A heart illness that is not under control"),
        "heart_failure": gettext_noop("Heart failure (the heart pumps too weakly)"),
        "arrhythmia": gettext_noop("A heartbeat that is not regular"),
        "implanted_stimulator": gettext_noop(
            "A pacemaker, or another device in the body that gives pulses"
        ),
        "aneurysm": gettext_noop("An aneurysm (a bulge in a blood vessel) in belly, chest or head"),
        "stroke": gettext_noop("A stroke, or a short one that passed"),
        "arterial_disease": gettext_noop(
            "Narrow blood vessels in the legs (they cramp when you walk)"
        ),
        "recent_surgery": gettext_noop("An operation"),
        "joint_replacement": gettext_noop("A new joint, such as a hip or a knee"),
        "spinal_implant": gettext_noop("Screws, rods or other metal in the back"),
        "other_metalwork": gettext_noop("Pins, plates or screws in another bone"),
        "epilepsy": gettext_noop("Fits or seizures (epilepsy)"),
        "retinal_disease": gettext_noop(
            "Trouble at the back of the eye (retina): torn, loose, bleeding or badly damaged"
        ),
        "recent_eye_surgery": gettext_noop("An operation on an eye"),
        "stones": gettext_noop("Stones in the gall bladder, a kidney or the bladder"),
        "acute_disc_disease": gettext_noop("A slipped disc now, with pain down a leg or an arm"),
        "hernia": gettext_noop("A hernia (a bulge in the belly or groin)"),
        "bone_tumour": gettext_noop("A tumour or cancer in a bone"),
        "acute_infection_or_inflammation": gettext_noop(
            "An infection now, or a hot and swollen joint"
        ),
        "severe_neuropathy": gettext_noop("Numb feet: you feel very little in them"),
        "foot_ulcer_or_wound": gettext_noop("An open sore or wound on a foot or leg"),
        "vertigo": gettext_noop("Vertigo (the room spins)"),
        "severe_migraine": gettext_noop("Very bad migraine headaches"),
        "spondylolisthesis": gettext_noop("A bone of the back that has slipped forward"),
        "chronic_back_pain": gettext_noop("Back pain for a long time"),
        "osteoarthritis": gettext_noop("Worn joints (arthritis) in a hip, knee or foot"),
        "pelvic_floor_symptoms": gettext_noop(
            "Leaking urine or stool, or a womb or bladder that sags"
        ),
        "cognitive_impairment": gettext_noop("Trouble with memory or thinking"),
        "uncontrolled_diabetes": gettext_noop("Diabetes that is hard to control"),
        "kidney_disease": gettext_noop("Kidney disease"),
        "movement_disorder": gettext_noop(
            "Parkinson's disease, or another illness that makes moving hard"
        ),
        "amputation_or_prosthesis": gettext_noop("A lost arm or leg, or an artificial one"),
        "recent_birth": gettext_noop("You gave birth"),
        "low_energy": gettext_noop(
            "Eating too little for your training, or missed periods before the change of life"
        ),
        "hormone_blocking_treatment": gettext_noop(
            "Treatment that blocks sex hormones, as after breast or prostate cancer"
        ),
    }
)
SYMPTOMS: Mapping[str, str] = MappingProxyType(
    {
        "new_back_pain": gettext_noop("Back pain that is new or suddenly worse"),
        "new_weakness_or_numbness": gettext_noop("A leg or arm that is newly weak or numb"),
        "bladder_or_bowel_change": gettext_noop(
            "New loss of control of bladder or bowel, or numb between the legs"
        ),
        "chest_pain": gettext_noop("Chest pain"),
        "blackout": gettext_noop("A blackout, or you collapsed"),
        "unexplained_weight_loss": gettext_noop("Losing weight and not knowing why"),
        "fever": gettext_noop("Fever"),
        "thigh_or_groin_pain": gettext_noop("New pain in a thigh or groin"),
        "breathless_at_rest": gettext_noop("Short of breath when you sit still"),
    }
)
MEDICINES: Mapping[str, str] = MappingProxyType(
    {
        "glucocorticoid": gettext_noop("Cortisone tablets, such as prednisolone"),
        "bone_medicine": gettext_noop("Medicine for your bones"),
        "sedative": gettext_noop("Something to sleep, or to calm you"),
        "antidepressant": gettext_noop("Medicine for low mood (depression)"),
        "antipsychotic": gettext_noop("Medicine for troubled thoughts or voices (antipsychotic)"),
        "opioid": gettext_noop("Strong pain medicine, such as morphine or tramadol"),
        "antiepileptic": gettext_noop("Medicine for fits; some take it for nerve pain"),
        "blood_pressure": gettext_noop("Medicine for blood pressure"),
        "anticoagulant": gettext_noop("A blood thinner"),
    }
)
BONES: Mapping[str, str] = MappingProxyType(
    {
        "vertebra": gettext_noop("spine (a bone of the back)"),
        "hip": gettext_noop("hip"),
        "pelvis": gettext_noop("pelvis"),
        "humerus": gettext_noop("upper arm"),
        "wrist": gettext_noop("wrist"),
        "femur_shaft": gettext_noop("thigh bone, in the middle"),
        "ankle": gettext_noop("ankle"),
        "foot": gettext_noop("foot, not a toe"),
        "rib": gettext_noop("rib"),
        "finger": gettext_noop("finger"),
        "toe": gettext_noop("toe"),
        "face": gettext_noop("face"),
        "other": gettext_noop("other bone"),
    }
)
EQUIPMENT: Mapping[str, str] = MappingProxyType(
    {
        "chair": gettext_noop("firm chair"),
        "step": gettext_noop("low step"),
        "dumbbells": gettext_noop("hand weights"),
        "bands": gettext_noop("elastic bands"),
        "barbell": gettext_noop("long bar with weights"),
        "leg_press": gettext_noop("leg press machine"),
        "leg_extension": gettext_noop("machine to straighten the legs"),
        "cable": gettext_noop("pulley machine"),
        "weighted_vest": gettext_noop("vest with weights"),
    }
)
AIMS: Mapping[str, str] = MappingProxyType(
    {
        "hip": gettext_noop("my hips"),
        "spine": gettext_noop("my back"),
        "wrist": gettext_noop("my wrists"),
        "falls": gettext_noop("not to fall"),
        "strength": gettext_noop("to be strong"),
    }
)
