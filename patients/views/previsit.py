"""Typing in the paper form of before the first visit: one page, saved in one go."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from patients.forms.previsit import PrevisitSheet
from patients.views.one_page import OnePage


def _bones(sheet: PrevisitSheet) -> list[str]:
    count = len(sheet.rows())
    return [f"{count} fracture{'' if count == 1 else 's'}"] if count else []


def _onward(request: HttpRequest, sheet: PrevisitSheet) -> HttpResponse:
    patient = sheet.known.patient
    if not sheet.has_plate_to_describe:
        return redirect("patients:facts", patient.pk)
    messages.info(request, "There is a vibration plate at home. Describe it here.")
    return redirect("patients:section", patient.pk, "plates")


PAGE = OnePage(
    sheet=PrevisitSheet,
    template="patients/previsit.html",
    title="Questions before the visit",
    measured=lambda sheet: {"rows": sheet.rows()},
    of_rows=_bones,
    onward=_onward,
)


@require_http_methods(["GET", "POST"])
def previsit(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show or save what the paper asks."""
    return PAGE.serve(request, patient_id)
