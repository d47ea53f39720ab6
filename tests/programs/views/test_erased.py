"""Every page of a person whose record was erased says so, and names nobody."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import NoReverseMatch, reverse

from config.rights_of_pages import PAGES
from patients.models.looks import REFUSED, Look
from patients.models.patient import Patient
from patients.staff.rights import Role
from patients.views.form_marks import mark_of
from programs.actions.erasing import erase_person
from tests.patients.pages import text_of
from tests.programs import rows
from tests.programs.rows import AT
from tests.staff import person_of

WHY = "Her request of 3 May 2026"


@pytest.fixture
def her(clinician: User) -> Patient:
    of = rows.recorded(clinician, family_name="Zwanziger")
    erase_person(patient=of, why=WHY, by=clinician, at=AT)
    return of


@pytest.fixture
def signed_in(client: Client, clinician: User, her: Patient) -> Client:
    """Signed in after the erasure, which ends every session."""
    client.force_login(clinician)
    return client


def pages_of(of: Patient) -> list[str]:
    found = []
    for name in PAGES:
        try:
            found.append(reverse(name, kwargs={"patient_id": of.pk}))
        except NoReverseMatch:
            continue
    return found


@pytest.mark.long
def test_every_page_and_form_of_hers_says_it(signed_in: Client, her: Patient) -> None:
    pages = pages_of(her)
    assert len(pages) > 25
    for page in pages:
        for answer in (signed_in.get(page), signed_in.post(page, {"patient": mark_of(her)})):
            if answer.status_code == 405:
                continue
            assert answer.status_code == 410, page
            assert f"Record {her.pk} was erased on 2 Mar 2026 by Marta Ferro: {WHY}." in text_of(
                answer
            )
            assert "Zwanziger" not in answer.content.decode()


def test_a_page_of_a_row_that_was_hers_says_it_too(signed_in: Client, her: Patient) -> None:
    for page in (
        reverse("programs:plan_version", args=[her.pk, 1]),
        reverse("programs:handout_pdf", args=[her.pk, 1]),
        reverse("patients:join", args=[her.pk, rows.patient(her.created_by).pk]),
    ):
        assert signed_in.get(page).status_code == 410, page


def test_that_it_was_asked_for_is_a_refused_look(signed_in: Client, her: Patient) -> None:
    signed_in.get(reverse("patients:facts", args=[her.pk]))
    look = Look.objects.latest("seq")
    assert (look.kind, look.status, look.patient_number) == (REFUSED, 410, her.pk)


def test_who_may_not_read_records_is_not_told(client: Client, her: Patient) -> None:
    client.force_login(person_of(Role.KEEPER, username="keeper"))
    assert client.get(reverse("patients:facts", args=[her.pk])).status_code == 403
    client.logout()
    assert client.get(reverse("patients:facts", args=[her.pk])).status_code == 302


@pytest.mark.parametrize("number", [987654, 2**63])
def test_a_number_that_nobody_had_is_no_erasure(
    signed_in: Client, her: Patient, number: int
) -> None:
    assert signed_in.get(reverse("patients:facts", args=[number])).status_code == 404


def test_lists_and_searches_go_on_without_her(signed_in: Client, her: Patient) -> None:
    there = rows.patient(her.created_by, family_name="Bystander")
    for page in ("patients:caseload", "programs:caseload", "patients:doubles", "programs:outcomes"):
        answer = signed_in.get(reverse(page))
        assert answer.status_code == 200, page
        assert "Zwanziger" not in answer.content.decode()
    for typed in ("Zwanziger", str(her.pk)):
        answer = signed_in.post(reverse("patients:caseload"), {"q": typed}, follow=True)
        assert "Zwanziger" not in answer.content.decode().replace(typed, "")
        assert reverse("patients:facts", args=[her.pk]) not in answer.content.decode()
    answer = signed_in.post(reverse("patients:caseload"), {"q": "Bystander"}, follow=True)
    assert reverse("patients:facts", args=[there.pk]) in answer.content.decode()


def test_the_record_shows_the_erasure_and_the_places_of_her_lines(
    signed_in: Client, her: Patient
) -> None:
    for asked in ({}, {"patient": her.pk}):
        said = text_of(signed_in.get(reverse("programs:clinic_record"), asked))
        assert "erase person" in said
        assert "add patient" in said
        assert "Zwanziger" not in said


def test_the_page_of_how_long_records_are_kept_lists_it(signed_in: Client, her: Patient) -> None:
    said = text_of(signed_in.get(reverse("programs:retention")))
    assert f"Record {her.pk} was erased on 2 Mar 2026 by Marta Ferro: {WHY}." in said
    assert "manage.py erase_person" in said


def test_until_one_was_erased_the_page_says_none(client: Client, clinician: User) -> None:
    client.force_login(clinician)
    assert "None so far." in text_of(client.get(reverse("programs:retention")))
