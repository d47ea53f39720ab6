"""A new patient, and a change of who she is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions import patient_record
from patients.actions.refusals import Conflict, Duplicate, Refused
from patients.facts.partial_dates import typed_span
from patients.forms.person import IdentityForm, identity_as_typed
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.views.common import (
    patient_page,
    sent_again,
    sent_number,
    sent_token,
    signed_in,
    today,
)


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Add a patient; one who may be on record already needs a reason."""
    form = IdentityForm(request.POST or None, today=today())
    if request.method == "GET" or not form.is_valid():
        return _new_page(request, form, status=422 if form.is_bound else 200)
    try:
        patient = patient_record.add_patient(
            who=form.identity(),
            by=signed_in(request),
            at=timezone.now(),
            reason=form.cleaned_data["reason"],
            token=sent_token(request),
        )
    except Duplicate as duplicate:
        form.ask_reason()
        return _new_page(request, form, status=409, matches=duplicate.matches)
    onward = "programs:consult" if "and_consult" in request.POST else "patients:facts"
    return redirect(onward, patient.pk)


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
        form = IdentityForm(initial=identity_as_typed(patient), today=today())
        return _change_page(request, patient, form)
    form = IdentityForm(request.POST, today=today())
    if not form.is_valid():
        return _change_page(request, patient, form)
    return _changed(request, patient, form)


def _changed(request: HttpRequest, patient: Patient, form: IdentityForm) -> HttpResponse:
    try:
        patient_record.change_patient(
            patient=patient,
            who=form.identity(),
            version=sent_number(request, "version"),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except Conflict as conflict:
        return _identity_conflict(request, conflict)
    except Refused as refused:
        form.add_error(None, str(refused))
        return _change_page(request, patient, form)
    except Contradiction as contradiction:
        form.add_error(None, f"The facts on record do not fit this: {contradiction}")
        return _change_page(request, patient, form)
    messages.success(request, "Saved.")
    return redirect("patients:facts", patient.pk)


def _change_page(request: HttpRequest, patient: Patient, form: IdentityForm) -> HttpResponse:
    version = request.POST.get("version") or patient.version
    status = 422 if form.is_bound else 200
    told = {"form": form, "version": version}
    return patient_page(request, "patients/change.html", patient, status=status, **told)


def _as_told(identity: Mapping[str, Any]) -> dict[str, str]:
    """Return who somebody is in words, the date of birth as it was told."""
    born = typed_span(identity["born"], identity["born_is"])
    born = f"about {born}" if identity["born_estimated"] else born
    texts = {name: str(value) for name, value in identity.items()}
    return {**texts, "born": born}


def _identity_conflict(request: HttpRequest, conflict: Conflict) -> HttpResponse:
    labels = {name: field.label for name, field in IdentityForm.base_fields.items()}
    theirs, mine = (_as_told(side) for side in (conflict.theirs, conflict.mine))
    rows = [(label, theirs[name], mine[name]) for name, label in labels.items() if name in mine]
    return patient_page(
        request,
        "patients/conflict.html",
        conflict.now,
        status=409,
        title="Name and date of birth",
        rows=rows,
        sent=[*sent_again(request, "version"), ("version", str(conflict.now.version))],
    )
