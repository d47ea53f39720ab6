"""What was typed and not saved, offered again on its page and on the caseload."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.test import Client

from patients.models.looks import Look
from patients.models.patient import Assessment, Patient
from patients.models.unfinished import UnfinishedForm
from patients.staff.rights import Role
from tests.factories import PatientFactory
from tests.patients.pages import filled, text_of, url
from tests.staff import person_of

pytestmark = pytest.mark.django_db
TYPED = {"falls-last_12_months": {"was": [""], "now": ["12 on the stairs"]}}


@pytest.fixture
def patient(db: None) -> Patient:
    made: Patient = PatientFactory()
    return made


def page_of(patient: Patient) -> str:
    return url("section", patient.pk, "falls")


def keep(client: Client, of: Patient, **more: Any) -> int:
    told = {"page": page_of(of), "title": "Falls", "made_from": "", "typed": json.dumps(TYPED)}
    sent = {"patient": str(of.pk)} | told | more
    headers = {"HX-Request": "true"}
    return client.post(url("unfinished", of.pk), sent, headers=headers).status_code


def test_it_is_offered_on_its_page_and_on_the_caseload_to_its_writer_alone(
    signed_in: Client, patient: Patient
) -> None:
    assert keep(signed_in, patient) == 204
    page = text_of(signed_in.get(page_of(patient)))
    assert "12 on the stairs" in page
    assert "The data behind this page have changed since" not in page
    assert "What you typed and left" in text_of(signed_in.get("/"))
    other = Client()
    other.force_login(person_of(Role.CLINICIAN, username="a.berg"))
    for address in (page_of(patient), "/"):
        assert "on the stairs" not in text_of(other.get(address))
        assert "What you typed and left" not in text_of(other.get(address))
    assert "on the stairs" not in text_of(signed_in.get(url("section", patient.pk, "about")))


def test_d07_what_was_typed_before_a_newer_save_comes_back_with_the_difference_said(
    signed_in: Client, patient: Patient
) -> None:
    """Case D07: typed on Monday, changed by somebody on Tuesday, put back on Wednesday."""
    keep(signed_in, patient)
    answers = {"falls-last_12_months": "1", "and_back": "yes", "token": str(uuid4())}
    signed_in.post(page_of(patient), filled(signed_in, page_of(patient)) | answers)
    assert Assessment.objects.count() == 1
    page = text_of(signed_in.get(page_of(patient)))
    assert "The data behind this page have changed since" in page
    assert "12 on the stairs" in page
    assert 'name="falls-last_12_months" value="1"' in page


def test_saving_lets_go_of_it_and_a_refused_form_does_not(
    signed_in: Client, patient: Patient
) -> None:
    keep(signed_in, patient)
    sent = filled(signed_in, page_of(patient)) | {"kept_page": page_of(patient)}
    wrong = signed_in.post(page_of(patient), sent | {"falls-last_12_months": "many"})
    assert wrong.status_code == 422
    assert "You typed here on" not in text_of(wrong)
    assert UnfinishedForm.objects.exists()
    nothing = signed_in.post(page_of(patient), sent | {"and_back": "yes"})
    assert nothing.status_code == 302
    signed_in.post(page_of(patient), sent | {"falls-last_12_months": "1", "token": str(uuid4())})
    assert not UnfinishedForm.objects.exists()


def test_it_is_thrown_away_by_a_button(signed_in: Client, patient: Patient) -> None:
    keep(signed_in, patient)
    drop, sent = url("unfinished_drop", patient.pk), {"patient": str(patient.pk)}
    for elsewhere in ("", "https://elsewhere.example/", "//elsewhere.example/"):
        answer = signed_in.post(drop, sent | {"page": elsewhere})
        assert answer.headers["Location"] == url("facts", patient.pk)
    assert UnfinishedForm.objects.exists()
    answer = signed_in.post(drop, sent | {"page": page_of(patient)})
    assert answer.headers["Location"] == page_of(patient)
    keep(signed_in, patient)
    asked_by_page = {"headers": {"HX-Request": "true"}}
    told = sent | {"page": page_of(patient)}
    assert signed_in.post(drop, told, **asked_by_page).status_code == 204
    assert not UnfinishedForm.objects.exists()


@pytest.mark.counted
def test_what_is_no_form_of_hers_is_not_kept(signed_in: Client, patient: Patient) -> None:
    other = PatientFactory()
    for wrong in (
        {"page": page_of(other)},
        {"page": page_of(patient) + "x" * 200},
        {"typed": "{"},
        {"typed": "[" * 100_000},
        {"typed": "[1]"},
    ):
        assert keep(signed_in, patient, **wrong) == 400, wrong
    assert keep(signed_in, patient, patient=str(other.pk)) == 409
    assert not UnfinishedForm.objects.exists()


def test_keeping_is_one_look_in_a_quarter_of_an_hour_and_none_once_signed_out(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    for _ in range(3):
        keep(signed_in, patient)
    assert Look.objects.filter(page="patients:unfinished").count() == 1
    signed_in.logout()
    assert keep(signed_in, patient) == 401
