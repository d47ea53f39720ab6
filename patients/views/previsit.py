"""Typing in the paper form of before the first visit: one page, saved in one go."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients import actions, audit
from patients.assembly import Contradiction, Entered, entered
from patients.forms.previsit import PrevisitSheet
from patients.models import Patient
from patients.records import differences
from patients.sections import SECTIONS
from patients.views.common import (
    other_patient,
    patient_page,
    sent_again,
    sent_token,
    signed_in,
    today,
)


@require_http_methods(["GET", "POST"])
def previsit(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show or save what the paper asks."""
    patient = get_object_or_404(Patient, pk=patient_id)
    known = entered(patient, today(), PrevisitSheet.kinds)
    if request.method == "GET":
        return _page(request, PrevisitSheet(known))
    if (refusal := other_patient(request, patient)) is not None:
        return refusal
    if audit.done_before(sent_token(request)) is not None:
        return redirect("patients:facts", patient.pk)
    return _save(request, PrevisitSheet(known, request.POST))


def _save(request: HttpRequest, sheet: PrevisitSheet) -> HttpResponse:
    if not sheet.is_valid():
        return _page(request, sheet)
    try:
        written = _write(request, sheet)
    except actions.Conflict as conflict:
        return _conflict_page(request, sheet, conflict)
    except (Contradiction, actions.Refused) as refusal:
        next(iter(sheet.forms.values())).add_error(None, str(refusal))
        return _page(request, sheet)
    _say(request, sheet, written)
    patient = sheet.known.patient
    if sheet.has_plate_to_describe:
        return redirect("patients:section", patient.pk, "plates")
    return redirect("patients:facts", patient.pk)


def _write(request: HttpRequest, sheet: PrevisitSheet) -> list[str]:
    based_on = request.POST.get("based_on", "")
    return actions.save_sections(
        patient=sheet.known.patient,
        parts=sheet.parts(),
        as_of=sheet.known.as_of,
        based_on=int(based_on) if based_on.isdecimal() else None,
        rows=sheet.rows(),
        by=signed_in(request),
        at=timezone.now(),
        token=sent_token(request),
    )


def _say(request: HttpRequest, sheet: PrevisitSheet, written: list[str]) -> None:
    titles = [SECTIONS[code].title.lower() for code in written]
    if (bones := len(sheet.rows())) > 0:
        titles.append(f"{bones} fracture{'' if bones == 1 else 's'}")
    if titles:
        messages.success(request, f"Saved: {', '.join(titles)}.")
    else:
        messages.info(request, "Nothing was changed, so nothing was saved.")
    if sheet.has_plate_to_describe:
        messages.info(request, "There is a vibration plate at home. Describe it here.")


def _page(request: HttpRequest, sheet: PrevisitSheet) -> HttpResponse:
    return patient_page(
        request,
        "patients/previsit.html",
        sheet.known.patient,
        steps_of_plan=True,
        status=200 if sheet.data is None else 422,
        sheet=sheet,
        based_on=request.POST.get("based_on", _assessment_id(sheet.known)),
        **({"token": sent_token(request)} if sent_token(request) else {}),
    )


def _conflict_page(
    request: HttpRequest, sheet: PrevisitSheet, conflict: actions.Conflict
) -> HttpResponse:
    now = conflict.now
    rows = [
        row
        for code, mine in conflict.mine.items()
        for row in differences(sheet.known, SECTIONS[code], conflict.theirs[code], mine)
    ]
    return patient_page(
        request,
        "patients/conflict.html",
        sheet.known.patient,
        steps_of_plan=True,
        status=409,
        title="Questions before the visit",
        rows=rows,
        saved_by=audit.printed_name(now.made_by),
        saved_at=now.made_at,
        sent=[*sent_again(request, "based_on"), ("based_on", str(now.pk))],
    )


def _assessment_id(known: Entered) -> int | str:
    return known.assessment.pk if known.assessment else ""
