"""The Handout page, the kept papers, the draft's, the calendar file and the blank form."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients.models.patient import Patient
from patients.views.common import signed_in, today
from programs.actions import papers
from programs.actions.as_set import AsSet, as_set
from programs.actions.as_signed import program_of
from programs.actions.clinic import details_in_force
from programs.actions.languages import languages_on, languages_unread
from programs.actions.may_hand_out import Standing, standing_of
from programs.actions.printing import PAPERS, TYPES_PT, PaperRefused, PaperUnavailable, unprintable
from programs.actions.program_state import stops_of
from programs.actions.refusals import NotDone
from programs.forms.paper import CalendarForm, PaperForm
from programs.models.program import Handout, Plan, SignedPlan
from programs.papers.kinds import ENGLISH_CODE, QUESTIONNAIRE
from programs.papers.sessions_calendar import sessions, taken_back
from programs.papers.span import all_weeks, to_next_visit
from programs.views.being_made import prints
from programs.views.program_page import Kept, newest_signed, program_page
from programs.views.sign import clinic_now


@require_http_methods(["GET", "POST"])
def handout(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what may be printed and what was; make a paper."""
    kept, now = Kept.of(patient_id), as_set()
    signed = newest_signed(kept)
    if signed is None:
        return _page(request, kept, now, None, None)
    if request.method == "POST":
        return _make(request, kept, now, signed)
    form = PaperForm(
        initial={"paper": now.details.paper}, languages=now.languages, **_of_program(signed)
    )
    return _page(request, kept, now, signed, form)


def _of(patient: Patient) -> dict[str, Any]:
    return {"born": patient.born, "as_of": today()}


def _of_program(signed: SignedPlan) -> dict[str, Any]:
    program = program_of(signed)
    spans = {"whole": all_weeks(program), "to_visit": to_next_visit(program, today())}
    return _of(signed.patient) | spans


@prints
def _make(request: HttpRequest, kept: Kept, now: AsSet, signed: SignedPlan) -> HttpResponse:
    patient = kept.patient
    form = PaperForm(request.POST, languages=now.languages, **_of_program(signed))
    if not form.is_valid():
        return _page(request, kept, now, signed, form)
    try:
        row = papers.make_paper(
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
    request: HttpRequest,
    kept: Kept,
    now: AsSet,
    signed: SignedPlan | None,
    form: PaperForm | None,
) -> HttpResponse:
    patient = kept.patient
    facts = kept.facts_known if signed else None
    rows = Handout.objects.filter(signed__patient=patient).defer("pdf")
    context: dict[str, Any] = {
        "step": "handout",
        "signed": signed,
        "signed_for": _signed_for(signed) if signed else "",
        "standing": standing_of(signed, timezone.now(), facts) if signed else None,
        "facts_today": facts,
        "stops": stops_of(patient),
        "form": form,
        "calendar_form": CalendarForm(languages=now.languages, **_of(patient)),
        "papers": rows.select_related("signed").order_by("-signed__version", "-made_at"),
        "older": SignedPlan.objects.filter(patient=patient).order_by("-version")[1:2],
        "draft": kept.open,
        "unprintable": unprintable(
            patient.name + patient.goes_by + (program_of(signed).own_goal if signed else "")
        ),
        "missing": now.missing,
        "unread": languages_unread(now.languages),
        "questionnaire": QUESTIONNAIRE,
        "other_languages": [one for one in languages_on(now.languages) if one[0] != ENGLISH_CODE],
    }
    return program_page(request, "programs/handout.html", kept, **context)


def _signed_for(signed: SignedPlan) -> str:
    who = program_of(signed).who
    return f"{who.given_name} {who.family_name}"


@require_GET
def handout_pdf(request: HttpRequest, patient_id: int, handout_id: int) -> HttpResponse:
    """Give a kept paper, byte by byte as it was made."""
    row = get_object_or_404(
        Handout.objects.select_related("signed__plan", "signed__patient"),
        pk=handout_id,
        signed__patient_id=patient_id,
    )
    try:
        held = papers.bytes_to_hand_out(row, timezone.now())
    except NotDone as refusal:
        messages.error(request, str(refusal))
        return redirect("programs:handout", patient_id=patient_id)
    named = f"program-{row.signed.version}-{row.kind.replace(' ', '-')}"
    return _pdf(held, f"{named}{_suffix(row.language)}.pdf")


@require_GET
@prints
def draft_pdf(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Give the handout of the open draft, with DRAFT across each page; it is not kept."""
    patient = get_object_or_404(Patient, pk=patient_id)
    plan = get_object_or_404(Plan, patient=patient, state=Plan.DRAFT)
    layout = _layout(request)
    try:
        made = papers.draft_pdf(plan=plan, clinic=clinic_now(), **layout)
    except (NotDone, PaperRefused, PaperUnavailable) as refusal:
        messages.error(request, str(refusal))
        return redirect("programs:handout", patient_id=patient.pk)
    return _pdf(made, f"draft-{plan.version}{_suffix(layout['language'])}.pdf")


@require_GET
@prints
def questionnaire(request: HttpRequest) -> HttpResponse:
    """Give the blank form for a first visit."""
    layout = _layout(request)
    try:
        made = papers.questionnaire_pdf(**layout)
    except PaperUnavailable as refusal:
        messages.error(request, str(refusal))
        return redirect("patients:caseload")
    return _pdf(made, f"{QUESTIONNAIRE.code}{_suffix(layout['language'])}.pdf")


def _layout(request: HttpRequest) -> dict[str, Any]:
    """Return the language, paper size and letters asked for, or the usual ones."""
    language, paper, pt = (request.GET.get(name, "") for name in ("language", "paper", "type_pt"))
    return {
        "language": language if language in dict(languages_on()) else ENGLISH_CODE,
        "paper": paper if paper in PAPERS else details_in_force().paper,
        "type_pt": int(pt) if pt in map(str, TYPES_PT) else TYPES_PT[0],
    }


@require_GET
def session_calendar(request: HttpRequest, patient_id: int, signed_id: int) -> HttpResponse:
    """Give the calendar file of a program; once it is not in force, the one that takes it back."""
    signed = get_object_or_404(
        SignedPlan.objects.select_related("patient", "plan"), pk=signed_id, patient_id=patient_id
    )
    form = CalendarForm(request.GET, **_of(signed.patient))
    if not form.is_valid():
        messages.error(request, "Choose a time from 4:00 on, or none.")
        return redirect("programs:handout", patient_id=patient_id)
    standing = standing_of(signed, timezone.now())
    if why := _why_no_days(standing):
        messages.error(request, why)
        return redirect("programs:handout", patient_id=patient_id)
    gone = not standing.state.in_force
    made = (taken_back if gone else sessions)(
        program_of(signed),
        papers.words_of(form.language),
        digest=signed.digest,
        stamped_at=timezone.now(),
        starts_at=form.cleaned_data["at"],
        zone=timezone.get_default_timezone(),
    )
    name = "exercise-days-removed.ics" if gone else "exercise-days.ics"
    return _file(made, "text/calendar; charset=utf-8", f'attachment; filename="{name}"')


def _why_no_days(standing: Standing) -> str:
    """Return why no days are given; those of a program that is gone may be taken back."""
    return " ".join(standing.why) if standing.state.in_force else ""


def _suffix(language: str) -> str:
    return "" if language == ENGLISH_CODE else f"-{language}"


def _pdf(made: bytes, name: str) -> HttpResponse:
    return _file(made, "application/pdf", f'inline; filename="{name}"')


def _file(made: bytes, kind: str, disposition: str) -> HttpResponse:
    response = HttpResponse(made, content_type=kind)
    response["Content-Disposition"] = disposition
    return response
