"""Asking a doctor for leave or an opinion, and keeping the answer. Rows are added, none changed."""

from __future__ import annotations

import datetime as dt
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone

from patients import audit
from patients.actions.patient_record import refuse_written
from patients.models.patient import Patient
from programs.actions.refusals import NotDone
from programs.models.asked_doctors import DoctorAnswered, DoctorAsked

#: What the record calls them.
ASK, ANSWER = "ask a doctor", "keep a doctor's answer"


def ask_doctor(
    *,
    patient: Patient,
    doctor: str,
    what: str,
    on: dt.date,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> DoctorAsked:
    """Keep that a doctor was asked. The same token gives what it gave before.

    Raises NotDone where nobody or nothing is named, or the day is still to come; Refused where
    nothing may be written for her.
    """
    if not (doctor.strip() and what.strip()):
        raise NotDone("Say who is asked, and what.")
    if on > timezone.localdate(at):
        raise NotDone("The day is still to come.")
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, DoctorAsked)
        refuse_written(patient)
        row = DoctorAsked.objects.create(
            patient=patient, doctor=doctor.strip(), what=what.strip(), on=on, by=by, at=at
        )
        audit.record(by=by, at=at, action=ASK, on=row, new=audit.state_of(row), token=token)
    return row


def keep_answer(
    *,
    asked: DoctorAsked,
    answer: str,
    on: dt.date,
    by: User,
    at: dt.datetime,
    note: str = "",
    token: UUID | None = None,
) -> DoctorAnswered:
    """Keep what a doctor answered; answered twice, the first stands.

    Raises NotDone for an answer that is none, or a day before it was asked or after today; Refused
    where nothing may be written for her.
    """
    if answer not in dict(DoctorAnswered.ANSWERS):
        raise NotDone("Say what was answered.")
    if not asked.on <= on <= timezone.localdate(at):
        raise NotDone("The day lies between the asking and today.")
    with audit.writing():
        if (before := DoctorAnswered.objects.filter(asked=asked).first()) is not None:
            return before
        refuse_written(asked.patient)
        row = DoctorAnswered.objects.create(
            asked=asked, answer=answer, note=note.strip(), on=on, by=by, at=at
        )
        audit.record(by=by, at=at, action=ANSWER, on=row, new=audit.state_of(row), token=token)
    return row


def asked_of(patient: Patient) -> QuerySet[DoctorAsked]:
    """Return all that was asked about a patient, the newest first."""
    rows = DoctorAsked.objects.filter(patient=patient)
    return rows.select_related("answer__by", "by").order_by("-on", "-pk")


def not_answered() -> QuerySet[DoctorAsked]:
    """Return what waits for an answer, the oldest first."""
    rows = DoctorAsked.objects.filter(answer=None)
    return rows.select_related("patient", "by").order_by("on", "pk")
