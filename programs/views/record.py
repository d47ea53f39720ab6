"""The record to be read: who did what, and who looked at what, newest first, page by page."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from patients.files.formula_guard import guarded
from patients.models.looks import KINDS_OF_LOOK, Look
from patients.models.patient import Audit, Patient
from patients.record_lines import Asked, Change, changes, kind_of, lines_of, looks_of, part_of
from patients.views.common import today, whole_number
from patients.views.kept_looks import shows_people
from programs.forms.record import RecordForm
from programs.views.clinic import look_over

PAGE = 50
#: Lines of a file held in memory at once.
_AT_ONCE = 500
_HEADS = {
    "changes": ("line", "at (UTC)", "by", "action", "of", "old", "new", "reason", "from"),
    "looks": ("line", "at (UTC)", "by", "what", "page", "part", "patient id", "answer", "from"),
}


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the record as the page shows it."""

    row: Audit
    of: str
    changes: list[Change]


@dataclass(frozen=True, kw_only=True)
class LookLine:
    """One look as the page shows it; nobody is on record under some numbers."""

    row: Look
    kind: str
    page: str
    part: str
    patient: Patient | None


@shows_people
@require_http_methods(["GET", "POST"])
def record(request: HttpRequest) -> HttpResponse:
    """Show a page of the record or of the looks; a POST looks the record over."""
    if request.method == "POST":
        return look_over(request)
    of_looks, form = _asked(request)
    context: dict[str, Any] = {"of_looks": of_looks, "form": form, "query": _query(request)}
    if form.is_valid():
        asked = form.asked(whole_number(request.GET.get("before", "")))
        context |= page_of(asked, of_looks=of_looks)
    return render(request, "programs/record.html", context, status=200 if form.is_valid() else 422)


@require_GET
def record_file(request: HttpRequest) -> HttpResponseBase:
    """Give all lines that are asked for as a file for a spreadsheet."""
    of_looks, form = _asked(request)
    if not form.is_valid():
        return redirect("programs:clinic_record")
    asked = form.asked(None)
    rows: Iterable[Any] = looks_of(asked) if of_looks else lines_of(asked)
    of = "looks" if of_looks else "changes"
    answer = StreamingHttpResponse(_file(of, rows), content_type="text/csv; charset=utf-8")
    name = f"calcar-{of}-{today().isoformat()}.csv"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _asked(request: HttpRequest) -> tuple[bool, RecordForm]:
    of_looks = request.GET.get("of") == "looks"
    return of_looks, RecordForm(request.GET, of_looks=of_looks, as_of=today())


def _query(request: HttpRequest) -> str:
    """Return what is asked for, to be asked again of another page, list or file."""
    held = request.GET.copy()
    for name in ("before", "of", "action"):
        held.pop(name, None)
    return held.urlencode()


def page_of(asked: Asked, *, of_looks: bool) -> dict[str, Any]:
    """Return the lines of one page, and from which one the next page goes on."""
    page = _looks_page(asked) if of_looks else _lines_page(asked)
    return page | {"begun": asked.before is None}


def _lines_page(asked: Asked) -> dict[str, Any]:
    found = list(lines_of(asked)[: PAGE + 1])
    lines = [Line(row=row, of=kind_of(row), changes=changes(row)) for row in found[:PAGE]]
    return {"lines": lines, "later": lines[-1].row.seq if len(found) > PAGE else None}


def _looks_page(asked: Asked) -> dict[str, Any]:
    found = list(looks_of(asked)[: PAGE + 1])
    lines = _look_lines(found[:PAGE])
    return {"lines": lines, "later": lines[-1].row.seq if len(found) > PAGE else None}


def _look_lines(rows: list[Look]) -> list[LookLine]:
    people = Patient.objects.in_bulk({row.patient_number for row in rows if row.patient_number})
    return [
        LookLine(
            row=row,
            kind=KINDS_OF_LOOK.get(row.kind, row.kind),
            page=row.page.rpartition(":")[2].replace("_", " "),
            part=part_of(row),
            patient=people.get(row.patient_number or 0),
        )
        for row in rows
    ]


class _Echo:
    """A file that gives back what is written to it."""

    def write(self, text: str) -> str:
        return text


def _file(of: str, rows: Any) -> Iterator[str]:
    writer = csv.writer(_Echo())
    yield "\ufeff" + writer.writerow(_HEADS[of])
    for row in rows.iterator(chunk_size=_AT_ONCE):
        cells = _cells_of_look(row) if of == "looks" else _cells(row)
        yield writer.writerow([guarded(str(cell)) for cell in cells])


def _cells(row: Audit) -> tuple[Any, ...]:
    told = (row.action, kind_of(row), row.old, row.new, row.reason, row.source_address)
    return (row.seq, _utc(row), row.actor_name, *told)


def _cells_of_look(row: Look) -> tuple[Any, ...]:
    number = "" if row.patient_number is None else row.patient_number
    told = (row.kind, row.page, row.what, number, row.status, row.source_address)
    return (row.seq, _utc(row), row.actor_name, *told)


def _utc(row: Audit | Look) -> str:
    return row.at.astimezone(dt.UTC).isoformat(timespec="seconds")
