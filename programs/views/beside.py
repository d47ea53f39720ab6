"""Beside the exercise: what she says of each kind, her goal, and the prompts, on one page."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from patients.audit import printed_name
from patients.models.patient import Patient
from patients.rows_to_facts import newest_assessment
from patients.views.common import patient_page, sent_token, signed_in, today
from programs.actions.beside import (
    all_answers,
    all_said,
    answer_prompts,
    said_of_kinds,
    say_of_kind,
)
from programs.actions.refusals import NotDone
from programs.beside.prompts import PROMPTS
from programs.forms.beside import PromptsForm, SaidForm
from programs.models.beside import PromptAnswer
from safety.modalities import MODALITIES


@require_GET
def beside(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what holds and both forms; ?kind= names the kind that the form begins with."""
    patient = get_object_or_404(Patient, pk=patient_id)
    return _page(request, patient)


@require_POST
def said(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Keep consent or refusal of a kind."""
    patient = get_object_or_404(Patient, pk=patient_id)
    form = SaidForm(request.POST, **_of(patient))
    if form.is_valid():
        try:
            say_of_kind(patient=patient, **form.said_of(), **_by(request))
        except NotDone as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, "Kept. It changes no dose.")
            return redirect("programs:beside", patient_id)
    return _page(request, patient, said_form=form, status=422)


@require_POST
def answers(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Keep what came of the prompts."""
    patient = get_object_or_404(Patient, pk=patient_id)
    form = PromptsForm(request.POST, **_of(patient))
    if form.is_valid():
        try:
            answer_prompts(
                patient=patient, told=form.told(), on=form.cleaned_data["on"], **_by(request)
            )
        except NotDone as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, "Kept. It changes no dose.")
            return redirect("programs:beside", patient_id)
    return _page(request, patient, prompts_form=form, status=422)


def _page(
    request: HttpRequest,
    patient: Patient,
    *,
    said_form: SaidForm | None = None,
    prompts_form: PromptsForm | None = None,
    status: int = 200,
) -> HttpResponse:
    day = today().isoformat()
    kind = request.GET.get("kind", "")
    first = {"on": day, "asked_by": printed_name(signed_in(request)), "modality": kind}
    # Two forms on a page: each with ids of its own.
    hers = said_form or SaidForm(initial=first, auto_id="said_%s", **_of(patient))
    theirs = prompts_form or PromptsForm(initial={"on": day}, auto_id="prompt_%s", **_of(patient))
    hers.auto_id, theirs.auto_id = "said_%s", "prompt_%s"
    given = list(all_answers(patient))
    held = said_of_kinds(patient)
    return patient_page(
        request,
        "programs/beside.html",
        patient,
        status=status,
        goal=_goal(patient),
        kinds=[(str(m), row.name, held.get(str(m))) for m, row in MODALITIES.items()],
        all_said=list(all_said(patient)),
        said_form=hers,
        prompts_form=theirs,
        prompts=_prompts(theirs, given),
        given=given,
        errors=[*hers.listed_errors, *theirs.listed_errors],
    )


def _prompts(form: PromptsForm, given: list[PromptAnswer]) -> list[dict[str, Any]]:
    """Return each prompt with its newest answer, if any, and its fields."""
    newest: dict[str, PromptAnswer] = {}
    for row in given:
        newest.setdefault(row.prompt, row)
    return [
        {
            "prompt": prompt,
            "newest": newest.get(code),
            "answer": form[f"{code}-answer"],
            "texts": (form[f"{code}-to"], form[f"{code}-note"]),
        }
        for code, prompt in PROMPTS.items()
    ]


def _goal(patient: Patient) -> str:
    """Return her goal in her own words; empty where it was not asked."""
    held = newest_assessment(patient, today())
    return str((held.answers if held else {}).get("own_goal") or "")


def _by(request: HttpRequest) -> dict[str, Any]:
    return {"by": signed_in(request), "at": timezone.now(), "token": sent_token(request)}


def _of(patient: Patient) -> dict[str, Any]:
    return {"born": patient.born, "as_of": today()}
