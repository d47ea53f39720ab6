"""Documents in the format person/1 for the tests of the Bundle. Everyone here is invented."""

from __future__ import annotations

from typing import Any

from programs.export.fhir.bundle import bundle
from programs.export.tables import TABLES
from programs.signed import snapshot
from tests.people import steady
from tests.programs.export.fhir.bundle_check import problems
from tests.programs.sample_papers import snapshot_of

Row = dict[str, Any]
STRUCK = {"withdrawn_at": "2026-03-03T09:30:00Z", "withdrawn_reason": "Of another person"}
STANDS = {"withdrawn_at": None, "withdrawn_reason": ""}
AT = "2026-03-02T09:30:00Z"


def numbered(rows: tuple[Row, ...]) -> list[Row]:
    return [{"id": n, "patient_id": 3, **STANDS, **row} for n, row in enumerate(rows, start=1)]


def person(**more: Any) -> Row:
    who = {"id": 3, "record_number": "T3", "given_name": "Orla", "family_name": "Testwick"}
    return {**who, "born": "1959-08-14", "born_is": "day", "sex": "female", **more}


def held(*people: Row, holds: bool = True, **rows: tuple[Row, ...]) -> Any:
    tables: dict[str, list[Row]] = {table.key: [] for table in TABLES}
    tables |= {key: numbered(told) for key, told in rows.items()}
    tables["people"] = list(people) or [person()]
    signed = {str(row["id"]): holds for row in tables["signed_programs"]}
    return {
        "clinic": "c" * 64,
        "patient_id": 3,
        "records": [one["id"] for one in tables["people"]],
        "tables": tables,
        "holds": {"signed_programs": signed, "papers": {}},
    }


def of(made: Any, kind: str) -> list[Any]:
    assert problems(made) == []
    found = (entry["resource"] for entry in made["entry"])
    return [one for one in found if one["resourceType"] == kind]


def size(**more: Any) -> Row:
    return {"date": "2026-03-02", "height_cm": "161.5", "weight_kg": "58.0", **more}


def scan(**more: Any) -> Row:
    scores = {"bmd_g_cm2": "0.681", "t": "-2.1", "z": None}
    site = {"site": "total_hip", "side": "left", "vertebrae": "", "scanner": None}
    return {"date": "2005-06-30", **site, **scores, **more}


def marker(**more: Any) -> Row:
    told = {"date": "2026-01-20", "marker": "ctx", "value": "520.000", "unit": "ng/L"}
    return {**told, "fasting_morning": True, **more}


def day_of_tests(**more: Any) -> Row:
    columns = (
        *("up_and_go_s", "chair_stands_30s", "five_stands_s", "side_by_side_s", "semi_tandem_s"),
        *("tandem_s", "one_leg_s", "walk_4m_s", "grip_kg", "resting_bp", "standing_bp", "unable"),
    )
    return {"date": "2026-03-02", **dict.fromkeys(columns), **more}


def broken(**more: Any) -> Row:
    told = {"site": "wrist", "date": "2019-05-31", "date_is": "month", "entered_at": AT}
    return {**told, "low_trauma": True, "healed": True, "atypical": None, **more}


def signed(version: int = 1, **more: Any) -> Row:
    body = snapshot.canonical(snapshot_of(version=version, replaces=None))
    told = {"body": body, "digest": snapshot.digest_of(body), "signed_at": AT}
    return {**told, "signed_name": "Marta Ferro", "version": version, **more}


def state(what: str, modality: str = "", program: int = 1) -> Row:
    return {"signed_id": program, "state": what, "modality": modality}


def whole() -> Any:
    """Return the bundle of somebody of whom there is something of every kind."""
    facts = steady(
        conditions={"heart_failure": {"answer": "yes", "degree": "mild", "on": "2020"}},
        medicines={"bone_medicine": {"answer": "yes", "kind": "denosumab", "since": "2024-01"}},
        probability_10y={"major_percent": 12.5, "hip_percent": 3},
    )
    document = held(
        heights_and_weights=(size(), size(**STRUCK)),
        density_scans=(scan(), scan(site="lumbar_spine", side="", vertebrae="L1-L4")),
        bone_markers=(marker(),),
        function_tests=(day_of_tests(up_and_go_s="8.4", resting_bp=[126, 76], unable=["grip_kg"]),),
        fractures=(broken(),),
        signed_programs=(signed(1), signed(2)),
        program_states=(state("in force"), state("replaced"), state("in force", program=2)),
    )
    return bundle(document, facts)
