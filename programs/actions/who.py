"""Who she is, as a signed text holds it, and the names that a paper bears on its day."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from patients.models.patient import Patient
from programs.signed.program import Who


def who_is_signed(patient: Patient) -> dict[str, Any]:
    """Return who she is, as a signed text holds it."""
    estimated = {"born_estimated": True} if patient.born_estimated else {}
    return {
        "id": patient.pk,
        "record_number": patient.record_number,
        "given_name": patient.given_name,
        "family_name": patient.family_name,
        "born": patient.born_as_told,
        "sex": patient.sex,
        **estimated,
    }


def names_told(patient: Patient) -> Mapping[str, str]:
    """Return what the record tells of the names on a paper that is made now."""
    return {"called": patient.name, "goes_by": patient.goes_by}


def names_as_signed(who: Who) -> Mapping[str, str]:
    """Return the names on a paper from before the record told of any."""
    return {"called": f"{who.given_name} {who.family_name}", "goes_by": ""}
