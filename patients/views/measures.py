"""The measures page of a patient, and her measurements as a file."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.module_loading import import_string
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from patients.actions.scanners import held_rows
from patients.facts.declared import Facts
from patients.files.columns import LAYOUTS
from patients.files.what_can_be_taken import Person
from patients.files.writing import written
from patients.measured.chance_of_seeing import LOSSES, USUAL_LOSS
from patients.measured.chart import Mark
from patients.measured.page.whole import Beside, bone_medicine_mark, measures_page
from patients.measured.worry import Answered
from patients.models.patient import FunctionTestDay, Patient, ScanRow
from patients.models.scanners import errors_in_use, marker_lscs
from patients.rows_to_facts import Contradiction, Entered, entered, facts_from
from patients.views.common import contradiction_page, patient_page, today


@require_GET
def measures(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what was measured over time, and what a change comes to."""
    patient = get_object_or_404(Patient, pk=patient_id)
    known = entered(patient, today())
    try:
        facts = facts_from(known)
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction)
    loss = _loss(request.GET.get("loss", ""))
    page = measures_page(facts, _beside(known, facts, loss))
    return patient_page(
        request,
        "patients/measures.html",
        patient,
        step="measures",
        facts_entered=facts,
        page=page,
        loss=loss,
        losses=LOSSES,
        layouts=LAYOUTS.values(),
    )


def _loss(said: str) -> float:
    """Return the loss that was chosen on the page, or the usual one."""
    return next((loss for loss in LOSSES if f"{loss:g}" == said), USUAL_LOSS)


def _beside(known: Entered, facts: Facts, loss: float) -> Beside:
    programs, told_on = _programs(known), _told_on(known, "medicines")
    days: tuple[FunctionTestDay, ...] = known.rows["tests"]
    return Beside(
        parts=[_part(row) for row in known.rows["scan"]],
        tests=[row.fact() for row in days if row.has_tests],
        worries=[Answered(row.date, tuple(row.worry)) for row in days if row.worry],
        errors=errors_in_use(),
        lscs=marker_lscs(),
        marks=[*bone_medicine_mark(facts, told_on), *programs],
        loss_percent_a_year=loss,
        programs=programs,
        medicines_told_on=told_on,
    )


def _programs(known: Entered) -> list[Mark]:
    """Return what the apps further on have to mark."""
    others = (import_string(name)(known.patient) for name in settings.MEASURES_MARKS)
    return [mark for marks in others for mark in marks]


def _part(row: ScanRow) -> str:
    return row.vertebrae if row.site == "lumbar_spine" else row.side


def _told_on(known: Entered, section: str) -> dt.date | None:
    day = known.assessment.answered.get(section) if known.assessment else None
    return dt.date.fromisoformat(day) if day else None


@require_GET
def export(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Send a patient's scans, markers or function tests as a file that reads in again."""
    patient = get_object_or_404(Patient, pk=patient_id)
    layout = LAYOUTS.get(request.GET.get("of", "scan"))
    if layout is None:
        raise Http404("No such file.")
    rows = [row for row in held_rows(layout.kind, [patient.pk]) if not row.struck]
    person = Person(patient.pk, patient.record_number, patient.born)
    name = f"{slugify(layout.title)}-{patient.pk}.csv"
    return HttpResponse(
        written(layout, person, rows),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )
