"""Closing a record and opening it again; what is answered to a form of one that takes none."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions.closing import close_record, open_again
from patients.actions.refusals import Refused
from patients.forms.standing import CloseForm, ReasonForm
from patients.models.patient import Patient
from patients.standing import WHY_NOT_WRITTEN, closing_in_force, join_of
from patients.views.common import (
    patient_page,
    sent_again,
    sent_token,
    signed_in,
    today,
)

#: Pages that may be posted to although the record is closed.
_MAY_BE_POSTED = ("patients:close",)


def takes_nothing(request: HttpRequest, patient: Patient) -> HttpResponse | None:
    """Return what is answered to a form of a record that is not open; None lets it pass."""
    if request.resolver_match and request.resolver_match.view_name in _MAY_BE_POSTED:
        return None
    return patient_page(
        request,
        "patients/takes_nothing.html",
        patient,
        status=409,
        steps_of_plan=True,
        why=WHY_NOT_WRITTEN[patient.findable.state],
        join=join_of(patient),
        sent=sent_again(request),
        files=bool(request.FILES),
    )


@require_http_methods(["GET", "POST"])
def close(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Close a record with a reason and a day, or open a closed one again."""
    patient = get_object_or_404(Patient, pk=patient_id)
    opens = "open" in request.POST or (
        request.method == "GET" and closing_in_force(patient) is not None
    )
    form = _form(request, patient, opens=opens)
    if request.method == "GET" or not form.is_valid():
        return _close_page(request, patient, form, opens)
    who: dict[str, Any] = {"by": signed_in(request), "at": timezone.now()}
    try:
        _write(patient, form, opens, who | {"token": sent_token(request)})
    except Refused as refused:
        form.add_error(None, str(refused))
        return _close_page(request, patient, form, opens)
    messages.success(request, "Opened again." if opens else "Closed. The record is kept.")
    return redirect("patients:facts", patient.pk)


def _form(request: HttpRequest, patient: Patient, *, opens: bool) -> Any:
    days = {"born": patient.born, "as_of": today()}
    if not opens:
        return CloseForm(request.POST or None, initial={"on": today().isoformat()}, **days)
    label, missing = "Why it is opened again", "Say why it is opened again."
    return ReasonForm(request.POST or None, label=label, missing=missing, **days)


def _write(patient: Patient, form: Any, opens: bool, who: dict[str, Any]) -> None:
    told = form.cleaned_data
    if opens:
        open_again(patient=patient, note=told["reason"], **who)
        return
    note = told["note"] or ""
    close_record(patient=patient, what=told["what"], on=told["on"], note=note, **who)


def _close_page(request: HttpRequest, patient: Patient, form: Any, opens: bool) -> HttpResponse:
    more = {"token": sent_token(request)} if sent_token(request) else {}
    return patient_page(
        request,
        "patients/close.html",
        patient,
        status=422 if form.is_bound else 200,
        steps_of_plan=True,
        form=form,
        opens=opens,
        **more,
    )
