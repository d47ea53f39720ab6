"""The Log page: a week at once or one session, what stands, and striking an entry out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients import audit
from patients.actions import Refused
from patients.forms.person import WithdrawForm
from patients.overview import day_text
from patients.views.common import other_patient, sent_token, signed_in, today
from programs import snapshot
from programs.actions.sessions import log_session, log_sessions, session_of, withdraw_session
from programs.adherence import Planned
from programs.forms.log import SessionForm, Slot, WeekForm
from programs.models import SessionLog, SignedPlan
from programs.review import alarming
from programs.views.kept import Kept, program_page
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class Logged:
    """A signed program with its log: rows that stand, and all with those struck out."""

    kept: Kept
    signed: SignedPlan
    planned: Planned
    rows: Sequence[SessionLog]

    @property
    def standing(self) -> list[SessionLog]:
        """Return the rows that count."""
        return [row for row in self.rows if row.withdrawn_at is None]

    @property
    def week_now(self) -> int:
        """Return the week of today, from 1."""
        return max(1, self.planned.week_of(today()))

    def slots(self, week: int) -> list[Slot]:
        """Return the days of a week up to today that may hold a session, by day."""
        found = [
            Slot(on=day, modality=m)
            for m in self.planned.modalities
            for day in self.planned.days(week, m)
            if day <= today()
        ]
        order = list(self.planned.modalities)
        return sorted(found, key=lambda slot: (slot.on, order.index(slot.modality)))

    def free(self, week: int, sent: Iterable[str] = ()) -> list[Slot]:
        """Return the slots without an entry, and those for which something was sent."""
        taken = {(row.on, row.modality) for row in self.standing}
        names = tuple(sent)
        return [
            slot
            for slot in self.slots(week)
            if (slot.on, slot.modality) not in taken
            or any(name.startswith(f"{slot.name}__") for name in names)
        ]

    def spare(self, week: int) -> list[Modality]:
        """Return the modalities whose week names more days than it has sessions."""
        program = self.planned
        return [
            m for m in program.modalities if len(program.days(week, m)) > program.sessions(week, m)
        ]

    def first_empty(self) -> int:
        """Return the first week without any entry, at most the present one."""
        filled = {self.planned.week_of(row.on) for row in self.standing}
        weeks = (week for week in range(1, self.week_now) if week not in filled)
        return next(weeks, self.week_now)


def newest_signed(kept: Kept) -> SignedPlan | None:
    """Return the newest signed program, with its plan and patient at hand, or None."""
    if kept.signed is None:
        return None
    newest: SignedPlan = kept.signed.signed
    newest.plan, newest.patient = kept.signed, kept.patient
    return newest


def logged(kept: Kept) -> Logged | None:
    """Return the newest signed program with its log, or None."""
    newest = newest_signed(kept)
    if newest is None:
        return None
    rows = (
        SessionLog.objects.filter(signed=newest)
        .select_related("entered_by", "withdrawn_by")
        .order_by("on", "id")
    )
    planned = Planned.of(snapshot.read(newest.body))
    return Logged(kept=kept, signed=newest, planned=planned, rows=list(rows))


@require_http_methods(["GET", "POST"])
def log(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the log with the form of one week, or save it."""
    kept = Kept.of(patient_id)
    if request.method == "POST" and (refusal := other_patient(request, kept.patient)) is not None:
        return refusal
    held = logged(kept)
    if held is None:
        return program_page(request, "programs/log.html", kept, step="log", held=None)
    week = _week(request, held)
    if request.method == "GET":
        return _log_page(request, held, week, _week_form(held, week))
    if audit.done_before(sent_token(request)) is not None:
        return _next_week(held, week)
    return _save_week(request, held, week)


def _save_week(request: HttpRequest, held: Logged, week: int) -> HttpResponse:
    form = _week_form(held, week, request.POST)
    if not form.is_valid():
        return _log_page(request, held, week, form, status=422)
    try:
        rows = log_sessions(
            patient=held.kept.patient,
            sessions=form.sessions(),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except Refused as refused:
        form.add_error(None, str(refused))
        return _log_page(request, held, week, form, status=422)
    entries = "1 entry" if len(rows) == 1 else f"{len(rows)} entries"
    messages.success(request, f"Logged: {entries} of week {week}.")
    return _next_week(held, week)


def _next_week(held: Logged, week: int) -> HttpResponse:
    response = redirect("programs:log", held.kept.patient.pk)
    response["Location"] += f"?week={min(week + 1, held.week_now)}"
    return response


def _week(request: HttpRequest, held: Logged) -> int:
    sent = request.POST.get("week") or request.GET.get("week") or ""
    week = int(sent) if sent.isdecimal() and len(sent) < 4 else held.first_empty()
    return min(max(1, week), held.week_now)


def _week_form(held: Logged, week: int, data: Any = None) -> WeekForm:
    slots = held.free(week, data or ())
    born = held.kept.patient.born
    spare = held.spare(week)
    return WeekForm(data, slots=slots, spare=spare, born=born, as_of=today(), auto_id="id_%s")


def _log_page(
    request: HttpRequest, held: Logged, week: int, form: WeekForm, status: int = 200
) -> HttpResponse:
    first = held.planned.first_day(week)
    last = first + dt.timedelta(days=6)
    here = [row for row in held.rows if first <= row.on <= last]
    return program_page(
        request,
        "programs/log.html",
        held.kept,
        status=status,
        step="log",
        steps_of_plan=True,
        held=held,
        week=week,
        first=first,
        last=last,
        started=held.planned.starts_on <= today(),
        form=form,
        here=here,
        spare=[
            (m, held.planned.sessions(week, m), len(held.planned.days(week, m)))
            for m in held.spare(week)
        ],
        standing_here=[row for row in here if row.withdrawn_at is None],
        alarms=[row for row in held.standing if alarming(session_of(row))],
        **_token(request),
    )


def _token(request: HttpRequest) -> dict[str, Any]:
    """Keep the token of a form that comes back with errors: it is still the same form."""
    return {"token": sent_token(request)} if sent_token(request) else {}


@require_http_methods(["GET", "POST"])
def log_add(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Add one session."""
    kept = Kept.of(patient_id)
    if request.method == "POST" and (refusal := other_patient(request, kept.patient)) is not None:
        return refusal
    held = logged(kept)
    if held is None or audit.done_before(sent_token(request)) is not None:
        return redirect("programs:log", kept.patient.pk)
    form = SessionForm(
        request.POST or None,
        modalities=held.planned.modalities,
        born=kept.patient.born,
        as_of=today(),
        initial={"on": today().isoformat()},
    )
    if request.method == "GET":
        return _add_page(request, kept, form)
    return _save_session(request, kept, form)


def _save_session(request: HttpRequest, kept: Kept, form: SessionForm) -> HttpResponse:
    if not form.is_valid():
        return _add_page(request, kept, form, status=422)
    try:
        row = log_session(
            patient=kept.patient,
            session=form.session(),
            minutes=form.cleaned_data["minutes"],
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except Refused as refused:
        form.add_error(None, str(refused))
        return _add_page(request, kept, form, status=422)
    messages.success(request, f"Logged: {row.modality} on {day_text(row.on)}.")
    return redirect("programs:log", kept.patient.pk)


def _add_page(
    request: HttpRequest, kept: Kept, form: SessionForm, status: int = 200
) -> HttpResponse:
    return program_page(
        request,
        "programs/log_add.html",
        kept,
        status=status,
        step="log",
        steps_of_plan=True,
        form=form,
        **_token(request),
    )


@require_http_methods(["GET", "POST"])
def log_withdraw(request: HttpRequest, patient_id: int, row_id: int) -> HttpResponse:
    """Strike an entry out as entered in error, with a reason."""
    kept = Kept.of(patient_id)
    patient = kept.patient
    row = get_object_or_404(SessionLog.objects.filter(patient=patient), pk=row_id)
    form = WithdrawForm(request.POST or None, born=patient.born, as_of=today())
    if request.method == "POST" and (refusal := other_patient(request, patient)) is not None:
        return refusal
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
    withdraw_session(row=row, reason=reason, by=signed_in(request), at=timezone.now())
    messages.success(request, "Struck out as entered in error.")
    return redirect("programs:log", patient.pk)
