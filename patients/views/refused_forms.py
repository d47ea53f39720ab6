"""What is answered to a form that was not made for this person, or was saved already."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from patients.audit import SentOtherwise
from patients.models.patient import Patient
from patients.views.common import patient_page
from patients.views.erased import erased
from patients.views.form_marks import is_marked, is_of_this_life, typed


def other_patient(request: HttpRequest, patient: Patient | None) -> HttpResponse | None:
    """Return the page that refuses a form of another person; None lets the form pass."""
    told: dict[str, Any] = {"typed": typed(request)}
    if patient is None:
        if (gone := erased(request)) is not None:
            return gone
        return render(request, "patients/no_patient.html", told, status=409)
    if is_marked(request, patient):
        return None
    page = "patients/other_patient.html"
    return patient_page(request, page, patient, status=409, steps_of_plan=True, **told)


def of_another_life(request: HttpRequest) -> HttpResponse | None:
    """Return the page that refuses a form from before a restore; None lets the form pass."""
    if is_of_this_life(request):
        return None
    return render(request, "patients/other_life.html", {"typed": typed(request)}, status=409)


def sent_otherwise(request: HttpRequest, refused: SentOtherwise) -> HttpResponse:
    """Return the page that says that the form was saved before, and this content was not."""
    at = request.resolver_match
    told = {
        "line": refused.line,
        "typed": typed(request),
        "patient_id": at.kwargs.get("patient_id") if at else None,
    }
    return render(request, "patients/sent_otherwise.html", told, status=409)
