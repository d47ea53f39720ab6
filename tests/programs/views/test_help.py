"""Help on the pages: the tour that can be put away, the terms, the glossary."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Patient
from patients.staff.rights import Role
from patients.views.common import today
from programs.actions.drafting import draft_plan
from programs.help.tour import TOUR
from tests.conftest import PASSWORD
from tests.patients.pages import Inputs
from tests.patients.views.test_who_she_is import words_of
from tests.programs import rows
from tests.staff import person_of

pytestmark = [pytest.mark.django_db, pytest.mark.long]
CASELOAD = reverse("programs:caseload")


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.recorded(clinician)


def put_away(client: Client, at: str, page: str) -> Any:
    sent = Inputs(client.get(at).content.decode()).sent
    return client.post(reverse("programs:tour"), sent | {"tour_page": page})


def told(client: Client, at: str) -> bool:
    return "Tour of this page" in client.get(at).content.decode()


def test_each_page_of_the_tour_tells_its_three_sentences(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    draft_plan(patient=patient, as_of=today(), starts_on=today(), by=clinician, at=timezone.now())
    for page, sentences in TOUR.items():
        of_her = "/patients/" in reverse(page, args=[1]) if _takes_one(page) else False
        at = reverse(page, args=[patient.pk] if of_her else [])
        assert " ".join(sentences) in words_of(signed_in.get(at)), page


def _takes_one(page: str) -> bool:
    try:
        reverse(page, args=[1])
    except Exception:
        return False
    return True


def test_it_is_put_away_for_that_page_and_leads_back_to_it(
    signed_in: Client, patient: Patient
) -> None:
    facts = reverse("patients:facts", args=[patient.pk])
    answer = put_away(signed_in, facts, "patients:facts")
    assert (answer.status_code, answer.headers["Location"]) == (302, facts)
    assert not told(signed_in, facts)
    assert told(signed_in, CASELOAD)


def test_all_are_put_away_and_brought_back_from_the_account(
    client: Client, clinician: User
) -> None:
    client.force_login(clinician)
    put_away(client, CASELOAD, "all")
    assert not told(client, CASELOAD)
    client.logout()
    client.post(reverse("sign_in"), {"username": clinician.username, "password": PASSWORD})
    assert not told(client, CASELOAD)
    account = reverse("patients:account")
    sent = Inputs(client.get(account).content.decode()).sent
    client.post(reverse("programs:tour"), sent)
    assert told(client, CASELOAD)


def test_a_colleague_still_sees_it(client: Client, clinician: User) -> None:
    client.force_login(clinician)
    put_away(client, CASELOAD, "programs:caseload")
    client.force_login(person_of(Role.ASSISTANT, username="other"))
    assert told(client, CASELOAD)


@pytest.mark.parametrize("to", ["https://example.org/", "//example.org/", "", "javascript:0"])
def test_nobody_is_led_away_by_it(signed_in: Client, to: str) -> None:
    sent = Inputs(signed_in.get(CASELOAD).content.decode()).sent
    answer = signed_in.post(
        reverse("programs:tour"), sent | {"tour_page": "programs:caseload", "tour_next": to}
    )
    assert answer.headers["Location"] == reverse("patients:account")


def test_a_page_that_has_none_says_so_and_nothing_breaks(signed_in: Client) -> None:
    answer = put_away(signed_in, CASELOAD, "programs:nowhere")
    assert "This page has no tour." in words_of(signed_in.get(answer.headers["Location"]))


def test_an_error_page_tells_no_tour(client: Client, patient: Patient) -> None:
    client.force_login(person_of(Role.KEEPER, username="keeper"))
    refused = client.get(reverse("programs:plan", args=[patient.pk]))
    assert refused.status_code == 403
    assert "Tour of this page" not in refused.content.decode()


def test_each_term_of_a_page_leads_to_its_place_in_the_glossary(
    signed_in: Client, patient: Patient
) -> None:
    glossary = signed_in.get(reverse("programs:glossary")).content.decode()
    places = set(re.findall(r' id="([^"]+)"', glossary))
    pages = [
        reverse("patients:section", args=[patient.pk, code]) for code in ("falls", "tests", "scans")
    ]
    pages += [reverse(f"programs:{name}", args=[patient.pk]) for name in ("plan", "beside")]
    pages += [reverse("safety:screen", args=[patient.pk]), reverse("safety:rulebook")]
    for page in pages:
        links = re.findall(r'href="/glossary/#([^"]+)"', signed_in.get(page).content.decode())
        assert links, page
        assert set(links) <= places, page


def test_the_glossary_tells_units_answers_and_sources(signed_in: Client) -> None:
    html = words_of(signed_in.get(reverse("programs:glossary")))
    assert "T-score How many standard deviations" in html
    assert "(cm, 100 to 230)" in html
    assert "Answers: yes; no." in html
    assert "From memory, to be confirmed." in html


def test_whoever_is_not_signed_in_sees_neither(client: Client) -> None:
    assert client.get(reverse("programs:glossary")).status_code == 302
    html = client.get(reverse("sign_in")).content.decode()
    assert "Tour of this page" not in html
    assert "Glossary" not in html
