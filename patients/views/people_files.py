"""A list of people: sent, looked at row by row, added, and undone as a whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions import scanners
from patients.actions.importing import Outcome, look_at, take, undo
from patients.actions.refusals import Refused
from patients.files.columns import Unfit
from patients.files.reading import LARGEST_BYTES
from patients.forms.people_file import HEADS, Row, rows_of
from patients.may import may
from patients.models.patient import Patient
from patients.models.scanners import ParkedFile
from patients.staff.rights import Right, why_not
from patients.views.common import signed_in, today
from patients.views.parked_files import park_sent, parked_of

#: More rows than these are not worked off while somebody waits for a page: the command does that.
MOST_ROWS = 500
#: So many of those to be added are shown; all that are not added are.
SHOWN = 20
TOO_MANY = (
    f"It has more than {MOST_ROWS} rows. A list as long as that is added by the command "
    "import_people, which goes on where it was stopped; or send it in parts."
)
OTHER_WHY = "Say how it is known that they are other people."
UNDO_WHY = "Say why the records are closed."


@require_http_methods(["GET", "POST"])
def send(request: HttpRequest) -> HttpResponse:
    """Ask for a list, and park it."""
    error = ""
    if request.method == "POST":
        sent = request.FILES.get("file")
        error = _wrong(sent)
        if not error and sent is not None:
            parked = park_sent(request, sent)
            return redirect("patients:import_people_file", parked.pk)
    context = {
        "error": error,
        "listed_errors": [("file", "File", error)] if error else [],
        "heads": list(HEADS),
        "most_rows": MOST_ROWS,
    }
    return render(request, "patients/import_people.html", context, status=422 if error else 200)


def _wrong(sent: UploadedFile[Any] | None) -> str:
    if sent is None or not sent.size:
        return "Choose a file that is not empty."
    return TOO_MANY if sent.size > LARGEST_BYTES else ""


@dataclass(frozen=True, kw_only=True)
class Looked:
    """A row with what would come of it, or came."""

    row: Row
    outcome: Outcome | None

    @property
    def words(self) -> str:
        """Return what comes of it, or what is wrong with it."""
        return " ".join(self.row.wrong) if self.outcome is None else self.outcome.words

    @property
    def born(self) -> str:
        """Return the date of birth as it was read."""
        who = self.row.who
        if who is None:
            return ""
        told = {"born": who.born, "born_is": who.born_is, "born_estimated": who.born_estimated}
        return Patient(**told).born_words

    @property
    def ticks_as(self) -> str:
        """Return the name of the box that says that this is another person."""
        return f"other-{self.row.line}"


@require_http_methods(["GET", "POST"])
def parked(request: HttpRequest, file_id: int) -> HttpResponse:
    """Show what a parked list would add; add it, undo it, or throw it away."""
    kept = parked_of(request, file_id)
    if kept is None:
        messages.warning(request, "That list is no longer here. Nothing of it was taken now.")
        return redirect("patients:import_people")
    if "drop" in request.POST:
        scanners.drop(parked=kept, by=signed_in(request), at=timezone.now())
        messages.success(request, "Discarded. Nothing of the list was taken.")
        return redirect("patients:import_people")
    try:
        rows = rows_of(bytes(kept.content), today())
        if len(rows) > MOST_ROWS:
            raise Unfit(TOO_MANY)
    except Unfit as unfit:
        context = {"file": kept, "unfit": unfit}
        return render(request, "patients/import_people_file.html", context, status=422)
    if request.method == "POST":
        return _done(request, kept, rows)
    return _page(request, kept, rows)


def _done(request: HttpRequest, kept: ParkedFile, rows: Sequence[Row]) -> HttpResponse:
    people = [(row.line, row.who) for row in rows if row.who]
    who: dict[str, Any] = {"by": signed_in(request), "at": timezone.now()}
    ticked = [line for line, _ in people if f"other-{line}" in request.POST]
    reason, note = (request.POST.get(name, "").strip() for name in ("reason", "note"))
    if "undo" in request.POST:
        if not may(signed_in(request), Right.JOIN):
            return _page(request, kept, rows, {"note": why_not(Right.JOIN)})
        if not note:
            return _page(request, kept, rows, {"note": UNDO_WHY})
        did, words = undo(people, note=note, **who), "Closed, as entered in error"
    elif ticked and not reason:
        return _page(request, kept, rows, {"reason": OTHER_WHY})
    else:
        did, words = take(people, others=ticked, reason=reason, **who), "Added"
    try:
        count = sum(outcome.done for outcome in did)
    except Refused as refused:
        return _page(request, kept, rows, {"note": str(refused)})
    messages.success(request, f"{words}: {count}.")
    return redirect("patients:import_people_file", kept.pk)


def _page(
    request: HttpRequest,
    kept: ParkedFile,
    rows: Sequence[Row],
    errors: dict[str, str] | None = None,
) -> HttpResponse:
    outcomes = {one.line: one for one in look_at((row.line, row.who) for row in rows if row.who)}
    looked = [Looked(row=row, outcome=outcomes.get(row.line)) for row in rows]
    added = [one for one in looked if one.outcome and one.outcome.done]
    context = {
        "file": kept,
        "rows": len(rows),
        "added": added[:SHOWN],
        "to_add": len(added),
        "asked": [one for one in looked if one.outcome and one.outcome.asks],
        "before": [one for one in looked if one.outcome and one.outcome.made],
        "refused": [one for one in looked if one.outcome is None],
        "ticked": [name for name in request.POST if name.startswith("other-")],
        "reason": request.POST.get("reason", ""),
        "note": request.POST.get("note", ""),
        "errors": errors or {},
        "listed_errors": [(name, _LABELS[name], text) for name, text in (errors or {}).items()],
        "may_undo": may(signed_in(request), Right.JOIN),
        "token": uuid4(),
    }
    return render(
        request, "patients/import_people_file.html", context, status=422 if errors else 200
    )


_LABELS = {"reason": "How it is known", "note": "Why they are closed"}
