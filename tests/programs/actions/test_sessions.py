"""Logging sessions: which program, which day, once only, struck out and never deleted."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from patients.actions.refusals import Refused
from patients.actions.withdrawing import withdraw
from patients.models.patient import Audit, Patient
from programs.actions.sessions import (
    log_session,
    log_sessions,
    session_of,
    standing,
)
from programs.models.program import SessionLog, SignedPlan
from programs.review.adherence import Session
from safety.findings import Modality
from tests.programs import rows
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.django_db
DONE = Session(
    on=DAY,
    modality=Modality.BALANCE,
    done="part",
    effort=4,
    pain=2,
    pain_settled=True,
    fell=False,
    watched=True,
    note="with a chair",
)


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)


def log(signed: SignedPlan, by: User, session: Session = DONE, **more: Any) -> SessionLog:
    held = {"patient": signed.patient, "session": session, "by": by, "at": AT}
    return log_session(**held | more)


def test_a_session_is_kept_as_it_was_said(signed: SignedPlan, clinician: User) -> None:
    row = log(signed, clinician, minutes=12)
    row.refresh_from_db()
    assert session_of(row) == replace(DONE, entered_on=DAY)
    assert (row.signed, row.minutes, row.entered_by) == (signed, 12, clinician)
    assert list(standing(signed)) == [row]
    line = Audit.objects.get(action="log session")
    assert (line.action, line.object_id) == ("log session", str(row.pk))
    assert '"with a chair"' in line.new


def test_what_is_not_known_stays_unknown(signed: SignedPlan, clinician: User) -> None:
    bare = Session(on=DAY, modality=Modality.PLATE, done="none")
    row = log(signed, clinician, bare)
    row.refresh_from_db()
    assert session_of(row) == replace(bare, entered_on=DAY)
    assert row.minutes is None


def test_a_form_sent_twice_logs_once(signed: SignedPlan, clinician: User) -> None:
    token = uuid4()
    two = [DONE, replace(DONE, modality=Modality.POSTURE)]
    sent: dict[str, Any] = {
        "patient": signed.patient,
        "sessions": two,
        "by": clinician,
        "at": AT,
        "token": token,
    }
    first = log_sessions(**sent)
    again = log_sessions(**sent | {"at": AT + dt.timedelta(seconds=2)})
    assert again == first
    assert SessionLog.objects.count() == 2
    assert Audit.objects.filter(action="log session").count() == 2


def test_one_modality_once_a_day(signed: SignedPlan, clinician: User) -> None:
    row = log(signed, clinician)
    with pytest.raises(Refused, match="Balance on 2 Mar 2026 is logged already"):
        log(signed, clinician)
    log(signed, clinician, replace(DONE, modality=Modality.POSTURE))
    withdraw(row=row, reason="Another person's", by=clinician, at=AT)
    assert log(signed, clinician).pk != row.pk


def test_one_modality_once_a_day_within_one_form(signed: SignedPlan, clinician: User) -> None:
    with pytest.raises(Refused, match="logged already"):
        log_sessions(patient=signed.patient, sessions=[DONE, DONE], by=clinician, at=AT)
    assert not SessionLog.objects.exists()


def test_all_or_none(signed: SignedPlan, clinician: User) -> None:
    late = replace(DONE, on=DAY + dt.timedelta(days=1))
    with pytest.raises(Refused, match="lies after today"):
        log_sessions(patient=signed.patient, sessions=[DONE, late], by=clinician, at=AT)
    assert not SessionLog.objects.exists()


def test_nothing_sent_logs_nothing(signed: SignedPlan, clinician: User) -> None:
    assert log_sessions(patient=signed.patient, sessions=[], by=clinician, at=AT) == []


@pytest.mark.parametrize(
    ("zone", "utc"),
    [
        ("Asia/Kolkata", dt.datetime(2026, 3, 2, 19, 0, tzinfo=dt.UTC)),  # 00:30 on the 3rd
        ("Pacific/Auckland", dt.datetime(2026, 3, 2, 11, 30, tzinfo=dt.UTC)),  # 00:30
        ("America/Los_Angeles", dt.datetime(2026, 3, 4, 7, 59, tzinfo=dt.UTC)),  # 23:59
    ],
)
def test_today_is_the_clinics_own_day(
    signed: SignedPlan, clinician: User, zone: str, utc: dt.datetime
) -> None:
    """Just after midnight, today is not in the future, though Greenwich is a day behind."""
    third = DAY + dt.timedelta(days=1)
    with timezone.override(zone):
        assert log(signed, clinician, replace(DONE, on=third), at=utc).on == third
        with pytest.raises(Refused, match="lies after today"):
            log(signed, clinician, replace(DONE, on=third + dt.timedelta(days=1)), at=utc)


def test_the_hour_that_comes_twice_is_no_trouble(signed: SignedPlan, clinician: User) -> None:
    """Clocks go back in London on 25 October 2026: 01:30 comes twice; the day is the same."""
    sunday = dt.date(2026, 10, 25)
    first = dt.datetime(2026, 10, 25, 0, 30, tzinfo=dt.UTC)
    second = first + dt.timedelta(hours=1)
    assert timezone.localtime(first).time() == timezone.localtime(second).time()
    log(signed, clinician, replace(DONE, on=sunday), at=first)
    log(signed, clinician, replace(DONE, on=sunday, modality=Modality.POSTURE), at=second)
    assert set(standing(signed).values_list("on", flat=True)) == {sunday}


def test_a_session_belongs_to_the_program_that_held_on_its_day(
    signed: SignedPlan, clinician: User
) -> None:
    later = DAY + dt.timedelta(days=28)
    plan = rows.plan(signed.patient, clinician, version=2, state="signed", starts_on=later)
    second = rows.signed(plan, clinician)
    at = AT + dt.timedelta(days=40)
    before = log(signed, clinician, replace(DONE, on=later - dt.timedelta(days=1)), at=at)
    on = log(signed, clinician, replace(DONE, on=later), at=at)
    assert (before.signed, on.signed) == (signed, second)


def test_nothing_before_the_first_program(signed: SignedPlan, clinician: User) -> None:
    with pytest.raises(Refused, match="starts on 2 Mar 2026"):
        log(signed, clinician, replace(DONE, on=DAY - dt.timedelta(days=1)))


def test_nothing_without_a_signed_program(clinician: User) -> None:
    patient: Patient = rows.patient(clinician)
    with pytest.raises(Refused, match="no signed program"):
        log_session(patient=patient, session=DONE, by=clinician, at=AT)


def test_an_entry_is_struck_out_with_a_reason(signed: SignedPlan, clinician: User) -> None:
    row = log(signed, clinician)
    with pytest.raises(Refused, match="Say why"):
        withdraw(row=row, reason=" ", by=clinician, at=AT)
    withdraw(row=row, reason=" Wrong day ", by=clinician, at=AT)
    withdraw(row=row, reason="Once more", by=clinician, at=AT)
    row.refresh_from_db()
    assert (row.withdrawn_reason, row.withdrawn_by) == ("Wrong day", clinician)
    assert not standing(signed).exists()
    assert Audit.objects.filter(action="withdraw session", reason="Wrong day").count() == 1
