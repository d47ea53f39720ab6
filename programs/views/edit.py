"""Changing a modality of the open draft, leaving it out, taking it back."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.views.common import sent_again, sent_token, signed_in
from patients.views.form_marks import follows_typing
from programs.actions.editing import edit_plan
from programs.actions.refusals import (
    Breached,
    ChangedMeanwhile,
    NotDone,
    NotOpen,
    ReasonNeeded,
    Stale,
)
from programs.edit.base_draft import Basis
from programs.edit.changes import COULD_LIFT, FIELDS, Edit
from programs.edit.judge import Judged
from programs.edit.plan_in_words import beside
from programs.forms.edit import EditForm, LeaveOutForm
from programs.models.program import Plan
from programs.views import plan_parts
from programs.views.edit_preview import edit_form, is_live, judge_sent, live, preview
from programs.views.plan import not_open
from programs.views.plan_sent import sent_lock, sent_plan
from programs.views.program_page import Kept, program_page
from programs.week.document import read_weeks
from programs.week.one_line import percent_words
from safety.findings import Modality
from safety.modalities import MODALITIES


def _modality(code: str) -> Modality:
    if code not in FIELDS:
        raise Http404("No such modality.")
    return Modality(code)


@follows_typing
@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, patient_id: int, code: str) -> HttpResponse:
    """Show the form, show what it would do, or change the draft."""
    modality, kept = _modality(code), Kept.of(patient_id)
    if is_live(request):
        return live(request, kept, modality)
    if request.method == "POST":
        return _post(request, kept, modality)
    if kept.open is None:
        return _nothing_open(request, kept)
    try:
        return _edit_page(request, kept, modality, edit_form(request, kept.open, modality))
    except Stale as stale:
        return _stale(request, kept, stale)


def _nothing_open(request: HttpRequest, kept: Kept) -> HttpResponse:
    if kept.signed is None:
        return redirect("programs:plan", kept.patient.pk)
    return not_open(request, kept, NotOpen(kept.signed))


def _stale(request: HttpRequest, kept: Kept, stale: Stale) -> HttpResponse:
    messages.error(request, f"{stale} Redraft, then change it.")
    return redirect("programs:plan", kept.patient.pk)


def _post(request: HttpRequest, kept: Kept, modality: Modality) -> HttpResponse:
    plan = sent_plan(request, kept)
    if plan.state != Plan.DRAFT:
        return not_open(request, kept, NotOpen(plan))
    try:
        form = edit_form(request, plan, modality)
        if not form.is_valid():
            return _edit_page(request, kept, modality, form, status=422)
        if "preview" in request.POST:
            return _edit_page(request, kept, modality, form, judged=judge_sent(plan, form))
        return _save(request, kept, modality, form, plan)
    except Stale as stale:
        return _stale(request, kept, stale)
    except NotOpen as refused:
        return not_open(request, kept, refused)


def _save(
    request: HttpRequest, kept: Kept, modality: Modality, form: EditForm, plan: Plan
) -> HttpResponse:
    made = form.edits()
    try:
        _make(request, plan, made, form.cleaned_data["reason"], form.basis)
    except ChangedMeanwhile as meanwhile:
        return _conflict(request, kept, modality, made, meanwhile.plan)
    except Breached as breached:
        form.refuse(breached.judged.refused)
        return _edit_page(
            request, kept, modality, form, judged=breached.judged, tried=True, status=422
        )
    except ReasonNeeded as needed:
        form.ask_reason(needed.judged.reasoned)
        return _edit_page(
            request, kept, modality, form, judged=needed.judged, tried=True, status=422
        )
    messages.success(request, f"Changed: {MODALITIES[modality].name.lower()}.")
    return redirect("programs:plan", kept.patient.pk)


def _make(
    request: HttpRequest,
    plan: Plan,
    edits: Sequence[Edit],
    reason: str,
    basis: Basis | None = None,
) -> None:
    edit_plan(
        plan=plan,
        edits=edits,
        reason=reason,
        lock=sent_lock(request),
        by=signed_in(request),
        at=timezone.now(),
        token=sent_token(request),
        basis=basis,
    )


def _edit_page(
    request: HttpRequest,
    kept: Kept,
    modality: Modality,
    form: EditForm,
    *,
    judged: Judged | None = None,
    tried: bool = False,
    leaving: LeaveOutForm | None = None,
    status: int = 200,
) -> HttpResponse:
    plan = kept.open
    assert plan is not None
    return program_page(
        request,
        "programs/plan_edit.html",
        kept,
        step="plan",
        status=status,
        plan=plan,
        code=str(modality),
        tried=tried,
        left_out=plan.left_out_by_clinician.get(str(modality), ""),
        leave_out=leaving or LeaveOutForm(),
        readings=_readings() if modality is Modality.RESISTANCE else (),
        **preview(plan, modality, form, judged),
    )


def _readings() -> list[tuple[int, str]]:
    """Return each number of times with its percent of the maximum, by every reading."""
    low, high = COULD_LIFT
    return [(times, percent_words(times)) for times in range(low, high + 1)]


def _conflict(
    request: HttpRequest, kept: Kept, modality: Modality, mine: Sequence[Edit], plan: Plan
) -> HttpResponse:
    """Show what stands now beside what was typed."""
    weeks = read_weeks(plan.weeks)
    return program_page(
        request,
        "programs/conflict.html",
        kept,
        step="plan",
        status=409,
        plan=plan,
        name=MODALITIES[modality].name,
        theirs=[plan_parts.change(row) for row in kept.changes],
        mine=[beside(one, weeks) for one in mine],
        reason=request.POST.get("reason", ""),
        sent=sent_again(request, "lock", "plan", "preview"),
    )


@require_http_methods(["POST"])
def leave_out(request: HttpRequest, patient_id: int, code: str) -> HttpResponse:
    """Leave a modality out, with the reason, or take it back in."""
    modality, kept = _modality(code), Kept.of(patient_id)
    plan = sent_plan(request, kept)
    back = "back" in request.POST
    form = LeaveOutForm(request.POST)
    if not back and not form.is_valid():
        return _not_left_out(request, kept, plan, modality, form)
    change = Edit(path=str(modality), new=back, week_from=1, week_to=len(plan.weeks) or 1)
    reason = "" if back else form.cleaned_data["reason"]
    try:
        _make(request, plan, [change], reason)
    except NotOpen as refused:
        return not_open(request, kept, refused)
    except NotDone as refused:
        form.add_error(None if back else "reason", str(refused))
        return _not_left_out(request, kept, plan, modality, form)
    words = "taken back in" if back else "left out"
    messages.success(request, f"{MODALITIES[modality].name}: {words}.")
    return redirect("programs:plan", patient_id)


def _not_left_out(
    request: HttpRequest, kept: Kept, plan: Plan, modality: Modality, form: LeaveOutForm
) -> HttpResponse:
    """Show the page again with what is wrong beside the reason, which stays as it was typed."""
    if plan.state != Plan.DRAFT:
        return not_open(request, kept, NotOpen(plan))
    try:
        typed = edit_form(request, plan, modality, sent=False)
    except Stale as stale:
        return _stale(request, kept, stale)
    return _edit_page(request, kept, modality, typed, leaving=form, status=422)
