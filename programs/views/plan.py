"""The Plan page: what was drafted and why, what was changed, drafting anew."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from patients.assembly import Contradiction
from patients.views.common import (
    contradiction_page,
    other_patient,
    sent_token,
    signed_in,
    today,
)
from programs import plan_words
from programs.actions.drafting import draft_plan
from programs.actions.editing import undo_edit
from programs.actions.known import basis_of, limits_in_force, stale_reasons, standing
from programs.actions.refusals import ChangedMeanwhile, NotDone, NotOpen, Stale
from programs.clinic_limits import Clinic
from programs.forms.sign import StartForm
from programs.models import Plan, PlanEdit
from programs.placement import timetable
from programs.views import shown
from programs.views.kept import Kept, program_page
from programs.week_document import read_weeks


@require_GET
def plan(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the open draft, else what was signed last, else how to draft."""
    kept = Kept.of(patient_id)
    if kept.open is not None:
        limits = limits_in_force()
        facts = kept.facts_known
        reasons = stale_reasons(kept.open, today(), limits, facts)
        return _plan_page(
            request, kept, kept.open, kept.changes, limits, stale=reasons, facts_known=facts
        )
    if kept.signed is not None:
        return _plan_page(request, kept, kept.signed, standing(kept.signed))
    return _no_plan(request, kept)


@require_GET
def version(request: HttpRequest, patient_id: int, number: int) -> HttpResponse:
    """Show one version, signed or open."""
    kept = Kept.of(patient_id)
    states = (Plan.DRAFT, Plan.SIGNED)
    rows = Plan.objects.select_related("made_by", "signed")
    found = get_object_or_404(rows, patient=kept.patient, version=number, state__in=states)
    return _plan_page(request, kept, found, standing(found))


def _plan_page(
    request: HttpRequest,
    kept: Kept,
    held: Plan,
    changes: list[PlanEdit],
    limits: Clinic | None = None,
    **context: Any,
) -> HttpResponse:
    day_by_day = _timetable(held, limits)
    return program_page(
        request,
        "programs/plan.html",
        kept,
        step="plan",
        plan=held,
        is_open=held.state == Plan.DRAFT,
        parts=shown.parts(held, changes),
        findings=shown.findings(held.proposed),
        weeks=len(held.weeks),
        whole=shown.whole(held),
        names=plan_words.NAMES.values(),
        days=plan_words.days_in_words(day_by_day),
        left_out=[
            (plan_words.NAMES[one["about"]], one["from_week"], one["why"])
            for one in held.proposed["left_out"]
        ],
        reviews=[
            (one["week"], plan_words.week_starts(held.starts_on, one["week"] + 1), one["what"])
            for one in held.proposed["reviews"]
        ],
        any_change=bool(changes),
        form=start_form(held if held.state == Plan.DRAFT else None),
        **context,
    )


def _timetable(held: Plan, limits: Clinic | None) -> dict[str, list[str]]:
    """Return the days as they are now; as drafted where the rulebook has moved on."""
    try:
        basis = basis_of(held, limits)
    except Stale:
        return dict(held.proposed["timetable"])
    return timetable(read_weeks(held.weeks), basis, held.proposed["timetable"])


def _no_plan(request: HttpRequest, kept: Kept) -> HttpResponse:
    return program_page(request, "programs/no_plan.html", kept, step="plan", form=start_form())


@require_POST
def draft(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Draft from what is known today; an open draft is dropped."""
    kept = Kept.of(patient_id)
    if (refusal := other_patient(request, kept.patient)) is not None:
        return refusal
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
    if (refusal := other_patient(request, kept.patient)) is not None:
        return refusal
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
        messages.error(request, "The plan was changed meanwhile. Look at it, then take back.")
    except NotDone as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, "The last change is taken back.")
    return redirect("programs:plan", patient_id)


def sent_plan(request: HttpRequest, kept: Kept) -> Plan:
    """Return the plan that the form was made for. Raises Http404 where it is not hers."""
    sent = request.POST.get("plan", "")
    if not sent.isdecimal():
        raise Http404("The form names no plan.")
    return get_object_or_404(Plan, pk=int(sent), patient=kept.patient)


def sent_lock(request: HttpRequest) -> int:
    """Return the state of the plan that the form was made from."""
    sent = request.POST.get("lock", "")
    return int(sent) if sent.isdecimal() else 0


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
