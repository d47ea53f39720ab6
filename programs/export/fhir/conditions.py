"""Conditions and medicines: broken bones, answers that are conditions, medicines taken."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import Any

from patients.facts.codes import (
    BONE_MEDICINES,
    CONDITIONS,
    DATED_CONDITIONS,
    FRACTURE_SITES,
    MEDICINES,
)
from patients.facts.declared import Facts, Medicine
from patients.facts.partial_dates import told_text, typed_span
from programs.export.document import Document, Row
from programs.export.fhir.parts import Ids, Resource, coding, concept, date, moment, notes, own

CLINICAL = "http://terminology.hl7.org/CodeSystem/condition-clinical"
VERIFICATION = "http://terminology.hl7.org/CodeSystem/condition-ver-status"
#: Whether a broken bone has healed, as FHIR has it; not told where that was not recorded.
_HEALED: Mapping[bool | None, str] = {True: "resolved", False: "active", None: ""}


def conditions(held: Document, facts: Facts | None, ids: Ids) -> Iterator[Resource]:
    """Yield every broken bone, and every condition that was answered yes."""
    for row in held["tables"]["fractures"]:
        yield _fracture(row, ids)
    if facts is None:
        return
    for code, answer in (facts.conditions or {}).items():
        if answer.answer:
            degree = {} if answer.degree is None else {"severity": concept(answer.degree)}
            # An operation or a birth was on a day; it does not go on.
            status = {} if code in DATED_CONDITIONS else _clinical("active")
            since = {} if answer.on is None else {"onsetDateTime": date(told_text(answer.on))}
            yield _condition(f"condition/{code}", held["patient_id"], ids) | {
                **status,
                "code": own(CONDITIONS[code], f"condition.{code}"),
                **degree,
                **since,
                "recordedDate": date(told_text(facts.as_of)),
            }


def medicines(held: Document, facts: Facts | None, ids: Ids) -> Iterator[Resource]:
    """Yield every medicine that was answered yes; which preparation is not kept."""
    taken = {} if facts is None or facts.medicines is None else facts.medicines
    for code, medicine in taken.items():
        if medicine.answer and facts is not None:
            yield _medicine(code, medicine, facts.as_of, held["patient_id"], ids)


def _condition(kind: str, patient: int, ids: Ids) -> Resource:
    return {
        "resourceType": "Condition",
        "id": ids.of(kind, patient),
        "subject": ids.reference("patient", patient),
    }


def _clinical(code: str) -> dict[str, Any]:
    return {"clinicalStatus": concept(code, coding(CLINICAL, code))}


def _fracture(row: Row, ids: Ids) -> Resource:
    site = FRACTURE_SITES[row["site"]]
    wrong, healed = "entered-in-error", _HEALED[row["healed"]]
    status: dict[str, Any] = {}
    if row["withdrawn_at"]:
        # FHIR's con-5: what was entered in error has no clinical status.
        status = {"verificationStatus": concept(wrong, coding(VERIFICATION, wrong))}
    elif healed:
        status = _clinical(healed)
    since = {} if row["date"] is None else {"onsetDateTime": date(_partial(row))}
    told = (
        {True: "Low trauma", False: "Not of low trauma", None: ""}[row["low_trauma"]],
        {True: "Atypical", False: "Not atypical", None: ""}[row["atypical"]],
        f"Struck out: {row['withdrawn_reason']}" if row["withdrawn_at"] else "",
    )
    return {
        "resourceType": "Condition",
        "id": ids.of("fracture", row["id"]),
        **status,
        "code": own(f"Fracture: {site}", f"fracture.{row['site']}"),
        "bodySite": [concept(site)],
        "subject": ids.reference("patient", row["patient_id"]),
        **since,
        "recordedDate": moment(row["entered_at"]),
        **notes(told),
    }


def _partial(row: Row) -> str:
    return typed_span(dt.date.fromisoformat(row["date"]), row["date_is"])


def _medicine(code: str, held: Medicine, as_of: dt.date, patient: int, ids: Ids) -> Resource:
    kind = "" if held.kind is None else f": {BONE_MEDICINES[held.kind]}"
    period = {} if held.since is None else {"effectivePeriod": {"start": told_text(held.since)}}
    dose = [] if held.mg_per_day is None else [{"text": f"{held.mg_per_day:g} mg a day"}]
    told = (
        "" if held.months is None else f"For {held.months:g} months",
        "" if held.last_dose_on is None else f"Last dose {told_text(held.last_dose_on)}",
    )
    return {
        "resourceType": "MedicationStatement",
        "id": ids.of(f"medicine/{code}", patient),
        "status": "stopped" if held.stopped else "active",
        "medicationCodeableConcept": own(f"{MEDICINES[code]}{kind}", f"medicine.{code}"),
        "subject": ids.reference("patient", patient),
        **period,
        "dateAsserted": date(told_text(as_of)),
        **notes(told),
        **({"dosage": dose} if dose else {}),
    }
