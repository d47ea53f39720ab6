"""Logging what was done, and striking a wrong entry out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone

from patients import audit
from patients.actions import Refused
from patients.models import Patient
from patients.overview import day_text
from programs.adherence import Session
from programs.models import SessionLog, SignedPlan
from safety.findings import Modality


def log_session(
    *,
    patient: Patient,
    session: Session,
    by: User,
    at: dt.datetime,
    minutes: int | None = None,
    token: UUID | None = None,
) -> SessionLog:
    """Log one session; see log_sessions."""
    rows = log_sessions(
        patient=patient, sessions=[session], by=by, at=at, minutes=[minutes], token=token
    )
    return rows[0]


def log_sessions(
    *,
    patient: Patient,
    sessions: Sequence[Session],
    by: User,
    at: dt.datetime,
    minutes: Sequence[int | None] = (),
    token: UUID | None = None,
) -> list[SessionLog]:
    """Log sessions, each under the program that held on its day; all of them or none.

    The same token gives the rows that it gave before. Raises Refused for a day after today
    in the clinic's time zone, a day before the first program, and a second entry of one
    modality on one day.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return _rows_of(before.object_id)
        signed, taken, rows = list(_signed(patient)), _taken(patient, sessions), []
        for index, session in enumerate(sessions):
            _refuse_day(session, timezone.localdate(at))
            _refuse_second(session, taken)
            row = SessionLog(patient=patient, signed=_held_on(signed, session.on), **vars(session))
            row.minutes = minutes[index] if index < len(minutes) else None
            rows.append(_add(row, by, at, token if index == 0 else None))
    return rows


def withdraw_session(*, row: SessionLog, reason: str, by: User, at: dt.datetime) -> None:
    """Strike an entry out; it stays readable. Raises Refused without a reason."""
    if not reason.strip():
        raise Refused("Say why this was wrong.")
    with audit.writing():
        row.refresh_from_db()
        if row.withdrawn_at is not None:
            return
        old = audit.state_of(row)
        row.withdrawn_by, row.withdrawn_at, row.withdrawn_reason = by, at, reason.strip()
        row.save(update_fields=["withdrawn_by", "withdrawn_at", "withdrawn_reason"])
        audit.record(
            by=by,
            at=at,
            action="withdraw session",
            on=row,
            old=old,
            new=audit.state_of(row),
            reason=reason.strip(),
        )


def standing(signed: SignedPlan) -> QuerySet[SessionLog]:
    """Return the entries of a signed program that were not withdrawn, oldest first."""
    return SessionLog.objects.filter(signed=signed, withdrawn_at=None).order_by("on", "id")


def session_of(row: SessionLog) -> Session:
    """Return what a row says, as the computation reads it."""
    return Session(
        on=row.on,
        modality=Modality(row.modality),
        done=row.done,
        effort=row.effort,
        pain=row.pain,
        pain_settled=row.pain_settled,
        fell=row.fell,
        red_flag=row.red_flag,
        note=row.note,
    )


def _signed(patient: Patient) -> QuerySet[SignedPlan]:
    return SignedPlan.objects.filter(patient=patient).select_related("plan").order_by("-version")


def _held_on(signed: Sequence[SignedPlan], day: dt.date) -> SignedPlan:
    """Return the program that held on a day: the newest that had started."""
    if not signed:
        raise Refused("There is no signed program yet, so there is nothing to log.")
    started = (one for one in signed if one.plan.starts_on <= day)
    found = next(started, None)
    if found is None:
        first = signed[-1].plan.starts_on
        raise Refused(f"The first program starts on {day_text(first)}; this is before it.")
    return found


def _refuse_day(session: Session, today: dt.date) -> None:
    if session.on > today:
        raise Refused(f"A session on {day_text(session.on)} lies after today.")


def _taken(patient: Patient, sessions: Sequence[Session]) -> set[tuple[dt.date, str]]:
    """Return the days and modalities of these that have an entry already."""
    days = {session.on for session in sessions}
    rows = SessionLog.objects.filter(patient=patient, on__in=days, withdrawn_at=None)
    return set(rows.values_list("on", "modality"))


def _refuse_second(session: Session, taken: set[tuple[dt.date, str]]) -> None:
    key = (session.on, str(session.modality))
    if key in taken:
        raise Refused(
            f"{session.modality.capitalize()} on {day_text(session.on)} is logged already. "
            "If that is wrong, strike it out first."
        )
    taken.add(key)


def _add(row: SessionLog, by: User, at: dt.datetime, token: UUID | None) -> SessionLog:
    row.entered_by, row.entered_at = by, at
    row.save(force_insert=True)
    audit.record(by=by, at=at, action="log session", on=row, new=audit.state_of(row), token=token)
    return row


def _rows_of(first: str) -> list[SessionLog]:
    """Return the rows that were logged together with this first one."""
    row = SessionLog.objects.get(pk=first)
    together = SessionLog.objects.filter(
        patient=row.patient_id, entered_by=row.entered_by_id, entered_at=row.entered_at
    )
    return list(together.order_by("id"))
