"""Files of the log: a table in and out, and the log that she carries away and brings back."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any
from uuid import uuid4

from django.conf import settings
from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET, require_http_methods

from patients.actions import scanners
from patients.actions.refusals import Refused
from patients.files import dates, reading
from patients.files.columns import Unfit
from patients.files.rows import Choices
from patients.models.scanners import ParkedFile
from patients.views.common import signed_in
from patients.views.parked_files import park_sent, parked_of
from programs.actions.languages import languages_on
from programs.actions.log_days import entries_of, rows_of_days
from programs.actions.log_files import Knows, look, take
from programs.actions.log_program import program_of
from programs.actions.papers import to_print, words_of
from programs.exercises import EXERCISES
from programs.log.carried import PlannedDay, contents
from programs.log.day import Column, all_columns
from programs.log.table import head, write_table
from programs.models.program import SignedPlan
from programs.papers.kinds import ENGLISH_CODE
from programs.papers.weeks import date_words
from programs.review.log_grid import Program
from programs.views.log import Logged, logged
from programs.views.program_page import Kept, newest_signed, program_page
from safety.findings import Modality

#: So many of the entries to take are shown; all that are not taken are.
SHOWN = 40


def _held(kept: Kept) -> Logged | None:
    newest = newest_signed(kept)
    return logged(kept.patient, newest) if newest else None


def _columns(program: Program) -> tuple[Column, ...]:
    """Return what a program's table asks."""
    weeks = range(1, len(program.planned.weeks) + 1)
    lifts = tuple(dict.fromkeys(lift for week in weeks for lift in program.lifts(week)))
    return all_columns(program.planned.modalities, lifts)


def _knows(held: Logged) -> Knows:
    """Return what a file may tell: a program before this one had other kinds, lifts or plates."""
    lifts = (code for code, one in EXERCISES.items() if one.modality is Modality.RESISTANCE)
    rows = SignedPlan.objects.filter(patient=held.patient).order_by("-version")
    plates = (plate for row in rows for plate in program_of(row).plates)
    return Knows(
        kinds=held.planned.modalities,
        columns=all_columns(tuple(Modality), tuple(lifts)),
        plates=tuple(dict.fromkeys(plates)),
    )


@require_http_methods(["GET", "POST"])
def files(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Offer the files of the log; take one in, to be looked at."""
    kept = Kept.of(patient_id)
    held = _held(kept)
    if held is None:
        return redirect("programs:log", patient_id)
    error = ""
    if request.method == "POST":
        sent = request.FILES.get("file")
        error = _wrong(sent)
        if not error and sent is not None:
            parked = park_sent(request, sent)
            return redirect("programs:log_file", patient_id, parked.pk)
    told: dict[str, Any] = {
        "error": error,
        "listed_errors": [("file", "File", error)] if error else [],
        "heads": [head(column) for column in _columns(held.program)],
        "languages": languages_on(),
        "held": held,
    }
    status = 422 if error else 200
    return program_page(
        request,
        "programs/log_files.html",
        kept,
        step="log",
        steps_of_plan=True,
        status=status,
        **told,
    )


def _wrong(sent: UploadedFile[Any] | None) -> str:
    if sent is None or not sent.size:
        return "Choose a file that is not empty."
    if sent.size > reading.LARGEST_BYTES:
        return f"The file is larger than {reading.LARGEST_BYTES // 1024**2} MB."
    return ""


@require_http_methods(["GET", "POST"])
def file(request: HttpRequest, patient_id: int, file_id: int) -> HttpResponse:
    """Show what a file of the log holds; take it or throw it away."""
    kept = Kept.of(patient_id)
    held = _held(kept)
    parked = parked_of(request, file_id)
    if held is None or parked is None:
        messages.warning(request, "That file is no longer here. Nothing of it was taken now.")
        return redirect("programs:log_files", patient_id)
    said = request.POST if request.method == "POST" else request.GET
    choices = Choices(
        encoding=_known(said.get("encoding"), reading.ENCODINGS),
        order=_known(said.get("order"), dates.ORDERS),
    )
    if request.method == "POST":
        if "drop" in request.POST:
            scanners.drop(parked=parked, by=signed_in(request), at=timezone.now())
            messages.success(request, "Discarded. Nothing of the file was taken.")
            return redirect("programs:log_files", patient_id)
        return _take(request, kept, held, parked, choices)
    return _preview(request, kept, held, parked, choices)


def _known(said: str | None, known: Any) -> str | None:
    return said if said in known else None


def _take(
    request: HttpRequest, kept: Kept, held: Logged, parked: ParkedFile, choices: Choices
) -> HttpResponse:
    expected = request.POST.get("expected", "")
    try:
        count = take(
            parked=parked,
            patient=kept.patient,
            knows=_knows(held),
            choices=choices,
            expected=int(expected) if expected.isdecimal() and len(expected) < 6 else 0,
            by=signed_in(request),
            at=timezone.now(),
        )
    except (Refused, Unfit) as refusal:
        messages.warning(request, str(refusal))
        return _preview(request, kept, held, parked, choices, status=409)
    messages.success(request, f"Taken: {count} entr{'y' if count == 1 else 'ies'}.")
    return redirect("programs:log", kept.patient.pk)


def _preview(
    request: HttpRequest,
    kept: Kept,
    held: Logged,
    parked: ParkedFile,
    choices: Choices,
    status: int = 200,
) -> HttpResponse:
    told: dict[str, Any] = {"file": parked, "choices": choices}
    try:
        looked = look(parked, kept.patient, _knows(held), choices)
    except Unfit as unfit:
        told["unfit"] = unfit
        return program_page(
            request,
            "programs/log_file.html",
            kept,
            step="log",
            steps_of_plan=True,
            status=422,
            **told,
        )
    told |= {"looked": looked, "encodings": reading.ENCODINGS.items(), "found": looked.found}
    if looked.found:
        told["shown"] = looked.found.new[:SHOWN]
        told["more"] = len(looked.found.new) - SHOWN
        told["no_falls"] = _weeks_without_falls(held, looked.found.new)
    return program_page(
        request,
        "programs/log_file.html",
        kept,
        step="log",
        steps_of_plan=True,
        status=status,
        **told,
    )


def _weeks_without_falls(held: Logged, new: Any) -> list[int]:
    """Return the weeks in which the file tells sessions, and nothing of a fall."""
    weeks = {held.planned.week_of(entry.on) for _, entry in new}
    told = {held.planned.week_of(entry.on) for _, entry in new if "fell" in entry.told}
    return sorted(weeks - told)


# --- Out ------------------------------------------------------------------------------------


@require_GET
def table(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Give the table: what is logged, and the days up to today that are still blank."""
    kept = Kept.of(patient_id)
    held = _held(kept)
    if held is None:
        return redirect("programs:log", patient_id)
    days = held.days(1, held.week_now)
    rows = rows_of_days(kept.patient, days)
    told = {day: entries_of(found) for day, found in rows.items()}
    content = write_table(kept.patient.pk, days, told, _columns(held.program))
    response = HttpResponse(content, content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="log-{patient_id}.csv"'
    return response


@require_GET
def carry(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Give the log as one file that works without a network."""
    kept = Kept.of(patient_id)
    held = _held(kept)
    if held is None:
        return redirect("programs:log", patient_id)
    asked = request.GET.get("language", ENGLISH_CODE)
    language = asked if asked in dict(languages_on()) else ENGLISH_CODE
    content = _carried_page(held, language)
    response = HttpResponse(content, content_type="text/html; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="log-{language}.html"'
    return response


def _carried_page(held: Logged, language: str) -> str:
    words, planned = words_of(language), held.planned
    days = [
        PlannedDay(
            on=day,
            week=week,
            title=date_words(day, words),
            kinds=tuple(m for m in planned.modalities if day in planned.days(week, m)),
            lifts=held.program.lifts(week),
        )
        for week in range(1, len(planned.weeks) + 1)
        for day in (planned.first_day(week) + dt.timedelta(days=n) for n in range(7))
    ]
    told = contents(
        file=str(uuid4()),
        patient_id=held.patient.pk,
        language=language,
        kinds=planned.modalities,
        days=days,
        plates=held.program.plates,
        lift_names={code: one.name for code, one in EXERCISES.items()},
        words=words,
    )
    clinic = to_print(held.signed, language).clinic
    return render_to_string(
        "programs/log_to_carry.html",
        {
            "told": told,
            "clinic": clinic,
            "style": _inside("style", "log_to_carry.css"),
            "script": _inside("script", "log_to_carry.js"),
            "data": _data(told),
        },
    )


def _inside(tag: str, name: str) -> SafeString:
    """Return a style sheet or script of ours, to stand inside the file."""
    text = (Path(settings.BASE_DIR) / "static" / name).read_text(encoding="utf-8")
    return mark_safe(f"<{tag}>\n{text}</{tag}>")


def _data(told: dict[str, Any]) -> SafeString:
    """Return the contents as a part of the page that no browser runs."""
    text = json.dumps(told, ensure_ascii=False).replace("<", "\\u003c")
    return mark_safe(f'<script type="application/json" id="told">{text}</script>')
