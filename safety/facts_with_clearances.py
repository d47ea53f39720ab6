"""From rows to facts, with the clearances that were given."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from django.db.models import QuerySet

from patients.facts import codes
from patients.facts.declared import Clearance, Condition, Facts, OtherClearance
from patients.models.patient import Patient
from patients.rows_to_facts import facts_of
from safety import models


def facts_for(patient: Patient, as_of: dt.date) -> Facts:
    """Return all that is known of a patient on a day, with what was cleared; eight queries.

    Raises patients.rows_to_facts.Contradiction where what was entered cannot stand together.
    """
    return with_clearances(facts_of(patient, as_of), standing(patient))


def standing(patient: Patient) -> QuerySet[models.Clearance]:
    """Return the clearances that were not withdrawn, oldest first."""
    return models.Clearance.objects.filter(patient=patient, withdrawn_at=None)


def with_clearances(facts: Facts, rows: Iterable[models.Clearance]) -> Facts:
    """Return the facts with these clearances, valid on their day or not."""
    rows = list(rows)
    other = tuple(_other(row) for row in rows if row.subject in codes.CLEARANCE_SUBJECTS)
    return replace(
        facts,
        clearances=other or None,
        conditions=facts.conditions and _cleared(facts.conditions, rows),
    )


def _cleared(
    conditions: Mapping[str, Condition], rows: Iterable[models.Clearance]
) -> dict[str, Condition]:
    given: dict[str, list[Clearance]] = {}
    for row in rows:
        given.setdefault(row.subject, []).append(_of_condition(row))
    return {
        code: replace(condition, cleared=tuple(given.get(code, ())) or None)
        for code, condition in conditions.items()
    }


def _of_condition(row: models.Clearance) -> Clearance:
    return Clearance(**_given(row))


def _other(row: models.Clearance) -> OtherClearance:
    return OtherClearance(subject=row.subject, **_given(row))


def _given(row: models.Clearance) -> dict[str, Any]:
    return {
        "modalities": tuple(row.modalities),
        "by": row.given_by,
        "on": row.on,
        "until": row.until,
        "limits": row.limits,
        "eye_specialist": row.eye_specialist,
    }
