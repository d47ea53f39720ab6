"""Asking a doctor and keeping the answer: the record, the refusals, twice the same."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, transaction

from patients.actions.closing import close_record
from patients.actions.refusals import Refused
from patients.kept_rows import NeverChanged
from patients.models.patient import Audit, Patient
from programs.actions.asked_doctors import (
    ANSWER,
    ASK,
    ask_doctor,
    asked_of,
    keep_answer,
    not_answered,
)
from programs.actions.refusals import NotDone
from programs.actions.rows_against_record import of_people
from programs.models.asked_doctors import DoctorAnswered, DoctorAsked
from tests.programs import rows
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.django_db, pytest.mark.database]
WHAT = "Leave for plate: Vertebral fracture: the plate needs medical clearance."


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.patient(clinician)


def ask(of: Patient, by: User, **more: Any) -> DoctorAsked:
    held: dict[str, Any] = {"doctor": "Dr O'Vale", "what": WHAT, "on": DAY, "by": by, "at": AT}
    return ask_doctor(patient=of, **held | more)


def answer(row: DoctorAsked, by: User, **more: Any) -> DoctorAnswered:
    held: dict[str, Any] = {"answer": "leave", "on": DAY, "by": by, "at": AT}
    return keep_answer(asked=row, **held | more)


def test_what_was_asked_waits_until_it_is_answered(patient: Patient, clinician: User) -> None:
    row = ask(patient, clinician, doctor=" Dr O'Vale ")
    assert (row.doctor, row.what, row.on) == ("Dr O'Vale", WHAT, DAY)
    assert list(not_answered()) == [row]
    told = answer(row, clinician, note=" no jumps ")
    assert (told.answer, told.note) == ("leave", "no jumps")
    assert list(not_answered()) == []
    assert [one.answer for one in asked_of(patient)] == [told]


def test_both_stand_in_the_record(patient: Patient, clinician: User) -> None:
    answer(ask(patient, clinician), clinician)
    lines = Audit.objects.filter(action__in=(ASK, ANSWER)).order_by("seq")
    assert [line.action for line in lines] == [ASK, ANSWER]
    assert "Dr O'Vale" in lines[0].new
    assert list(of_people([patient.pk], "default")) == []


def test_a_double_click_asks_once(patient: Patient, clinician: User) -> None:
    token = uuid4()
    row = ask(patient, clinician, token=token)
    assert ask(patient, clinician, token=token) == row
    assert DoctorAsked.objects.count() == 1


def test_of_two_answers_the_first_stands(patient: Patient, clinician: User) -> None:
    row = ask(patient, clinician)
    first = answer(row, clinician)
    assert answer(row, clinician, answer="no leave") == first
    assert Audit.objects.filter(action=ANSWER).count() == 1


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"doctor": " "}, "who is asked"),
        ({"what": ""}, "and what"),
        ({"on": DAY + dt.timedelta(days=1)}, "still to come"),
    ],
)
def test_what_is_asked_must_be_whole(
    patient: Patient, clinician: User, more: dict[str, Any], why: str
) -> None:
    with pytest.raises(NotDone, match=why):
        ask(patient, clinician, **more)
    assert not DoctorAsked.objects.exists()


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"answer": "perhaps"}, "what was answered"),
        ({"on": DAY - dt.timedelta(days=1)}, "between the asking and today"),
        ({"on": DAY + dt.timedelta(days=1)}, "between the asking and today"),
    ],
)
def test_an_answer_must_be_one(
    patient: Patient, clinician: User, more: dict[str, Any], why: str
) -> None:
    row = ask(patient, clinician)
    with pytest.raises(NotDone, match=why):
        answer(row, clinician, **more)
    assert not DoctorAnswered.objects.exists()


def test_nothing_is_written_for_a_closed_record(patient: Patient, clinician: User) -> None:
    row = ask(patient, clinician)
    close_record(patient=patient, what="moved", on=DAY, by=clinician, at=AT)
    with pytest.raises(Refused):
        ask(patient, clinician)
    with pytest.raises(Refused):
        answer(row, clinician)


def test_rows_stay_as_they_were_written(patient: Patient, clinician: User) -> None:
    row = ask(patient, clinician)
    with pytest.raises(NeverChanged):
        row.save()
    for change in (
        lambda: DoctorAsked.objects.filter(pk=row.pk).update(doctor="Another"),
        lambda: DoctorAsked.objects.filter(pk=row.pk)._raw_delete("default"),
    ):
        with pytest.raises(DatabaseError), transaction.atomic():
            change()
    assert DoctorAsked.objects.get().doctor == "Dr O'Vale"
