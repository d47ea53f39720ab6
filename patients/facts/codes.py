"""The codes that facts are recorded in, each with its label in plain words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType


def in_a_line(label: str) -> str:
    """Return a label to stand within a line; names, abbreviations, T-score keep their capital."""
    kept = label[1:2].isupper() or label[1:2] == "-" or label.startswith("Parkinson")
    return label if kept else label[:1].lower() + label[1:]


SEXES = MappingProxyType({"female": "female", "male": "male"})
#: Not settled which table is hers: both are read, and the more careful of them counts.
EITHER = "either"
TABLE_SEXES = MappingProxyType(
    {"female": "for women", "male": "for men", EITHER: "both, and the more careful counts"}
)
MENOPAUSE = MappingProxyType(
    {
        "before": "before menopause",
        "transition": "in transition",
        "after": "after menopause",
        "not_applicable": "does not apply",
    }
)
#: How she gets about indoors.
MOBILITY = MappingProxyType(
    {
        "independent": "without help",
        "stick": "with a stick",
        "frame": "with a frame",
        "wheelchair": "in a wheelchair",
        "bed": "stays in bed",
    }
)
SCAN_SITES = MappingProxyType(
    {
        "lumbar_spine": "lumbar spine",
        "total_hip": "total hip",
        "femoral_neck": "femoral neck",
        "distal_third_radius": "distal third of the radius",
    }
)
MARKERS = MappingProxyType(
    {"ctx": "CTX", "p1np": "P1NP", "osteocalcin": "osteocalcin", "bone_alp": "bone ALP"}
)
MARKER_UNITS = MappingProxyType(
    {"ng/L": "ng/L", "ng/mL": "ng/mL", "ug/L": "µg/L", "pg/mL": "pg/mL", "U/L": "U/L"}
)
FRACTURE_SITES = MappingProxyType(
    {
        "vertebra": "vertebra",
        "hip": "hip",
        "pelvis": "pelvis",
        "humerus": "upper arm (humerus)",
        "wrist": "wrist",
        "femur_shaft": "shaft of the thigh bone",
        "ankle": "ankle",
        "foot": "foot, not a toe",
        "rib": "rib",
        "finger": "finger",
        "toe": "toe",
        "face": "face",
        "finger_toe_face": "finger, toe or face",
        "other": "other bone",
    }
)
CONDITIONS = MappingProxyType(
    {
        "acute_thrombosis": "Blood clot in a vein or lung, recent or being treated",
        "unstable_heart_disease": "Unstable heart disease",
        "heart_failure": "Heart failure",
        "arrhythmia": "Heart rhythm disorder",
        "implanted_stimulator": "Pacemaker, defibrillator or other implanted stimulator",
        "aneurysm": "Aneurysm (aorta or brain)",
        "stroke": "Stroke or TIA",
        "arterial_disease": "Peripheral arterial disease",
        "recent_surgery": "Surgery",
        "joint_replacement": "Joint replacement",
        "spinal_implant": "Screws, rods or other implant in the spine",
        "other_metalwork": "Other pins, plates or screws in bone",
        "epilepsy": "Epilepsy or seizures",
        "retinal_disease": "Retinal tear, detachment or bleeding, or severe retinopathy",
        "recent_eye_surgery": "Eye surgery",
        "stones": "Gall, kidney or bladder stones",
        "acute_disc_disease": "Acute disc disease with nerve pain",
        "hernia": "Hernia",
        "bone_tumour": "Tumour or metastasis in bone",
        "acute_infection_or_inflammation": "Acute infection or inflamed joint",
        "severe_neuropathy": "Severe loss of feeling in the feet",
        "foot_ulcer_or_wound": "Ulcer or open wound on foot or leg",
        "vertigo": "Vertigo",
        "severe_migraine": "Severe migraine",
        "spondylolisthesis": "Slipped vertebra (spondylolisthesis)",
        "chronic_back_pain": "Long-standing back pain",
        "osteoarthritis": "Osteoarthritis of hip, knee or foot",
        "pelvic_floor_symptoms": "Incontinence or pelvic organ prolapse",
        "cognitive_impairment": "Memory or thinking impaired",
        "uncontrolled_diabetes": "Poorly controlled diabetes",
        "kidney_disease": "Kidney disease",
        "movement_disorder": "Parkinson disease or another disorder of movement",
        "amputation_or_prosthesis": "Amputation, or an artificial limb",
        "recent_birth": "Gave birth",
        "low_energy": "Eating less than training needs, or missed periods",
        "hormone_blocking_treatment": "Treatment that blocks sex hormones",
    }
)
#: Conditions whose date decides how they are read.
DATED_CONDITIONS = (
    "recent_surgery",
    "joint_replacement",
    "spinal_implant",
    "recent_eye_surgery",
    "stones",
    "recent_birth",
)
#: Medicines that make drowsy or unsteady (rulebook row 3).
SEDATING = ("sedative", "antidepressant", "antipsychotic", "opioid", "antiepileptic")
BONE_MEDICINES = MappingProxyType(
    {
        "bisphosphonate": "bisphosphonate",
        "denosumab": "denosumab",
        "teriparatide_or_abaloparatide": "teriparatide or abaloparatide",
        "romosozumab": "romosozumab",
        "raloxifene": "raloxifene",
        "hormone_therapy": "hormone therapy",
        "other": "another",
    }
)
#: What a clearance says of the dose; not said is as a precaution.
CLEARANCE_LIMITS = MappingProxyType(
    {"as_precaution": "dosed as a precaution", "none": "no limit is needed"}
)
#: What is asked of a medicine that is taken, beside the answer.
MEDICINE_DETAILS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "glucocorticoid": ("mg_per_day", "months"),
        "bone_medicine": ("kind", "since", "last_dose_on", "stopped"),
    }
)
DEGREES = MappingProxyType({"mild": "mild", "moderate": "moderate", "severe": "severe"})
SYMPTOMS = MappingProxyType(
    {
        "new_back_pain": "New or suddenly worse back pain",
        "new_weakness_or_numbness": "New weakness or numbness in a leg or arm",
        "bladder_or_bowel_change": "New loss of bladder or bowel control, or numb saddle area",
        "chest_pain": "Chest pain",
        "blackout": "Blackout or collapse",
        "unexplained_weight_loss": "Weight loss without a reason",
        "fever": "Fever",
        "thigh_or_groin_pain": "New thigh or groin pain",
        "breathless_at_rest": "Breathless at rest",
    }
)
MEDICINES = MappingProxyType(
    {
        "glucocorticoid": "Glucocorticoid by mouth (prednisolone or equal)",
        "bone_medicine": "Medicine for bone",
        "sedative": "Sedative or sleeping tablet",
        "antidepressant": "Antidepressant",
        "antipsychotic": "Antipsychotic",
        "opioid": "Opioid",
        "antiepileptic": "Antiepileptic",
        "blood_pressure": "Blood pressure medicine",
        "anticoagulant": "Blood thinner (anticoagulant)",
    }
)
MODALITIES = MappingProxyType(
    {
        "plate": "vibration plate",
        "resistance": "resistance",
        "impact": "impact",
        "balance": "balance",
        "posture": "posture",
    }
)
CLEARANCE_SUBJECTS = MappingProxyType(
    {
        "fracture": "recent or unhealed fracture, several, or of the thigh bone",
        "vertebral_fracture": "vertebral fracture",
        "low_t": "very low T-score",
        "pregnancy": "pregnancy",
        "blackout": "blackout",
    }
)
AIMS = MappingProxyType(
    {
        "hip": "hip",
        "spine": "spine",
        "wrist": "wrist",
        "falls": "fewer falls",
        "strength": "strength",
    }
)
EXPERIENCE = MappingProxyType({"none": "none", "some": "some", "regular": "regular"})
DAYS = MappingProxyType(
    {
        "mon": "Monday",
        "tue": "Tuesday",
        "wed": "Wednesday",
        "thu": "Thursday",
        "fri": "Friday",
        "sat": "Saturday",
        "sun": "Sunday",
    }
)
EQUIPMENT = MappingProxyType(
    {
        "chair": "firm chair",
        "step": "low step",
        "dumbbells": "dumbbells",
        "bands": "elastic bands",
        "barbell": "barbell",
        "leg_press": "leg press",
        "leg_extension": "leg extension",
        "cable": "cable machine",
        "weighted_vest": "weighted vest",
    }
)
MOTIONS = MappingProxyType(
    {
        "vertical": "vertical (whole plate up and down)",
        "side_alternating": "side-alternating (tilts like a seesaw)",
        "low_magnitude": "low-magnitude (gentle, below 1 g)",
    }
)
DISPLACEMENT_READINGS = MappingProxyType(
    {
        "peak_to_peak": "peak to peak (whole travel)",
        "zero_to_peak": "zero to peak (half the travel)",
    }
)
G_READINGS = MappingProxyType({"peak": "peak", "peak_to_peak": "peak to peak"})
