"""The clearances kept under a record, for the page that lists what stands there."""

from __future__ import annotations

from patients.facts.in_words import day_text
from patients.models.patient import Patient
from patients.views.kept_under import KeptLine
from safety.models import Clearance


def clearances(patient: Patient) -> list[KeptLine]:
    """Return a line for each clearance, struck-out ones too."""
    rows = Clearance.objects.filter(patient=patient)
    return [KeptLine(title="Clearance", text=_words(row)) for row in rows]


def _words(row: Clearance) -> str:
    struck = " (struck out)" if row.withdrawn_at is not None else ""
    return (
        f"{row.get_subject_display()}: for {row.modality_names}, by {row.given_by}, "
        f"{day_text(row.on)} to {day_text(row.until)}, {row.says}{struck}"
    )
