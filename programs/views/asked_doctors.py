"""What is asked of doctors about a patient, and what they answered."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.views.common import patient_page, sent_token, signed_in, today
from programs.actions.asked_doctors import ask_doctor, asked_of, keep_answer
from programs.actions.read_plan import facts_for
from programs.actions.refusals import NotDone
from programs.forms.asked_doctors import AnswerForm, AskForm
from programs.models.asked_doctors import DoctorAnswered, DoctorAsked
from programs.papers.asked_of_doctor import requests
from safety.screen import screen


@require_http_methods(["GET", "POST"])
def asked(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what was asked and what waits; keep that a doctor was asked."""
    patient = get_object_or_404(Patient, pk=patient_id)
    first = {"what": _to_ask(patient), "on": today().isoformat()}
    form = AskForm(request.POST or None, initial=first, **_of(patient))
    if request.method == "POST" and form.is_valid():
        try:
            row = ask_doctor(patient=patient, **form.cleaned_data, **_by(request))
        except NotDone as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, f"Kept: asked of {row.doctor}. It waits on the Caseload.")
            return redirect("programs:asked", patient_id)
    return patient_page(
        request,
        "programs/asked.html",
        patient,
        status=200 if request.method == "GET" else 422,
        step="screen",
        form=form,
        rows=list(asked_of(patient)),
    )


@require_http_methods(["GET", "POST"])
def asked_answer(request: HttpRequest, patient_id: int, asked_id: int) -> HttpResponse:
    """Keep what a doctor answered."""
    patient = get_object_or_404(Patient, pk=patient_id)
    row = get_object_or_404(asked_of(patient), pk=asked_id)
    form = AnswerForm(
        request.POST or None,
        initial={"on": today().isoformat()},
        since=row.on,
        **_of(patient),
    )
    if request.method == "POST" and form.is_valid():
        try:
            keep_answer(asked=row, **form.cleaned_data, **_by(request))
        except NotDone as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _kept(form.cleaned_data["answer"]))
            return redirect("programs:asked", patient_id)
    return patient_page(
        request,
        "programs/asked_answer.html",
        patient,
        status=200 if request.method == "GET" else 422,
        step="screen",
        form=form,
        row=row,
        answered=_answer(row),
    )


def _answer(row: DoctorAsked) -> DoctorAnswered | None:
    return getattr(row, "answer", None)


def _kept(answer: str) -> str:
    if answer == "leave":
        return "Saved. Record the agreement as a clearance on Screen: only that lifts anything."
    return "Kept: it was answered."


def _to_ask(patient: Patient) -> str:
    """Return what today's screen would have asked; nothing where it asks nothing."""
    try:
        found = screen(facts_for(patient, today())).findings
    except Contradiction:
        return ""
    return "\n".join(one.words for one in requests(found))


def _by(request: HttpRequest) -> dict[str, Any]:
    return {"by": signed_in(request), "at": timezone.now(), "token": sent_token(request)}


def _of(patient: Patient) -> dict[str, Any]:
    return {"born": patient.born, "as_of": today()}
