"""The Plan page: what was drafted and why, what was changed, drafting anew."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from patients.rows_to_facts import Contradiction
from patients.views.common import (
    contradiction_page,
    sent_token,
    signed_in,
    today,
)
from programs.actions.as_signed import lay_over
from programs.actions.drafting import draft_plan
from programs.actions.editing import undo_edit
from programs.actions.read_plan import basis_of, limits_in_force, resume_of, stale_reasons
from programs.actions.refusals import ChangedMeanwhile, NotDone, NotOpen, Stale
from programs.dose.in_force import Clinic
from programs.drawn.ceilings import limits_for
from programs.edit import plan_in_words
from programs.edit.base_draft import Basis
from programs.edit.place_on_days import timetable
from programs.forms.sign import StartForm
from programs.models.program import Plan
from programs.views import plan_parts
from programs.views.edit_preview import edit_form, preview
from programs.views.plan_drawn import change_asked, drawn
from programs.views.plan_parts import Change
from programs.views.plan_sent import sent_lock, sent_plan
from programs.views.program_page import Kept, program_page
from programs.week.document import read_weeks
from safety.modalities import MODALITIES


@require_GET
def plan(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the open draft, else what was signed last, else how to draft."""
    kept = Kept.of(patient_id)
    if kept.open is not None:
        limits = limits_in_force()
        facts = kept.facts_known
        made = Basis.of(facts, resume_of(kept.open), limits) if facts else None
        reasons = stale_reasons(kept.open, today(), limits, facts, made)
        changes = [plan_parts.change(row) for row in kept.changes]
        return _plan_page(
            request, kept, kept.open, changes, limits, made, stale=reasons, facts_known=facts
        )
    if kept.signed is not None:
        return _plan_page(request, kept, kept.signed, plan_parts.changes_of(kept.signed))
    return _no_plan(request, kept)


@require_GET
def version(request: HttpRequest, patient_id: int, number: int) -> HttpResponse:
    """Show one version, signed or open."""
    kept = Kept.of(patient_id)
    states = (Plan.DRAFT, Plan.SIGNED)
    rows = Plan.objects.select_related("made_by", "signed__seal")
    found = get_object_or_404(rows, patient=kept.patient, version=number, state__in=states)
    found.patient = kept.patient
    held = lay_over(found) if found.state == Plan.SIGNED else found
    return _plan_page(request, kept, held, plan_parts.changes_of(held))


def _plan_page(
    request: HttpRequest,
    kept: Kept,
    held: Plan,
    changes: list[Change],
    limits: Clinic | None = None,
    made: Basis | None = None,
    **context: Any,
) -> HttpResponse:
    basis = _basis(held, limits, made)
    may_change = held.state == Plan.DRAFT and basis is not None
    drafted = held.proposed["timetable"]
    day_by_day = timetable(read_weeks(held.weeks), basis, drafted) if basis else drafted
    return program_page(
        request,
        "programs/plan.html",
        kept,
        step="plan",
        plan=held,
        is_open=held.state == Plan.DRAFT,
        may_change=may_change,
        **drawn(request, held, basis, may_change=may_change),
        **(_changing(request, held, basis) if may_change else {}),
        assessment=plan_parts.assessment(held.proposed),
        parts=plan_parts.parts(held, changes, plan_parts.said_beside(held, kept.patient)),
        findings=plan_parts.findings(held.proposed),
        new_set=plan_parts.new_set(held.proposed),
        weeks=len(held.weeks),
        whole=plan_parts.whole(held),
        names=[row.name for row in MODALITIES.values()],
        days=plan_in_words.days_in_words(day_by_day),
        left_out=[
            (MODALITIES[one["about"]].name, one["from_week"], one["why"])
            for one in held.proposed["left_out"]
        ],
        reviews=[
            (one["week"], plan_in_words.week_starts(held.starts_on, one["week"] + 1), one["what"])
            for one in held.proposed["reviews"]
        ],
        any_change=bool(changes),
        form=start_form(held if held.state == Plan.DRAFT else None),
        **context,
    )


def _changing(request: HttpRequest, held: Plan, basis: Basis | None) -> dict[str, Any]:
    """Return the form that changes the weeks which the address names, with what it would do."""
    modality = change_asked(request, held)
    if modality is None or not held.weeks:
        return {}
    form = edit_form(request, held, modality, basis)
    limits = limits_for(modality, form.basis)
    changing = preview(held, modality, form, None)
    return {"changing": changing | {"code": str(modality), "limits": limits}}


def _basis(held: Plan, limits: Clinic | None, made: Basis | None) -> Basis | None:
    """Return what the plan was drafted from; None where the rulebook has moved on."""
    try:
        return basis_of(held, limits, made)
    except Stale:
        return None


def _no_plan(request: HttpRequest, kept: Kept) -> HttpResponse:
    return program_page(request, "programs/no_plan.html", kept, step="plan", form=start_form())


@require_POST
def draft(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Draft from what is known today; an open draft is dropped."""
    kept = Kept.of(patient_id)
    form = StartForm(request.POST, today=today())
    if not form.is_valid():
        return program_page(
            request, "programs/no_plan.html", kept, step="plan", form=form, status=422
        )
    try:
        made = draft_plan(
            patient=kept.patient,
            as_of=today(),
            starts_on=form.cleaned_data["starts_on"],
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except Contradiction as contradiction:
        return contradiction_page(request, kept.patient, contradiction, step="plan", status=409)
    messages.success(request, f"Drafted: version {made.version}. Nothing is issued unsigned.")
    return redirect("programs:plan", kept.patient.pk)


@require_http_methods(["GET", "POST"])
def undo(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Take the last change back."""
    kept = Kept.of(patient_id)
    if request.method == "GET":
        return redirect("programs:plan", patient_id)
    try:
        undo_edit(
            plan=sent_plan(request, kept),
            lock=sent_lock(request),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except NotOpen as refused:
        return not_open(request, kept, refused)
    except ChangedMeanwhile:
        messages.error(request, "The plan was changed in the meantime. Look at it, then take back.")
    except NotDone as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, "The last change is taken back.")
    return redirect("programs:plan", patient_id)


def not_open(request: HttpRequest, kept: Kept, refused: NotOpen) -> HttpResponse:
    """Say that a signed or dropped plan takes no change, and offer a new version."""
    return program_page(
        request,
        "programs/not_open.html",
        kept,
        step="plan",
        said=str(refused),
        plan=refused.plan,
        form=start_form(),
        status=409,
    )


def start_form(held: Plan | None = None) -> StartForm:
    """Return the form of the first day, filled with that of an open draft or with today."""
    first = today() if held is None else max(held.starts_on, today())
    return StartForm(initial={"starts_on": first.isoformat()}, today=today())
