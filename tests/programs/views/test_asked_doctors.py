"""Questions to doctors on the pages: the form, the answer, the Caseload, who may."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Patient
from patients.staff.rights import Role
from programs.actions.asked_doctors import ask_doctor
from programs.models.asked_doctors import DoctorAnswered, DoctorAsked
from programs.views.caseload_lists import LISTS
from tests.patients.pages import filled, text_of
from tests.people import steady_document
from tests.programs import rows
from tests.programs.rows import AT, DAY
from tests.staff import person_of

pytestmark = [pytest.mark.django_db]
#: A break of the spine, for which the plate needs medical clearance (rulebook row 5).
BROKEN = [{"site": "vertebra", "date": "2024-11-01", "low_trauma": "yes", "healed": "yes"}]


@pytest.fixture(autouse=True)
def that_day() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=AT):
        yield


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.recorded(clinician, steady_document(fractures=BROKEN))


def page(of: Patient, *more: int) -> str:
    return reverse("programs:asked_answer" if more else "programs:asked", args=[of.pk, *more])


def asked(of: Patient, by: User) -> DoctorAsked:
    return ask_doctor(
        patient=of, doctor="Dr O'Vale", what="Leave for plate\nAn assessment", on=DAY, by=by, at=AT
    )


def test_the_form_begins_with_what_the_screen_asks(signed_in: Client, patient: Patient) -> None:
    html = signed_in.get(page(patient)).content.decode()
    assert "Leave for vibration plate: " in html
    assert "Nothing was asked yet." in html


def test_it_is_kept_and_waits_on_the_caseload(signed_in: Client, patient: Patient) -> None:
    sent = filled(signed_in, page(patient), doctor="Dr O'Vale", what="Leave for plate")
    answer = signed_in.post(page(patient), sent, follow=True)
    row = DoctorAsked.objects.get()
    assert (row.doctor, row.on) == ("Dr O'Vale", DAY)
    assert "It waits on the Caseload" in text_of(answer)
    (line,), more = LISTS["asked"].page(DAY + dt.timedelta(days=1))
    assert not more
    assert line.why[0] == "asked of Dr O'Vale on 2 Mar 2026, 1 day ago"
    assert line.address == page(patient, row.pk)
    assert "asked of Dr O&#x27;Vale" in signed_in.get(reverse("programs:caseload")).content.decode()


@pytest.mark.parametrize(("days", "told"), [(0, "today"), (1, "1 day ago"), (20, "20 days ago")])
def test_the_caseload_says_how_long_it_waits(
    clinician: User, patient: Patient, days: int, told: str
) -> None:
    asked(patient, clinician)
    (line,), _ = LISTS["asked"].page(DAY + dt.timedelta(days=days))
    assert line.why == (
        f"asked of Dr O'Vale on 2 Mar 2026, {told}",
        "Leave for plate",
        "An assessment",
    )


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"doctor": ""}, "Say who is asked."),
        ({"doctor": "D" * 121}, "At most 120 letters."),
        ({"doctor": "Dr Vale", "what": " "}, "Say what is asked."),
        ({"doctor": "Dr Vale", "on": "2026-03-03"}, "The day is still to come."),
        ({"doctor": "Dr Vale", "on": ""}, "Write the day."),
    ],
)
def test_bad_input_is_told_beside_its_field_and_kept(
    signed_in: Client, patient: Patient, typed: dict[str, str], why: str
) -> None:
    answer = signed_in.post(page(patient), filled(signed_in, page(patient), **typed))
    assert answer.status_code == 422
    html = answer.content.decode()
    assert why in html
    if typed["doctor"]:
        assert typed["doctor"] in html
    assert not DoctorAsked.objects.exists()


def test_the_answer_takes_it_off_the_caseload(
    signed_in: Client, clinician: User, patient: Patient
) -> None:
    row = asked(patient, clinician)
    where = page(patient, row.pk)
    sent = filled(signed_in, where, answer="leave", note="until May")
    told = text_of(signed_in.post(where, sent, follow=True))
    assert "Record the agreement as a clearance on Screen" in told
    assert "Leave given, 2 Mar 2026: until May" in told
    assert LISTS["asked"].page(DAY) == ([], False)
    assert "Save the answer" not in text_of(signed_in.get(where))


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"answer": ""}, "Say what was answered."),
        ({"answer": "seen to", "on": "2026-03-01"}, "The day lies before it was asked."),
    ],
)
def test_an_answer_that_is_none_is_refused(
    signed_in: Client, clinician: User, patient: Patient, typed: dict[str, str], why: str
) -> None:
    where = page(patient, asked(patient, clinician).pk)
    answer = signed_in.post(where, filled(signed_in, where, **typed))
    assert answer.status_code == 422
    assert why in answer.content.decode()
    assert not DoctorAnswered.objects.exists()


def test_whoever_may_not_clear_reads_it_only(clinician: User, patient: Patient) -> None:
    row = asked(patient, clinician)
    client = Client()
    client.force_login(person_of(Role.ASSISTANT, username="an.assistant"))
    for where in (page(patient), page(patient, row.pk)):
        answer = client.get(where)
        assert answer.status_code == 200
        assert "<form method" not in answer.content.decode().partition("<main")[2]
        assert client.post(where).status_code == 403
