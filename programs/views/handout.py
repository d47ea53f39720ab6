"""The Handout page, the kept papers, the draft's, the calendar file and the blank form."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients.models import Patient
from patients.views.common import other_patient, patient_page, signed_in, today
from programs.actions import handouts
from programs.actions.clinic import details_in_force
from programs.actions.printing import PAPERS, TYPES_PT, PaperRefused, PaperUnavailable, unprintable
from programs.actions.refusals import NotDone
from programs.forms.paper import CalendarForm, PaperForm
from programs.handout.sessions_calendar import sessions, taken_back
from programs.models import Handout, Plan, SignedPlan
from programs.views.sign import clinic_now


@require_http_methods(["GET", "POST"])
def handout(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what may be printed and what was; make a paper."""
    patient = get_object_or_404(Patient, pk=patient_id)
    signed = _newest(patient)
    if request.method == "POST" and signed is not None:
        return other_patient(request, patient) or _make(request, patient, signed)
    form = PaperForm(initial={"paper": details_in_force().paper}, **_of(patient))
    return _page(request, patient, signed, form)


def _of(patient: Patient) -> dict[str, Any]:
    return {"born": patient.born, "as_of": today()}


def _newest(patient: Patient) -> SignedPlan | None:
    return SignedPlan.objects.filter(patient=patient).order_by("-version").first()


def _make(request: HttpRequest, patient: Patient, signed: SignedPlan) -> HttpResponse:
    form = PaperForm(request.POST, **_of(patient))
    if not form.is_valid():
        return _page(request, patient, signed, form)
    try:
        row = handouts.make_paper(
            signed=signed,
            by=signed_in(request),
            at=timezone.now(),
            **form.options,
        )
    except (NotDone, PaperRefused, PaperUnavailable) as refusal:
        messages.error(request, str(refusal))
        return redirect("programs:handout", patient_id=patient.pk)
    return redirect("programs:handout_pdf", patient_id=patient.pk, handout_id=row.pk)


def _page(
    request: HttpRequest, patient: Patient, signed: SignedPlan | None, form: PaperForm
) -> HttpResponse:
    kept = Handout.objects.filter(signed__patient=patient).defer("pdf").select_related("signed")
    context: dict[str, Any] = {
        "step": "handout",
        "signed": signed,
        "form": form,
        "calendar_form": CalendarForm(**_of(patient)),
        "kept": kept.order_by("-signed__version", "-made_at"),
        "older": SignedPlan.objects.filter(patient=patient).order_by("-version")[1:2],
        "draft": Plan.objects.filter(patient=patient, state=Plan.DRAFT).first(),
        "unprintable": unprintable(patient.name),
    }
    return patient_page(request, "programs/handout.html", patient, **context)


@require_GET
def handout_pdf(request: HttpRequest, patient_id: int, handout_id: int) -> HttpResponse:
    """Give a kept paper, byte by byte as it was made."""
    row = get_object_or_404(
        Handout.objects.select_related("signed"), pk=handout_id, signed__patient_id=patient_id
    )
    try:
        held = handouts.kept_bytes(row)
    except NotDone as refusal:
        messages.error(request, str(refusal))
        return redirect("programs:handout", patient_id=patient_id)
    named = f"program-{row.signed.version}-{row.kind.replace(' ', '-')}"
    return _pdf(held, f"{named}{_suffix(row.language)}.pdf")


@require_GET
def draft_pdf(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Give the handout of the open draft, with DRAFT across each page; it is not kept."""
    patient = get_object_or_404(Patient, pk=patient_id)
    plan = get_object_or_404(Plan, patient=patient, state=Plan.DRAFT)
    layout = _layout(request)
    try:
        made = handouts.draft_pdf(plan=plan, clinic=clinic_now(), **layout)
    except (NotDone, PaperRefused, PaperUnavailable) as refusal:
        messages.error(request, str(refusal))
        return redirect("programs:handout", patient_id=patient.pk)
    return _pdf(made, f"draft-{plan.version}{_suffix(layout['language'])}.pdf")


@require_GET
def questionnaire(request: HttpRequest) -> HttpResponse:
    """Give the blank form for a first visit."""
    layout = _layout(request)
    try:
        made = handouts.questionnaire_pdf(**layout)
    except PaperUnavailable as refusal:
        messages.error(request, str(refusal))
        return redirect("patients:caseload")
    return _pdf(made, f"questions{_suffix(layout['language'])}.pdf")


def _layout(request: HttpRequest) -> dict[str, Any]:
    """Return the language, paper size and letters asked for, or the usual ones."""
    language, paper, pt = (request.GET.get(name, "") for name in ("language", "paper", "type_pt"))
    return {
        "language": language if language in dict(settings.LANGUAGES) else handouts.ENGLISH_CODE,
        "paper": paper if paper in PAPERS else details_in_force().paper,
        "type_pt": int(pt) if pt in map(str, TYPES_PT) else TYPES_PT[0],
    }


@require_GET
def session_calendar(request: HttpRequest, patient_id: int, signed_id: int) -> HttpResponse:
    """Give the calendar file of a program; once it is replaced, the one that takes it back."""
    signed = get_object_or_404(
        SignedPlan.objects.select_related("patient"), pk=signed_id, patient_id=patient_id
    )
    form = CalendarForm(request.GET, **_of(signed.patient))
    if not form.is_valid():
        messages.error(request, "Choose a time from 4:00 on, or none.")
        return redirect("programs:handout", patient_id=patient_id)
    replaced = SignedPlan.objects.filter(patient_id=patient_id, version__gt=signed.version).exists()
    made = (taken_back if replaced else sessions)(
        handouts.document_of(signed),
        handouts.words_of(form.language),
        digest=signed.digest,
        stamped_at=timezone.now(),
        starts_at=form.cleaned_data["at"],
        zone=timezone.get_default_timezone(),
    )
    name = "exercise-days-removed.ics" if replaced else "exercise-days.ics"
    return _file(made, "text/calendar; charset=utf-8", f'attachment; filename="{name}"')


def _suffix(language: str) -> str:
    return "" if language == handouts.ENGLISH_CODE else f"-{language}"


def _pdf(made: bytes, name: str) -> HttpResponse:
    return _file(made, "application/pdf", f'inline; filename="{name}"')


def _file(made: bytes, kind: str, disposition: str) -> HttpResponse:
    response = HttpResponse(made, content_type=kind)
    response["Content-Disposition"] = disposition
    return response
