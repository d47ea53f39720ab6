"""The page that stands for any other that would read a signed program which does not verify."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from patients.models.patient import Patient
from patients.views.common import patient_page
from programs.actions.as_signed import WHAT_NOW, NotAsSigned
from programs.views.plan import start_form


def not_as_signed(request: HttpRequest, wrong: NotAsSigned) -> HttpResponse:
    """Say what does not hold of whose program, and offer to redraft.

    The patient is the one of the page that was asked for: a signature may stand beside another.
    """
    match = request.resolver_match
    asked = match.kwargs.get("patient_id") if match else None
    patient = get_object_or_404(Patient, pk=asked or wrong.patient)
    context = {
        "step": "plan",
        "version": wrong.version,
        "why": wrong.why,
        "what_now": WHAT_NOW,
        "form": start_form(),
    }
    return patient_page(request, "programs/not_as_signed.html", patient, status=409, **context)
