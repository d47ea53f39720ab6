"""The Facts page, one page for each section, and striking an entry out."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients import audit
from patients.actions import patient_record, withdrawing
from patients.actions.refusals import Conflict, Refused
from patients.facts.in_words import HEIGHT, WEIGHT, Reading, readings
from patients.facts.sections import following
from patients.forms.person import WithdrawForm
from patients.forms.sheet import Sheet
from patients.forms.sheet_of_section import SHEETS
from patients.measured.density import asked_of
from patients.measured.turnover import unit_slip
from patients.models.patient import KINDS, MarkerRow, Measured, Patient, ScanRow
from patients.rows_as_tables import differences, tables
from patients.rows_to_facts import Contradiction, Entered, entered, facts_from
from patients.views.common import (
    contradiction_page,
    patient_page,
    sent_again,
    sent_token,
    signed_in,
    today,
    whole_number,
)


@require_GET
def facts(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show all that is known, and what is not recorded."""
    patient = get_object_or_404(Patient, pk=patient_id)
    known = entered(patient, today())
    answered = known.assessment.answered if known.assessment else {}
    try:
        found = facts_from(known)
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction)
    shown = readings(found, answered, _size_days(known))
    return patient_page(
        request, "patients/facts.html", patient, facts_entered=found, **_overview(shown)
    )


def _size_days(known: Entered) -> dict[str, dt.date]:
    days = {HEIGHT: known.newest_day("height_cm"), WEIGHT: known.newest_day("weight_kg")}
    return {label: day for label, day in days.items() if day is not None}


def _overview(shown: list[Reading]) -> dict[str, Any]:
    unrecorded = [reading for reading in shown if reading.open]
    count = sum(len(reading.open) for reading in unrecorded)
    return {
        "readings": shown,
        "open_count": count,
        "next_open": unrecorded[0].section if unrecorded else None,
    }


@require_http_methods(["GET", "POST"])
def section(request: HttpRequest, patient_id: int, code: str) -> HttpResponse:
    """Show or save one section."""
    if code not in SHEETS:
        raise Http404("No such section.")
    patient = get_object_or_404(Patient, pk=patient_id)
    if request.method == "POST":
        return _save(request, patient, code)
    known = entered(patient, today(), SHEETS[code].kinds)
    return _section_page(request, SHEETS[code](known, corrects=_corrected(request, patient, code)))


def _save(request: HttpRequest, patient: Patient, code: str) -> HttpResponse:
    if audit.done_before(sent_token(request)) is not None:
        return _onward(request, patient, code)
    known = entered(patient, today(), SHEETS[code].kinds)
    sheet = SHEETS[code](known, request.POST, _corrected(request, patient, code))
    if not sheet.is_valid():
        return _section_page(request, sheet)
    try:
        _write(request, sheet)
    except Conflict as conflict:
        return _conflict_page(request, sheet, conflict)
    except (Contradiction, Refused) as refusal:
        next(iter(sheet.forms.values())).add_error(None, str(refusal))
        return _section_page(request, sheet)
    if sheet.section.keys or sheet.rows():
        messages.success(request, f"Saved: {sheet.section.title.lower()}.")
    else:
        messages.info(request, "Nothing was changed, so nothing was saved.")
    for question in _slips(sheet):
        messages.warning(request, question)
    return _onward(request, patient, code)


def _slips(sheet: Sheet) -> list[str]:
    """Return a question for each score or marker just saved that looks mistyped."""
    scans = [row.fact() for row in sheet.rows() if isinstance(row, ScanRow)]
    markers = [row.fact() for row in sheet.rows() if isinstance(row, MarkerRow)]
    asked = [question for scan in scans for question in asked_of(scan, scans)]
    return asked + [question for marker in markers if (question := unit_slip(marker))]


def _write(request: HttpRequest, sheet: Sheet) -> None:
    what: dict[str, Any] = {
        "patient": sheet.known.patient,
        "rows": sheet.rows(),
        "corrects": sheet.replaces,
        "by": signed_in(request),
        "at": timezone.now(),
        "token": sent_token(request),
    }
    if not sheet.section.keys:
        patient_record.add_measured(**what)
        return
    patient_record.save_section(
        section=sheet.section,
        answers=sheet.part(),
        as_of=sheet.known.as_of,
        based_on=whole_number(request.POST.get("based_on", "")),
        **what,
    )


def _onward(request: HttpRequest, patient: Patient, code: str) -> HttpResponse:
    """Go where the button said: to the next section, to this one for more, or back."""
    next_section = following(code)
    if "and_more" in request.POST:
        return redirect("patients:section", patient.pk, code)
    if "and_next" in request.POST and next_section is not None:
        return redirect("patients:section", patient.pk, next_section.code)
    return redirect("patients:facts", patient.pk)


def _section_page(request: HttpRequest, sheet: Sheet) -> HttpResponse:
    known = sheet.known
    return patient_page(
        request,
        "patients/section.html",
        known.patient,
        steps_of_plan=True,
        status=422 if sheet.data is not None else 200,
        sheet=sheet,
        tables=tables(known.patient, sheet.kinds),
        following=following(sheet.section.code),
        based_on=request.POST.get("based_on", _assessment_id(known)),
        **({"token": sent_token(request)} if sent_token(request) else {}),
    )


def _conflict_page(request: HttpRequest, sheet: Sheet, conflict: Conflict) -> HttpResponse:
    now = conflict.now
    return patient_page(
        request,
        "patients/conflict.html",
        sheet.known.patient,
        status=409,
        title=sheet.section.title,
        rows=differences(sheet.known, sheet.section, conflict.theirs, conflict.mine),
        saved_by=audit.printed_name(now.made_by),
        saved_at=now.made_at,
        sent=[*sent_again(request, "based_on"), ("based_on", str(now.pk))],
    )


def _corrected(request: HttpRequest, patient: Patient, code: str) -> Measured | None:
    """Return the standing row that the form corrects: ?corrects=scan-12, sent along after."""
    sent = request.POST.get("corrects") or request.GET.get("corrects", "")
    kind, _, number = sent.partition("-")
    if kind not in SHEETS[code].kinds or (row_id := whole_number(number)) is None:
        return None
    rows = KINDS[kind]._default_manager.filter(patient=patient, withdrawn_at=None)
    return get_object_or_404(rows, pk=row_id)


def _assessment_id(known: Entered) -> int | str:
    return known.assessment.pk if known.assessment else ""


@require_http_methods(["GET", "POST"])
def withdraw(request: HttpRequest, patient_id: int, kind: str, row_id: int) -> HttpResponse:
    """Strike an entry out as entered in error, with a reason."""
    patient = get_object_or_404(Patient, pk=patient_id)
    if kind not in KINDS:
        raise Http404("No such entry.")
    row = get_object_or_404(KINDS[kind]._default_manager.filter(patient=patient), pk=row_id)
    form = WithdrawForm(request.POST or None, born=patient.born, as_of=today())
    if request.method == "GET" or not form.is_valid():
        table = tables(patient, (kind,), only=row.pk)[0]
        return patient_page(
            request,
            "patients/withdraw.html",
            patient,
            status=422 if form.is_bound else 200,
            steps_of_plan=True,
            form=form,
            table=table,
            row=row,
        )
    reason = form.cleaned_data["reason"]
    withdrawing.withdraw(row=row, reason=reason, by=signed_in(request), at=timezone.now())
    messages.success(request, "Struck out as entered in error.")
    return redirect("patients:section", patient.pk, row.SECTION)
