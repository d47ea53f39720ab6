"""People of whom everything is on record, and clearances, for the tests that need rows."""

from __future__ import annotations

import datetime as dt
from typing import Any

from patients.models.patient import Patient
from safety.models import Clearance
from tests.factories import MOMENT, UserFactory
from tests.people import steady_document
from tests.programs.rows import recorded


def known_patient(**changes: Any) -> Patient:
    """Return the steady person, with changes, as a patient on record."""
    return recorded(UserFactory(), steady_document(**changes))


def cleared(patient: Patient, subject: str, *modalities: str, **more: Any) -> Clearance:
    """Return a clearance on record, valid for years unless told otherwise."""
    held = {
        "subject": subject,
        "modalities": list(modalities),
        "given_by": "Spine clinic",
        "on": dt.date(2026, 1, 5),
        "until": dt.date(2100, 1, 5),
        "recorded_by": UserFactory(),
        "recorded_at": MOMENT,
    }
    return Clearance.objects.create(patient=patient, **held | more)
