"""The measures page of a patient, and her measurements as a file."""

from __future__ import annotations

import datetime as dt

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from patients.assembly import Contradiction, Entered, entered, facts_from
from patients.measures.page import bone_medicine_mark, measures_page
from patients.measuring.actions import held_rows
from patients.measuring.models import errors_in_use
from patients.models import Patient, ScanRow
from patients.sections import SECTIONS
from patients.tabular.check import Person
from patients.tabular.columns import LAYOUTS
from patients.tabular.writing import written
from patients.views.common import patient_page, today


@require_GET
def measures(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what was measured over time, and what a change comes to."""
    patient = get_object_or_404(Patient, pk=patient_id)
    known = entered(patient, today())
    try:
        facts = facts_from(known)
    except Contradiction as contradiction:
        problems = contradiction.problems
        return patient_page(
            request, "patients/contradiction.html", patient, problems=problems, sections=SECTIONS
        )
    page = measures_page(
        facts,
        [_part(row) for row in known.rows["scan"]],
        [row.fact() for row in known.rows["tests"]],
        errors_in_use(),
        bone_medicine_mark(facts, _told_on(known, "medicines")),
    )
    return patient_page(
        request,
        "patients/measures.html",
        patient,
        step="measures",
        facts_entered=facts,
        page=page,
        layouts=LAYOUTS.values(),
    )


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
