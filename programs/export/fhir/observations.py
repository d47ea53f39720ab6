"""Observations: density, heights and weights, function tests, bone markers, blood pressure.

A LOINC code stands only where it was read in a named source for exactly what is kept; else there
is a text and a code of our own. What was struck out is told as entered in error, so that who took
it in before may take it out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from patients.facts.codes import MARKER_UNITS, MARKERS, SCAN_SITES
from patients.facts.declared import Facts
from patients.facts.partial_dates import told_text
from programs.export.document import Document, Row
from programs.export.fhir.parts import (
    LOINC,
    OWN_CODES,
    Ids,
    Resource,
    coding,
    concept,
    date,
    notes,
    quantity,
)

CATEGORIES = "http://terminology.hl7.org/CodeSystem/observation-category"
VITAL_SIGNS, IMAGING, LABORATORY, EXAM, SURVEY = (
    *("vital-signs", "imaging", "laboratory"),
    *("exam", "survey"),
)


@dataclass(frozen=True, kw_only=True)
class Measure:
    """One thing that is measured.

    code    of our own
    loinc   with the place where it was read; None where none was read for exactly this
    ucum    the unit's code, and the unit for reading
    """

    code: str
    text: str
    category: str
    ucum: str
    unit: str
    loinc: tuple[str, str] | None = None

    @property
    def concept(self) -> dict[str, Any]:
        """Return it as FHIR has it, the standard code first."""
        standard = [] if self.loinc is None else [coding(LOINC, self.loinc[0])]
        return concept(self.text, *standard, coding(OWN_CODES, self.code))


_R4 = "HL7 FHIR R4, vital signs profiles"
_US_CORE = "HL7 US Core, DXA examples"
_LOINC_ORG = "loinc.org"

SIZES: Mapping[str, Measure] = {
    "height_cm": Measure(
        code="height",
        text="Height",
        category=VITAL_SIGNS,
        ucum="cm",
        unit="cm",
        loinc=("8302-2", _R4),
    ),
    "weight_kg": Measure(
        code="weight",
        text="Weight",
        category=VITAL_SIGNS,
        ucum="kg",
        unit="kg",
        loinc=("29463-7", _R4),
    ),
}
#: Of a scan: column to what it is called, its unit, and the unit for reading.
_SCORES: Mapping[str, tuple[str, str, str]] = {
    "bmd_g_cm2": ("density (BMD)", "g/cm2", "g/cm2"),
    "t": ("T-score", "1", "T-score"),
    "z": ("Z-score", "1", "Z-score"),
}
#: By site, side and column. None was found for the femoral neck, the forearm, the right hip, or
#: a hip whose side was not told.
_DXA: Mapping[tuple[str, str, str], tuple[str, str]] = {
    ("lumbar_spine", "", "t"): ("38267-1", "findacode.com/loinc/38267-1"),
    ("lumbar_spine", "", "bmd_g_cm2"): ("24966-4", "healthassure.in/codes"),
    ("lumbar_spine", "", "z"): ("85394-5", "healthassure.in/codes"),
    ("total_hip", "left", "t"): ("80946-7", _US_CORE),
    ("total_hip", "left", "z"): ("80938-4", _US_CORE),
    ("total_hip", "left", "bmd_g_cm2"): ("46278-8", _US_CORE),
}
#: How each test is told; the walk is kept in seconds, and LOINC's code is of a speed.
TESTS: tuple[tuple[str, str, str, str, tuple[str, str] | None], ...] = (
    ("up_and_go_s", "Timed Up and Go", "s", "s", ("89423-8", _LOINC_ORG)),
    (
        *("chair_stands_30s", "Chair stands in 30 s", "{#}/(30.s)", "stands in 30 s"),
        ("66247-8", _LOINC_ORG),
    ),
    ("five_stands_s", "Five times sit to stand", "s", "s", None),
    ("side_by_side_s", "Stands feet side by side", "s", "s", None),
    ("semi_tandem_s", "Stands semi-tandem", "s", "s", None),
    ("tandem_s", "Stands tandem", "s", "s", None),
    ("one_leg_s", "Stands on one leg", "s", "s", None),
    ("walk_4m_s", "4 m walk", "s", "s", None),
    ("grip_kg", "Grip strength", "kg", "kg", None),
)
_PRESSURES = {"resting_bp": "resting", "standing_bp": "after standing up"}
_PANEL, _SYSTOLIC, _DIASTOLIC = "85354-9", "8480-6", "8462-4"
#: The units of markers are written as UCUM writes them.
MARKER_UCUM: Mapping[str, str] = {unit: unit for unit in MARKER_UNITS}
_MARKER_LOINC: Mapping[str, tuple[str, str]] = {"ctx": ("41171-0", "aruplab.com, test 70416")}
_PROBABILITIES: Mapping[str, tuple[str, tuple[str, str]]] = {
    "major_percent": (
        "Ten-year probability of a major osteoporotic fracture",
        ("90265-0", "healthassure.in/codes"),
    ),
    "hip_percent": (
        "Ten-year probability of a hip fracture",
        ("90266-8", "healthassure.in/codes"),
    ),
}


def observations(held: Document, facts: Facts | None, ids: Ids) -> Iterator[Resource]:
    """Yield all observations, table by table, oldest first."""
    tables = held["tables"]
    for row in tables["heights_and_weights"]:
        yield from _measured(row, SIZES, "size", ids)
    for row in tables["density_scans"]:
        yield from _scan(row, ids)
    for row in tables["bone_markers"]:
        yield _marker(row, ids)
    for row in tables["function_tests"]:
        yield from _measured(row, _TESTS, "tests", ids)
        yield from _unable(row, ids)
        yield from _pressures(row, ids)
    if facts is not None:
        yield from _probabilities(facts, held["patient_id"], ids)


_TESTS: Mapping[str, Measure] = {
    column: Measure(code=f"test.{column}", text=text, category=EXAM, ucum=ucum, unit=unit, loinc=of)
    for column, text, ucum, unit, of in TESTS
}


def _measured(row: Row, measures: Mapping[str, Measure], kind: str, ids: Ids) -> Iterator[Resource]:
    for column, measure in measures.items():
        if row[column] is not None:
            yield _observation(row, measure, f"{kind}.{column}", ids) | {
                "valueQuantity": quantity(row[column], measure.ucum, measure.unit)
            }


def _scan(row: Row, ids: Ids) -> Iterator[Resource]:
    site = SCAN_SITES[row["site"]]
    side = f"{row['side']} " if row["side"] else ""
    for column, (name, ucum, unit) in _SCORES.items():
        if row[column] is None:
            continue
        measure = Measure(
            code=f"dxa.{row['site']}.{column}",
            text=f"DXA {name}, {side}{site}",
            category=IMAGING,
            ucum=ucum,
            unit=unit,
            loinc=_DXA.get((row["site"], row["side"], column)),
        )
        told = [
            f"Vertebrae {row['vertebrae']}" if row["vertebrae"] else "",
            f"Scanner {row['scanner']}" if row["scanner"] else "",
        ]
        yield _observation(row, measure, f"scan.{column}", ids, *told) | {
            "bodySite": concept(f"{side}{site}"),
            "valueQuantity": quantity(row[column], ucum, unit),
        }


def _marker(row: Row, ids: Ids) -> Resource:
    unit = row["unit"]
    measure = Measure(
        code=f"marker.{row['marker']}",
        text=f"{MARKERS[row['marker']]} in blood",
        category=LABORATORY,
        ucum=MARKER_UCUM[unit],
        unit=unit,
        loinc=_MARKER_LOINC.get(row["marker"]),
    )
    fasting = {True: "Fasting, before 10 in the morning", False: "Not fasting", None: ""}
    return _observation(row, measure, "marker", ids, fasting[row["fasting_morning"]]) | {
        "valueQuantity": quantity(row["value"], measure.ucum, unit)
    }


def _unable(row: Row, ids: Ids) -> Iterator[Resource]:
    """Yield each test that was attempted, not possible: no value, and why there is none."""
    for column in row["unable"] or ():
        yield _observation(row, _TESTS[column], f"unable.{column}", ids) | {
            "dataAbsentReason": concept("Attempted, not possible")
        }


def _pressures(row: Row, ids: Ids) -> Iterator[Resource]:
    for column, how in _PRESSURES.items():
        if row[column] is None:
            continue
        measure = Measure(
            code=f"pressure.{column}",
            text=f"Blood pressure, {how}",
            category=VITAL_SIGNS,
            ucum="mm[Hg]",
            unit="mmHg",
            loinc=(_PANEL, _R4),
        )
        parts = zip((_SYSTOLIC, _DIASTOLIC), ("Systolic", "Diastolic"), row[column], strict=True)
        yield _observation(row, measure, f"tests.{column}", ids) | {
            "component": [
                {
                    "code": concept(text, coding(LOINC, code)),
                    "valueQuantity": quantity(value, measure.ucum, measure.unit),
                }
                for code, text, value in parts
            ]
        }


def _probabilities(facts: Facts, patient: int, ids: Ids) -> Iterator[Resource]:
    for column, (text, loinc) in _PROBABILITIES.items():
        value = getattr(facts.probability_10y, column, None)
        if value is None:
            continue
        measure = Measure(
            code=f"probability.{column}",
            text=text,
            category=SURVEY,
            ucum="%",
            unit="%",
            loinc=loinc,
        )
        answered: Row = {"id": patient, "patient_id": patient, "date": told_text(facts.as_of)}
        yield _observation(answered, measure, f"answer.{column}", ids) | {
            "valueQuantity": quantity(str(value), "%", "%")
        }


def _observation(row: Row, measure: Measure, kind: str, ids: Ids, *told: str) -> Resource:
    """Return all of an observation but its value; its day has no time, so no zone can move it."""
    struck = bool(row.get("withdrawn_at"))
    why = f"Struck out: {row['withdrawn_reason']}" if struck else ""
    return {
        "resourceType": "Observation",
        "id": ids.of(kind, row["id"]),
        "status": "entered-in-error" if struck else "final",
        "category": [concept(measure.category, coding(CATEGORIES, measure.category))],
        "code": measure.concept,
        "subject": ids.reference("patient", row["patient_id"]),
        "effectiveDateTime": date(row["date"]),
        **notes((*told, why)),
    }
