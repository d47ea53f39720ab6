"""What the views share: whose page, who is signed in, which form was sent."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID, uuid4

from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from patients.ages import age_on
from patients.assembly import Contradiction
from patients.models import Patient
from patients.sections import SECTIONS


def signed_in(request: HttpRequest) -> User:
    """Return who is signed in; the middleware lets nobody else through."""
    assert isinstance(request.user, User)
    return request.user


def today() -> dt.date:
    """Return the clinic's own date, which is not always that of Greenwich."""
    return timezone.localdate()


def patient_page(
    request: HttpRequest, template: str, patient: Patient, *, status: int = 200, **context: Any
) -> HttpResponse:
    """Render a page with the patient's banner and steps, and a fresh token for its form."""
    context |= {"patient": patient, "age": age_on(patient.born, today()), "today": today()}
    context.setdefault("step", "facts")
    context.setdefault("token", uuid4())
    return render(request, template, context, status=status)


def contradiction_page(
    request: HttpRequest,
    patient: Patient,
    contradiction: Contradiction,
    *,
    step: str = "facts",
    status: int = 200,
) -> HttpResponse:
    """Return the page that says which facts do not fit together, and where to put them right."""
    told = {"problems": contradiction.problems, "sections": SECTIONS, "step": step}
    return patient_page(request, "patients/contradiction.html", patient, status=status, **told)


def sent_token(request: HttpRequest) -> UUID | None:
    """Return the token of the form that was sent; None where it carries none."""
    try:
        return UUID(request.POST.get("token", ""))
    except ValueError:
        return None


def other_patient(request: HttpRequest, patient: Patient) -> HttpResponse | None:
    """Return the page that refuses a form of another patient than the address names."""
    if request.POST.get("patient") == str(patient.pk):
        return None
    return patient_page(request, "patients/other_patient.html", patient, status=409)


def sent_again(request: HttpRequest, *fresh: str) -> list[tuple[str, str]]:
    """Return all that was typed, to be sent once more, without what must be fresh."""
    left = ("csrfmiddlewaretoken", "token", *fresh)
    return [(n, v) for n, values in request.POST.lists() for v in values if n not in left]
