"""Everyone on record, a new patient, and a change of who she is."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients import actions
from patients.assembly import Contradiction
from patients.forms.person import IdentityForm
from patients.models import Patient
from patients.search import found
from patients.views.common import (
    other_patient,
    patient_page,
    sent_again,
    sent_token,
    signed_in,
    today,
)

PAGE = 50


@require_GET
def caseload(request: HttpRequest) -> HttpResponse:
    """Show everyone, or whom the search finds."""
    return render(request, "patients/caseload.html", everyone(request))


def everyone(request: HttpRequest) -> dict[str, Any]:
    """Return what the part patients/_everyone.html shows: the search and a page of people."""
    query = request.GET.get("q", "")
    page = Paginator(found(query), PAGE).get_page(request.GET.get("page"))
    return {"query": query, "page": page}


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Add a patient; one who may be on record already needs a reason."""
    form = IdentityForm(request.POST or None, today=today())
    if request.method == "GET" or not form.is_valid():
        return _new_page(request, form)
    try:
        patient = actions.add_patient(
            who=form.identity(),
            by=signed_in(request),
            at=timezone.now(),
            reason=form.cleaned_data["reason"],
            token=sent_token(request),
        )
    except actions.Duplicate as duplicate:
        form.ask_reason()
        return _new_page(request, form, status=409, matches=duplicate.matches)
    return redirect("patients:facts", patient.pk)


def _new_page(
    request: HttpRequest, form: IdentityForm, status: int = 200, **context: Any
) -> HttpResponse:
    if form.data.get("reason"):
        form.ask_reason()
    context |= {"form": form, "token": sent_token(request) or uuid4()}
    return render(request, "patients/new.html", context, status=status)


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Change name, date of birth, sex or record number."""
    patient = get_object_or_404(Patient, pk=patient_id)
    if request.method == "GET":
        held = {**vars(actions.identity_of(patient)), "born": patient.born.isoformat()}
        return _change_page(request, patient, IdentityForm(initial=held, today=today()))
    form = IdentityForm(request.POST, today=today())
    if (refusal := other_patient(request, patient)) is not None:
        return refusal
    if not form.is_valid():
        return _change_page(request, patient, form)
    return _changed(request, patient, form)


def _changed(request: HttpRequest, patient: Patient, form: IdentityForm) -> HttpResponse:
    try:
        actions.change_patient(
            patient=patient,
            who=form.identity(),
            version=int(request.POST.get("version") or 0),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except actions.Conflict as conflict:
        return _identity_conflict(request, conflict)
    except Contradiction as contradiction:
        form.add_error(None, f"The facts on record do not fit this: {contradiction}")
        return _change_page(request, patient, form)
    messages.success(request, "Saved.")
    return redirect("patients:facts", patient.pk)


def _change_page(request: HttpRequest, patient: Patient, form: IdentityForm) -> HttpResponse:
    version = request.POST.get("version") or patient.version
    return patient_page(request, "patients/change.html", patient, form=form, version=version)


def _identity_conflict(request: HttpRequest, conflict: actions.Conflict) -> HttpResponse:
    labels = {name: field.label for name, field in IdentityForm.base_fields.items()}
    rows = [(labels[n], conflict.theirs[n], mine) for n, mine in conflict.mine.items()]
    return patient_page(
        request,
        "patients/conflict.html",
        conflict.now,
        status=409,
        title="Name and date of birth",
        rows=[(label, str(theirs), str(mine)) for label, theirs, mine in rows],
        sent=[*sent_again(request, "version"), ("version", str(conflict.now.version))],
    )
