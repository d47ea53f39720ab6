"""A file of measurements: sent, looked at, and taken only when someone says so."""

from __future__ import annotations

from itertools import islice
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions import scanners
from patients.actions.refusals import Refused
from patients.facts.declared import Scan, Turnover
from patients.files import dates, decimal_sign, reading
from patients.files.columns import LAYOUTS, Unfit
from patients.files.file import Opened, opened
from patients.files.reading import EncodingAsked
from patients.files.rows import Choices
from patients.files.what_can_be_taken import Checked
from patients.files.writing import words
from patients.measured.density import asked_of
from patients.measured.turnover import unit_slip
from patients.models.patient import Patient
from patients.models.scanners import ParkedFile
from patients.views.common import sent_token, signed_in, today, whole_number
from patients.views.parked_files import park_sent, parked_of

#: So many of the rows to take are shown; all that are not taken are.
SHOWN = 20
_ASKED = {
    "encoding": reading.ENCODINGS,
    "order": dates.ORDERS,
    "decimal": decimal_sign.MARKS,
}


@require_http_methods(["GET", "POST"])
def send(request: HttpRequest) -> HttpResponse:
    """Ask for a file, and park it."""
    error = ""
    if request.method == "POST":
        sent = request.FILES.get("file")
        error = _wrong(sent)
        if not error and sent is not None:
            parked = park_sent(request, sent)
            return redirect("patients:import_file", parked.pk)
    context = {
        "error": error,
        "listed_errors": [("file", "File", error)] if error else [],
        "layouts": LAYOUTS.values(),
        "largest_mb": reading.LARGEST_BYTES // 1024**2,
        "most_rows": f"{reading.MOST_ROWS:,}",
    }
    return render(request, "patients/import.html", context, status=422 if error else 200)


def _wrong(sent: UploadedFile[Any] | None) -> str:
    if sent is None or not sent.size:
        return "Choose a file that is not empty."
    if sent.size > reading.LARGEST_BYTES:
        return f"The file is larger than {reading.LARGEST_BYTES // 1024**2} MB. Send it in parts."
    return ""


@require_http_methods(["GET", "POST"])
def parked(request: HttpRequest, file_id: int) -> HttpResponse:
    """Show what a parked file holds; take it or throw it away."""
    kept = parked_of(request, file_id)
    if kept is None:
        messages.warning(request, "That file is no longer here. Nothing of it was taken now.")
        return redirect("patients:import")
    said = request.POST if request.method == "POST" else request.GET
    choices = Choices(**{n: _known(said.get(n), known) for n, known in _ASKED.items()})
    if "drop" in request.POST:
        scanners.drop(parked=kept, by=signed_in(request), at=timezone.now())
        messages.success(request, "Discarded. Nothing of the file was taken.")
        return redirect("patients:import")
    if "take" in request.POST:
        return _take(request, kept, choices)
    return _preview(request, kept, choices)


def _known(said: str | None, known: Any) -> str | None:
    return said if said in known else None


def _take(request: HttpRequest, kept: ParkedFile, choices: Choices) -> HttpResponse:
    expected = request.POST.get("expected", "")
    try:
        count = scanners.take(
            parked=kept,
            choices=choices,
            expected=whole_number(expected) or 0,
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except Refused as refusal:
        messages.warning(request, str(refusal))
        return _preview(request, kept, choices, status=409)
    messages.success(request, f"Taken: {count} row{'' if count == 1 else 's'}.")
    return redirect("patients:import")


def _preview(
    request: HttpRequest, kept: ParkedFile, choices: Choices, status: int = 200
) -> HttpResponse:
    context: dict[str, Any] = {"file": kept, "choices": choices, "token": uuid4()}
    try:
        file = opened(bytes(kept.content), choices)
        checked = scanners.look(kept, choices, today())
    except Unfit as unfit:
        return render(request, "patients/import_file.html", context | {"unfit": unfit}, status=422)
    if isinstance(file, EncodingAsked):
        context |= {"encoding_asked": file, "encodings": reading.ENCODINGS.items()}
    else:
        context |= _asked_or_found(file, checked)
    return render(request, "patients/import_file.html", context, status=status)


def _slips(checked: Checked) -> list[tuple[int, str]]:
    """Return line and question of the first values that look mistyped; they can be taken."""
    scans: dict[int, list[Scan]] = {}
    for row in checked.taken:
        if isinstance(row.fact, Scan):
            scans.setdefault(row.patient_id, []).append(row.fact)
    asked = (
        (row.line, question)
        for row in checked.taken
        for question in _asked_of(row.fact, scans.get(row.patient_id, []))
    )
    return list(islice(asked, SHOWN))


def _asked_of(fact: Any, scans: list[Scan]) -> tuple[str, ...]:
    if isinstance(fact, Scan):
        return asked_of(fact, scans)
    question = unit_slip(fact) if isinstance(fact, Turnover) else None
    return (question,) if question else ()


def _asked_or_found(file: Opened, checked: Checked | None) -> dict[str, Any]:
    context: dict[str, Any] = {
        "opened": file,
        "layout": file.heads.layout,
        "delimiter": reading.DELIMITERS.get(file.grid.delimiter, file.grid.delimiter),
        "rows": len(file.grid.records),
        "marks": decimal_sign.MARKS.items(),
    }
    if checked is not None:
        shown = checked.taken[:SHOWN]
        people = Patient.objects.in_bulk({row.patient_id for row in shown})
        context |= {
            "checked": checked,
            "shown": [
                (row, people[row.patient_id], words(file.heads.layout, row)) for row in shown
            ],
            "slips": _slips(checked),
            "of_people": len({row.patient_id for row in checked.taken}),
        }
    return context
