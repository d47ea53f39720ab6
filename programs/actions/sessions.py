"""Logging what was done, and striking a wrong entry out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import Q, QuerySet
from django.utils import timezone

from patients import audit
from patients.actions.patient_record import refuse_written
from patients.actions.refusals import Refused
from patients.facts.in_words import day_text
from patients.models.patient import Audit, Patient
from programs.models.program import SessionLog, SignedPlan
from programs.review.adherence import LiftedSet, Session
from programs.review.logged_days import as_read
from safety.findings import Modality

#: What an entry of a whole day is called where an entry is named by its kind.
WHOLE_DAY = "the day"
#: What a row keeps of a session as it is.
_KEPT = (
    *("on", "modality", "done", "effort", "pain", "pain_settled", "pain_where", "fell"),
    *("near_fall", "ill", "watched", "plate", "broken_off", "whole_day", "red_flag", "broke"),
    "note",
)
#: An entry that tells of a fall, a warning sign or a broken bone.
TELLS = Q(fell=True) | ~Q(red_flag="") | ~Q(broke="")


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
            return _rows_of(before)
        refuse_written(patient)
        signed, taken, rows = list(_signed(patient)), _taken(patient, sessions), []
        for index, session in enumerate(sessions):
            _refuse_day(session, timezone.localdate(at))
            _refuse_second(session, taken)
            row = _row(patient, _held_on(signed, session.on), session)
            row.minutes = minutes[index] if index < len(minutes) else None
            rows.append(_add(row, by, at, token if index == 0 else None))
    return rows


def carrier_of(kinds: Sequence[Modality]) -> Modality:
    """Return the modality under which a whole day is kept: the first of a program's."""
    return kinds[0] if kinds else Modality.BALANCE


def standing(signed: SignedPlan) -> QuerySet[SessionLog]:
    """Return the entries of a signed program that were not withdrawn, oldest first."""
    return SessionLog.objects.filter(signed=signed, withdrawn_at=None).order_by("on", "id")


def whole_log(patient: Patient) -> QuerySet[SessionLog]:
    """Return the entries of all of a patient's programs that stand, oldest first."""
    return SessionLog.objects.filter(patient=patient, withdrawn_at=None).order_by("on", "id")


def events_of(patient: Patient) -> QuerySet[SessionLog]:
    """Return the rows of a whole log that tell of a fall, a warning sign or a broken bone."""
    return SessionLog.objects.filter(TELLS, patient=patient, withdrawn_at=None)


def in_order(rows: Iterable[SessionLog]) -> list[Session]:
    """Return what rows say, by their days, those of one day as they were entered."""
    return [session_of(row) for row in sorted(rows, key=lambda row: (row.on, row.pk))]


def with_words(row: SessionLog) -> str:
    """Return with which kind it hurt, after a comma; nothing where that was left open."""
    kinds = row.pain_with or ([] if row.whole_day else [row.modality])
    return f", {' and '.join(kinds)}" if kinds else ""


def session_of(row: SessionLog) -> Session:
    """Return what a row says, as the computation reads it."""
    kept = {name: getattr(row, name) for name in _KEPT}
    told: dict[str, Any] = {
        "modality": Modality(row.modality),
        "sets": tuple(LiftedSet(**one) for one in row.sets),
        "pain_with": tuple(Modality(one) for one in row.pain_with),
        "entered_on": timezone.localdate(row.entered_at),
    }
    return Session(**kept | told)


def log_as_read(rows: Iterable[SessionLog]) -> list[Session]:
    """Return rows as a review reads them: what is told of a day counts for its sessions."""
    return as_read(session_of(row) for row in rows)


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
    return {_key(row.on, row.modality, whole_day=row.whole_day) for row in rows}


def _key(on: dt.date, modality: str, *, whole_day: bool) -> tuple[dt.date, str]:
    return on, WHOLE_DAY if whole_day else str(modality)


def _refuse_second(session: Session, taken: set[tuple[dt.date, str]]) -> None:
    key = _key(session.on, session.modality, whole_day=session.whole_day)
    if key in taken:
        raise Refused(
            f"{key[1].capitalize()} on {day_text(session.on)} is logged already. "
            "If that is wrong, strike it out first."
        )
    taken.add(key)


def _row(patient: Patient, signed: SignedPlan, session: Session) -> SessionLog:
    kept = {name: getattr(session, name) for name in _KEPT}
    sets = [{k: v for k, v in vars(one).items() if v is not None} for one in session.sets]
    return SessionLog(
        patient=patient, signed=signed, sets=sets, pain_with=list(session.pain_with), **kept
    )


def _add(row: SessionLog, by: User, at: dt.datetime, token: UUID | None) -> SessionLog:
    row.entered_by, row.entered_at = by, at
    row.save(force_insert=True)
    audit.record(by=by, at=at, action="log session", on=row, new=audit.state_of(row), token=token)
    return row


def _rows_of(first: Audit) -> list[SessionLog]:
    """Return the rows that were logged together with the one that this line tells of."""
    row = audit.row_made(first, SessionLog)
    together = SessionLog.objects.filter(
        patient=row.patient_id, entered_by=row.entered_by_id, entered_at=row.entered_at
    )
    return list(together.order_by("id"))
