"""What may be known of a person: each fact once, with question, unit, range and help.

`None` is "not recorded" everywhere, and never "no". A list that is `None` was not asked
for; an empty one was asked for, and there is none.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from patients.facts import codes
from patients.facts.declared_plate import Plate
from patients.facts.partial_dates import FIRST, LAST
from patients.facts.question import Kind, ask, number, told, yes_no


@dataclass(frozen=True, kw_only=True)
class Height:
    """A height measured on an earlier day."""

    date: dt.date = ask("Measured on", Kind.DATE, required=True)
    cm: float = number("Height then", "cm", 100, 230, decimals=1, required=True)


@dataclass(frozen=True, kw_only=True)
class Person:
    """Who the person is, and her size."""

    born: dt.date = told(
        "Date of birth",
        FIRST,
        required=True,
        help="The year, or year and month, if no more is known",
    )
    sex: str = ask(
        "Sex", Kind.CHOICE, choices=codes.SEXES, required=True, help="Decides T or Z, and norms"
    )
    table_sex: str | None = ask(
        "Risk tables",
        Kind.CHOICE,
        choices=codes.TABLE_SEXES,
        help="Where sex and gender differ: tables of tests only; all else goes by the sex",
    )
    pregnant: bool | None = yes_no("Pregnant, or may be")
    menopause: str | None = ask("Menopause", Kind.CHOICE, choices=codes.MENOPAUSE)
    height_cm: float | None = number(
        "Height today", "cm", 100, 230, decimals=1, help="Without shoes, at the wall"
    )
    weight_kg: float | None = number("Weight", "kg", 25, 250, decimals=1)
    tallest_height_cm: float | None = number(
        "Tallest height", "cm", 100, 230, decimals=1, help="As remembered, or from a passport"
    )
    earlier_heights: tuple[Height, ...] | None = ask(
        "Earlier measured heights", Kind.LIST, of=Height
    )
    mobility: str | None = ask(
        "Gets about indoors",
        Kind.CHOICE,
        choices=codes.MOBILITY,
        help="Who cannot stand has a seated program",
    )

    @property
    def sex_of_tables(self) -> str:
        """Return by which risk tables she is read: "female", "male" or codes.EITHER."""
        return self.table_sex or self.sex


@dataclass(frozen=True, kw_only=True)
class Scan:
    """One site of one DXA scan; T and Z as reported."""

    date: dt.date = ask("Scanned on", Kind.DATE, required=True)
    site: str = ask("Site", Kind.CHOICE, choices=codes.SCAN_SITES, required=True)
    bmd_g_cm2: float | None = number("Density (BMD)", "g/cm²", 0.2, 2.5, decimals=3)
    t: float | None = number(
        "T-score", "", -8, 6, decimals=1, help="As reported, with its minus sign"
    )
    z: float | None = number(
        "Z-score", "", -8, 6, decimals=1, help="As reported, with its minus sign"
    )
    scanner: str | None = ask("Scanner", Kind.TEXT, help="The clinic's own name for the machine")
    vertebrae: str | None = ask("Vertebrae", Kind.TEXT, help="Of the lumbar spine, like L1-L4")


@dataclass(frozen=True, kw_only=True)
class Turnover:
    """One bone turnover marker of one blood sample."""

    date: dt.date = ask("Taken on", Kind.DATE, required=True)
    marker: str = ask("Marker", Kind.CHOICE, choices=codes.MARKERS, required=True)
    value: float = number("Value", "", 0.001, 5000, decimals=3, required=True)
    unit: str = ask("Unit", Kind.CHOICE, choices=codes.MARKER_UNITS, required=True)
    fasting_morning: bool | None = yes_no("Fasting, before 10 in the morning")


@dataclass(frozen=True, kw_only=True)
class Fracture:
    """One broken bone."""

    site: str = ask("Bone", Kind.CHOICE, choices=codes.FRACTURE_SITES, required=True)
    date: dt.date | None = told("Broken on", LAST)
    low_trauma: bool | None = yes_no(
        "Low trauma", help="A fall from standing height or less, or no fall at all"
    )
    healed: bool | None = yes_no("Healed")
    atypical: bool | None = yes_no(
        "Atypical", help="Of the shaft of the thigh bone only: as the X-ray was read"
    )


@dataclass(frozen=True, kw_only=True)
class SpineImage:
    """Any image on which vertebral fracture was looked for."""

    answer: bool | None = yes_no("Spine imaged for vertebral fracture")
    on: dt.date | None = told("Imaged on", FIRST)


@dataclass(frozen=True, kw_only=True)
class Probability:
    """Ten-year fracture probability, typed in by the clinician; nothing here computes it."""

    major_percent: float | None = number("Major osteoporotic fracture", "%", 0, 100, decimals=1)
    hip_percent: float | None = number("Hip fracture", "%", 0, 100, decimals=1)


@dataclass(frozen=True, kw_only=True)
class Falls:
    """Falls of the last twelve months, and how steady she feels."""

    last_12_months: int | None = ask("Falls in the last 12 months", Kind.INTEGER, low=0, high=200)
    injury: bool | None = yes_no("Any fall with an injury that needed care")
    long_lie: bool | None = yes_no("Any fall with an hour or more on the floor")
    blackout: bool | None = yes_no("Any fall with a blackout")
    unsteady: bool | None = yes_no("Feels unsteady when standing or walking")
    worried: bool | None = yes_no("Worried about falling")


@dataclass(frozen=True, kw_only=True)
class Tests:
    """Function tests of one day; what was not done is left out."""

    date: dt.date | None = ask("Tested on", Kind.DATE)
    up_and_go_s: float | None = number("Timed Up and Go", "s", 2, 300, decimals=1)
    chair_stands_30s: int | None = ask(
        "Chair stands in 30 s",
        Kind.INTEGER,
        low=0,
        high=60,
        help="Arms folded; with arms used it counts 0",
    )
    five_stands_s: float | None = number("Five times sit to stand", "s", 2, 300, decimals=1)
    side_by_side_s: float | None = number("Feet side by side", "s", 0, 60, decimals=1)
    semi_tandem_s: float | None = number("Semi-tandem", "s", 0, 60, decimals=1)
    tandem_s: float | None = number("Tandem", "s", 0, 60, decimals=1)
    one_leg_s: float | None = number("Single-leg stance", "s", 0, 120, decimals=1)
    walk_4m_s: float | None = number("4 m walk", "s", 1, 120, decimals=2)
    grip_kg: float | None = number("Grip", "kg", 0, 90, decimals=1)
    resting_bp: tuple[int, int] | None = ask(
        "Resting blood pressure", Kind.PRESSURE, unit="mmHg", help="Like 132/78"
    )
    standing_bp: tuple[int, int] | None = ask(
        "Blood pressure after standing up",
        Kind.PRESSURE,
        unit="mmHg",
        help="Within 3 minutes of standing",
    )
    unable: tuple[str, ...] | None = ask(
        "Attempted, not possible",
        Kind.CODES,
        choices={
            "up_and_go_s": "Timed Up and Go",
            "chair_stands_30s": "chair stands in 30 s",
            "five_stands_s": "five times sit to stand",
            "side_by_side_s": "feet side by side",
            "semi_tandem_s": "semi-tandem",
            "tandem_s": "tandem",
            "one_leg_s": "single-leg stance",
            "walk_4m_s": "4 m walk",
            "grip_kg": "grip",
        },
    )


@dataclass(frozen=True, kw_only=True)
class Clearance:
    """Leave given by a named person for modalities, from a first to a last day, both inside."""

    modalities: tuple[str, ...] = ask(
        "Cleared for", Kind.CODES, choices=codes.MODALITIES, required=True
    )
    by: str = ask("Cleared by", Kind.TEXT, required=True, help="Name or role of who gave it")
    on: dt.date = ask("Valid from", Kind.DATE, required=True, future=True)
    until: dt.date = ask("Valid until", Kind.DATE, required=True, future=True)
    limits: str | None = ask(
        "What it says of the dose",
        Kind.CHOICE,
        choices=codes.CLEARANCE_LIMITS,
        help="Dosed as a precaution unless it says that no limit is needed",
    )
    eye_specialist: bool | None = yes_no("Given by an eye doctor")

    def covers(self, modality: str, day: dt.date) -> bool:
        """Tell whether it holds for this modality on this day."""
        return modality in self.modalities and self.on <= day <= self.until


@dataclass(frozen=True, kw_only=True)
class OtherClearance(Clearance):
    """Leave for what is not a condition of the list."""

    subject: str = ask(
        "Clearance of", Kind.CHOICE, key="for", choices=codes.CLEARANCE_SUBJECTS, required=True
    )


@dataclass(frozen=True, kw_only=True)
class Condition:
    """The answer about one condition."""

    answer: bool | None = yes_no("Present")
    on: dt.date | None = told("Since, or done on", LAST)
    degree: str | None = ask("Degree", Kind.CHOICE, choices=codes.DEGREES)
    cleared: tuple[Clearance, ...] | None = ask("Clearances", Kind.LIST, of=Clearance, lone=True)


@dataclass(frozen=True, kw_only=True)
class Symptom:
    """The answer about one red flag."""

    answer: bool | None = yes_no("Present")


@dataclass(frozen=True, kw_only=True)
class Medicine:
    """The answer about one medicine."""

    answer: bool | None = yes_no("Taken")
    mg_per_day: float | None = number("Dose", "mg/day", 0.1, 2000, decimals=1)
    months: float | None = number("For", "months", 0, 600, decimals=1)
    kind: str | None = ask("Kind", Kind.CHOICE, choices=codes.BONE_MEDICINES)
    since: dt.date | None = told("Since", FIRST)
    last_dose_on: dt.date | None = told("Last dose", FIRST)
    stopped: bool | None = yes_no("Stopped")


@dataclass(frozen=True, kw_only=True)
class Lift:
    """A set lifted until no further repetition was possible."""

    lift: str = ask("Lift", Kind.TEXT, required=True)
    kg: float = number("Load", "kg", 0.5, 500, decimals=1, required=True)
    reps: int = ask("Repetitions", Kind.INTEGER, low=1, high=60, required=True)
    on: dt.date | None = told("Done on", FIRST)


@dataclass(frozen=True, kw_only=True)
class Experience:
    """What she has done before."""

    resistance: str | None = ask("Resistance", Kind.CHOICE, choices=codes.EXPERIENCE)
    impact: str | None = ask("Impact", Kind.CHOICE, choices=codes.EXPERIENCE)


@dataclass(frozen=True, kw_only=True)
class Resources:
    """Her days, minutes, helpers and equipment."""

    days: tuple[str, ...] | None = ask("Days for training", Kind.CODES, choices=codes.DAYS)
    minutes_per_day: int | None = ask(
        "Minutes on each of those days", Kind.INTEGER, unit="min", low=1, high=240
    )
    supervised: bool | None = yes_no("Supervised sessions")
    watcher: bool | None = yes_no("Another adult at home who has been shown how")
    support_rail: bool | None = yes_no("Something fixed to hold")
    equipment: tuple[str, ...] | None = ask("Equipment", Kind.CODES, choices=codes.EQUIPMENT)
    load_step_kg: float | None = number("Smallest weight increment", "kg", 0.1, 20, decimals=2)
    plates: tuple[Plate, ...] | None = ask("Plates", Kind.LIST, of=Plate)


@dataclass(frozen=True, kw_only=True)
class Facts:
    """All that is known of one person on one day."""

    as_of: dt.date = ask("Day of the assessment", Kind.DATE, required=True)
    person: Person = ask("Person", Kind.GROUP, of=Person, required=True)
    scans: tuple[Scan, ...] | None = ask("Scans", Kind.LIST, of=Scan)
    turnover: tuple[Turnover, ...] | None = ask("Turnover markers", Kind.LIST, of=Turnover)
    fractures: tuple[Fracture, ...] | None = ask("Fractures", Kind.LIST, of=Fracture)
    spine_image: SpineImage | None = ask("Spine image", Kind.GROUP, of=SpineImage)
    probability_10y: Probability | None = ask("Ten-year probability", Kind.GROUP, of=Probability)
    falls: Falls | None = ask("Falls", Kind.GROUP, of=Falls)
    tests: tuple[Tests, ...] | None = ask("Function tests", Kind.LIST, of=Tests, lone=True)
    conditions: Mapping[str, Condition] | None = ask(
        "Conditions", Kind.ANSWERS, of=Condition, choices=codes.CONDITIONS
    )
    clearances: tuple[OtherClearance, ...] | None = ask(
        "Other clearances", Kind.LIST, of=OtherClearance
    )
    symptoms: Mapping[str, Symptom] | None = ask(
        "Red flags", Kind.ANSWERS, of=Symptom, choices=codes.SYMPTOMS
    )
    medicines: Mapping[str, Medicine] | None = ask(
        "Medicines", Kind.ANSWERS, of=Medicine, choices=codes.MEDICINES
    )
    lifts: tuple[Lift, ...] | None = ask("Lifts", Kind.LIST, of=Lift)
    aims: tuple[str, ...] | None = ask("Aims, most wanted first", Kind.CODES, choices=codes.AIMS)
    own_goal: str | None = ask(
        "What she would like to be able to do, in her own words",
        Kind.TEXT,
        help="Printed on her paper as it is typed; it changes no dose",
    )
    experience: Experience | None = ask("Experience", Kind.GROUP, of=Experience)
    resources: Resources | None = ask("Resources", Kind.GROUP, of=Resources)

    def condition(self, code: str) -> Condition:
        """Return the answer about a condition; not recorded where there is none."""
        return (self.conditions or _NONE_TOLD).get(code, _NO_CONDITION)

    def symptom(self, code: str) -> Symptom:
        """Return the answer about a red flag; not recorded where there is none."""
        return (self.symptoms or _NONE_TOLD).get(code, _NO_SYMPTOM)

    def medicine(self, code: str) -> Medicine:
        """Return the answer about a medicine; not recorded where there is none."""
        return (self.medicines or _NONE_TOLD).get(code, _NO_MEDICINE)


#: What was not recorded, made once: a screen asks for some hundred answers.
_NO_CONDITION, _NO_SYMPTOM, _NO_MEDICINE = Condition(), Symptom(), Medicine()
_NONE_TOLD: Mapping[str, Any] = {}
