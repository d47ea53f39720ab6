"""The Log page: some weeks at once or one day, what stands, and striking an entry out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions.refusals import Refused
from patients.actions.withdrawing import withdraw
from patients.facts.in_words import day_text
from patients.facts.typed_dates import parse_typed_day
from patients.facts.units import NotADate
from patients.forms.person import WithdrawForm
from patients.models.patient import Patient
from patients.views.common import sent_token, signed_in, today
from programs.actions.log_days import (
    Meanwhile,
    ReasonNeeded,
    Saved,
    TypedDay,
    entries_of,
    rows_of_days,
    save_days,
)
from programs.actions.log_program import program_of
from programs.actions.phone_log import waiting
from programs.actions.sessions import session_of
from programs.log.cells import kinds_told
from programs.models.program import SessionLog, SignedPlan
from programs.review.adherence import Planned
from programs.review.grounds import alarming
from programs.review.log_grid import MOST_WEEKS, Grid, Program
from programs.review.log_tables import below
from programs.review.logged_days import Row
from programs.views.program_page import Kept, newest_signed, program_page

#: Weeks that the page shows unless asked for others: as many as the paper has on a sheet.
USUAL_WEEKS = 4
REASON = "reason"


@dataclass(frozen=True, kw_only=True)
class Logged:
    """A signed program with its log: rows that stand, and all with those struck out."""

    patient: Patient
    signed: SignedPlan
    program: Program
    rows: Sequence[SessionLog]

    @property
    def planned(self) -> Planned:
        """Return the program as signed."""
        return self.program.planned

    @property
    def standing(self) -> list[SessionLog]:
        """Return the rows that count."""
        return [row for row in self.rows if row.withdrawn_at is None]

    @property
    def week_now(self) -> int:
        """Return the week of today, from 1."""
        return max(1, self.planned.week_of(today()))

    def first_empty(self) -> int:
        """Return the first week without any entry, at most the present one."""
        filled = {self.planned.week_of(row.on) for row in self.standing}
        weeks = (week for week in range(1, self.week_now) if week not in filled)
        return next(weeks, self.week_now)

    def days(self, week: int, weeks: int) -> list[dt.date]:
        """Return the days of some weeks up to today."""
        first = self.planned.first_day(week)
        days = (first + dt.timedelta(days=n) for n in range(7 * weeks))
        return [day for day in days if day <= today()]


def logged(patient: Patient, signed: SignedPlan) -> Logged:
    """Return a signed program with its log."""
    rows = (
        SessionLog.objects.filter(signed=signed)
        .select_related("entered_by", "withdrawn_by")
        .order_by("on", "id")
    )
    return Logged(patient=patient, signed=signed, program=program_of(signed), rows=list(rows))


# --- Some weeks -----------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
def log(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the log with the grid of some weeks, or save it."""
    kept = Kept.of(patient_id)
    newest = newest_signed(kept)
    if newest is None:
        return program_page(request, "programs/log.html", kept, step="log", held=None)
    held = logged(kept.patient, newest)
    week, weeks = _weeks(request, held)
    days = held.days(week, weeks)
    if request.method == "GET":
        return _log_page(request, kept, held, week, weeks, grid_of(held, days))
    return _save_weeks(request, kept, held, week, weeks)


def _weeks(request: HttpRequest, held: Logged) -> tuple[int, int]:
    """Return the first week shown, and how many."""
    first = min(max(1, _number(request, "week") or held.first_empty()), held.week_now)
    most = held.week_now - first + 1
    return first, min(_number(request, "weeks") or USUAL_WEEKS, MOST_WEEKS, most)


def _number(request: HttpRequest, name: str) -> int:
    sent = request.POST.get(name) or request.GET.get(name) or ""
    return int(sent) if sent.isdecimal() and len(sent) < 4 else 0


def grid_of(held: Logged, days: Sequence[dt.date], sent: Mapping[str, str] | None = None) -> Grid:
    """Return the grid of some days."""
    return Grid(held.program, days, _numbered(rows_of_days(held.patient, days)), sent)


def _numbered(rows: Mapping[dt.date, Sequence[SessionLog]]) -> dict[dt.date, list[Row]]:
    return {
        day: [Row(pk=row.pk, session=session_of(row)) for row in held] for day, held in rows.items()
    }


def _save_weeks(
    request: HttpRequest, kept: Kept, held: Logged, week: int, weeks: int
) -> HttpResponse:
    grid = grid_of(held, held.days(week, weeks), request.POST.dict())
    answer = _saved(request, held, grid)
    if isinstance(answer, Saved):
        messages.success(request, said(answer))
        response = redirect("programs:log", kept.patient.pk)
        response["Location"] += f"?week={min(week + weeks, held.week_now)}"
        return response
    more = {"reason_error": answer.reason, "other_error": answer.other}
    return _log_page(request, kept, held, week, weeks, answer.grid, answer.status, **more)


@dataclass(frozen=True, kw_only=True)
class NotSaved:
    """The grid with what is wrong in it; what is wrong with the reason, or with all of it."""

    grid: Grid
    status: int = 422
    reason: str = ""
    other: str = ""


def _saved(request: HttpRequest, held: Logged, grid: Grid) -> Saved | NotSaved:
    if grid.wrong:
        return NotSaved(grid=grid)
    kinds = held.planned.modalities
    days = [TypedDay(on=day.on, was=day.was, entries=day.entries, kinds=kinds) for day in grid.days]
    try:
        return save_days(
            patient=held.patient,
            days=days,
            reason=request.POST.get(REASON, ""),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except ReasonNeeded as needed:
        return NotSaved(grid=grid, reason=str(needed))
    except Meanwhile as meanwhile:
        return NotSaved(grid=_as_it_stands(request, held, grid, meanwhile), status=409)
    except Refused as refused:
        return NotSaved(grid=grid, other=str(refused))


def _as_it_stands(request: HttpRequest, held: Logged, grid: Grid, meanwhile: Meanwhile) -> Grid:
    """Return the grid as typed, upon what stands now, with the other's entries beside it."""
    fresh = {f"{day.isoformat()}.was" for day in meanwhile.days}
    sent = {name: text for name, text in request.POST.dict().items() if name not in fresh}
    now = rows_of_days(held.patient, meanwhile.days)
    again = grid_of(held, [day.on for day in grid.days], sent)
    for day in again.days:
        if day.on in meanwhile.days:
            entries = entries_of(now[day.on]).values()
            stands = " ".join(f"{one.title}: {one.words}." for one in entries)
            next(iter(day.cells.values())).error = f"{meanwhile} {stands or 'Nothing stands.'}"
    return again


def said(saved: Saved) -> str:
    """Return what was written, in words."""
    if not saved.added and not saved.struck:
        return "Nothing was changed."
    entries = "1 entry" if saved.added == 1 else f"{saved.added} entries"
    return f"Logged: {entries}{f', {saved.struck} struck out' if saved.struck else ''}."


def _log_page(
    request: HttpRequest,
    kept: Kept,
    held: Logged,
    week: int,
    weeks: int,
    grid: Grid,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    first = held.planned.first_day(week)
    last = first + dt.timedelta(days=7 * weeks - 1)
    return program_page(
        request,
        "programs/log.html",
        kept,
        status=status,
        step="log",
        steps_of_plan=True,
        held=held,
        grid=grid,
        week=week,
        weeks=weeks,
        last_week=week + weeks - 1,
        earlier=max(1, week - USUAL_WEEKS),
        first=first,
        last=last,
        started=held.planned.starts_on <= today(),
        usual=USUAL_WEEKS,
        here=[row for row in held.rows if first <= row.on <= last],
        alarms=[row for row in held.standing if alarming(session_of(row))],
        below=below(grid),
        her_days=[(day, "") for day in waiting(kept.patient)],
        **grid_context(request, grid, **more),
    )


def grid_context(
    request: HttpRequest, grid: Grid, reason_error: str = "", other_error: str = ""
) -> dict[str, Any]:
    """Return what both pages with a grid show of it."""
    listed = [(cell.name, cell.label, cell.error) for cell in grid.wrong]
    listed += [(REASON, "", reason_error)] if reason_error else []
    listed += [("content", "", other_error)] if other_error else []
    token = sent_token(request)
    return {
        "listed_errors": listed,
        "reason": request.POST.get(REASON, ""),
        "reason_error": reason_error,
        "corrects": any(day.was for day in grid.days),
        # The token of a form that comes back with errors stays: it is still the same form.
        **({"token": token} if token else {}),
    }


# --- One day --------------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
def log_day(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show one day, with all that can be told of it, or save it."""
    kept = Kept.of(patient_id)
    on, error = _asked_day(request)
    signed = _held_on(kept, on)
    if signed is None:
        messages.warning(request, f"No program had started on {day_text(on)}.")
        return redirect("programs:log", kept.patient.pk)
    held = logged(kept.patient, signed)
    if request.method == "GET" or error:
        return _day_page(request, kept, held, on, grid_of(held, [on]), day_error=error)
    answer = _saved(request, held, grid_of(held, [on], request.POST.dict()))
    if isinstance(answer, Saved):
        messages.success(request, f"{day_text(on)}. {said(answer)}")
        return redirect("programs:log", kept.patient.pk)
    more = {"reason_error": answer.reason, "other_error": answer.other}
    return _day_page(request, kept, held, on, answer.grid, answer.status, **more)


def _asked_day(request: HttpRequest) -> tuple[dt.date, str]:
    """Return the day that was asked for, or today and why it cannot be another."""
    asked = (request.POST.get("on") or request.GET.get("on") or "").strip()
    if not asked:
        return today(), ""
    try:
        on = parse_typed_day(asked)
    except NotADate as error:
        return today(), str(error)
    return (on, "") if on <= today() else (today(), f"{day_text(on)} lies after today.")


def _held_on(kept: Kept, on: dt.date) -> SignedPlan | None:
    """Return the program that held on a day, or None; the newest is not read again."""
    newest, patient = newest_signed(kept), kept.patient
    if newest is None or newest.plan.starts_on <= on:
        return newest
    rows = SignedPlan.objects.filter(patient=patient).select_related("plan").order_by("-version")
    signed = list(rows)
    return next((one for one in signed if one.plan.starts_on <= on), None)


def _day_page(
    request: HttpRequest,
    kept: Kept,
    held: Logged,
    on: dt.date,
    grid: Grid,
    status: int = 200,
    *,
    day_error: str = "",
    **more: Any,
) -> HttpResponse:
    return program_page(
        request,
        "programs/log_day.html",
        kept,
        status=422 if day_error else status,
        step="log",
        steps_of_plan=True,
        held=held,
        on=on,
        before=on - dt.timedelta(days=1),
        after=on + dt.timedelta(days=1) if on < today() else None,
        grid=grid,
        week=grid.weeks[0],
        day=grid.days[0],
        of_day=[cell for column, cell in grid.days[0].cells.items() if column.kind is None],
        letters=kinds_told(),
        kinds=[
            (kind, grid.days[0].of_kind(kind), grid.days[0].more_of(kind)) for kind in grid.kinds
        ],
        day_error=day_error,
        **grid_context(request, grid, **more),
    )


# --- Struck out -----------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
def log_withdraw(request: HttpRequest, patient_id: int, row_id: int) -> HttpResponse:
    """Strike an entry out as entered in error, with a reason."""
    kept = Kept.of(patient_id)
    patient = kept.patient
    row = get_object_or_404(SessionLog.objects.filter(patient=patient), pk=row_id)
    form = WithdrawForm(request.POST or None, born=patient.born, as_of=today())
    if request.method == "GET" or not form.is_valid():
        return program_page(
            request,
            "programs/log_withdraw.html",
            kept,
            status=200 if request.method == "GET" else 422,
            step="log",
            steps_of_plan=True,
            form=form,
            row=row,
        )
    reason = form.cleaned_data["reason"]
    withdraw(row=row, reason=reason, by=signed_in(request), at=timezone.now())
    messages.success(request, "Struck out as entered in error.")
    return redirect("programs:log", patient.pk)
