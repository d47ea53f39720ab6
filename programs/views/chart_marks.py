"""What programs put into the pictures of what was measured."""

from __future__ import annotations

from django.utils import timezone

from patients.measured.chart import Mark
from patients.models.patient import Patient
from programs.models.program import SignedPlan


def signed_programs(patient: Patient) -> list[Mark]:
    """Return the day on which each program of a patient was signed; one query."""
    signed = SignedPlan.objects.filter(patient=patient).order_by("version")
    return [
        Mark(timezone.localdate(at), f"program {version} signed")
        for version, at in signed.values_list("version", "signed_at")
    ]
