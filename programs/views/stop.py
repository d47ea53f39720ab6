"""Stopping a signed program or one kind of it, and telling the patient."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from patients import audit
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.views.common import (
    contradiction_page,
    sent_token,
    signed_in,
    today,
)
from programs.actions.clinic import details_in_force
from programs.actions.may_hand_out import kinds_to_come
from programs.actions.papers import make_stop_notice
from programs.actions.printing import PaperRefused, PaperUnavailable
from programs.actions.program_state import state_of, stop_program, told_of_stop
from programs.actions.refusals import NotDone
from programs.actions.without_a_kind import draft_without
from programs.forms.paper import LayoutForm
from programs.forms.stop import StopForm, ToldForm
from programs.models.program_state import ProgramState
from programs.views.being_made import prints
from programs.views.program_page import Kept, newest_signed, program_page


@require_http_methods(["GET", "POST"])
def stop(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Stop the program in force, or one kind of it."""
    kept = Kept.of(patient_id)
    signed = newest_signed(kept)
    if signed is None:
        return redirect("programs:handout", patient_id)
    if (before := audit.done_before(sent_token(request))) is not None:
        return redirect("programs:stop_told", patient_id, audit.row_made(before, ProgramState).pk)
    state = state_of(signed, today())
    left = [m for m in kinds_to_come(signed, today()) if m not in state.modalities]
    form = StopForm(request.POST or None, kinds=left, **_of(kept.patient))
    shown: dict[str, Any] = {"signed": signed, "state": state, "form": form}
    if request.method == "GET":
        return program_page(request, "programs/stop.html", kept, step="handout", **shown)
    if form.is_valid():
        try:
            row = stop_program(
                signed=signed,
                modality=form.modality,
                why=form.cleaned_data["why"],
                by=signed_in(request),
                at=timezone.now(),
                token=sent_token(request),
            )
        except NotDone as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(
                request, f"Stopped. It is done only when {kept.patient.given_name} knows."
            )
            return redirect("programs:stop_told", patient_id, row.pk)
    # Where nothing is in force any more, it is the state that refuses and not what was typed.
    status = 422 if state.in_force else 409
    return program_page(request, "programs/stop.html", kept, step="handout", status=status, **shown)


@require_http_methods(["GET", "POST"])
def stop_told(request: HttpRequest, patient_id: int, stop_id: int) -> HttpResponse:
    """Show what was stopped and how to tell her; keep that she knows."""
    kept, row = Kept.of(patient_id), _stop(patient_id, stop_id)
    since = timezone.localdate(row.at)
    first = {"told_by": signed_in(request).get_full_name(), "on": today().isoformat()}
    of = _of(kept.patient)
    form = ToldForm(request.POST or None, initial=first, since=since, **of)
    if request.method == "POST" and form.is_valid():
        told_of_stop(
            stop=row,
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
            **form.cleaned_data,
        )
        messages.success(request, "Saved: the patient was told.")
        return redirect("programs:stop_told", patient_id, stop_id)
    return program_page(
        request,
        "programs/stop_told.html",
        kept,
        step="handout",
        status=200 if request.method == "GET" else 422,
        stop=row,
        told=getattr(row, "told", None),
        state=state_of(row.signed, today()),
        form=form,
        notice_form=LayoutForm(initial={"paper": details_in_force().paper}, **of),
    )


@require_POST
@prints
def stop_notice(request: HttpRequest, patient_id: int, stop_id: int) -> HttpResponse:
    """Make the notice of a stop, and open it."""
    kept, row = Kept.of(patient_id), _stop(patient_id, stop_id)
    form = LayoutForm(request.POST, **_of(kept.patient))
    if not form.is_valid():
        messages.error(request, "Choose a language, a paper size and letters of the lists.")
        return redirect("programs:stop_told", patient_id, stop_id)
    try:
        made = make_stop_notice(
            stop=row, by=signed_in(request), at=timezone.now(), **form.cleaned_data
        )
    except (NotDone, PaperRefused, PaperUnavailable) as refused:
        messages.error(request, str(refused))
        return redirect("programs:stop_told", patient_id, stop_id)
    return redirect("programs:handout_pdf", patient_id=patient_id, handout_id=made.pk)


@require_POST
def stop_draft(request: HttpRequest, patient_id: int, stop_id: int) -> HttpResponse:
    """Draft the program without what was stopped, in one step."""
    kept, row = Kept.of(patient_id), _stop(patient_id, stop_id)
    state = state_of(row.signed, today())
    try:
        plan = draft_without(
            signed=row.signed,
            stopped=state.modalities,
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except Contradiction as contradiction:
        return contradiction_page(request, kept.patient, contradiction, step="plan")
    except NotDone as refused:
        messages.error(request, str(refused))
        return redirect("programs:stop_told", patient_id, stop_id)
    messages.success(request, f"Draft {plan.version} is made without it; look it through.")
    return redirect("programs:plan", patient_id)


def _stop(patient_id: int, stop_id: int) -> ProgramState:
    rows = ProgramState.objects.filter(state=ProgramState.STOPPED, signed__patient=patient_id)
    return get_object_or_404(
        rows.select_related("signed__plan", "signed__patient", "by"), pk=stop_id
    )


def _of(patient: Patient) -> dict[str, Any]:
    return {"born": patient.born, "as_of": today()}
