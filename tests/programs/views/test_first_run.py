"""An empty clinic: what to set, in order, with what already holds."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from patients.models.scanners import Scanner
from patients.staff.rights import Role
from programs.actions.clinic import Details, set_details
from programs.actions.emergency_numbers import Emergency, set_emergencies
from programs.actions.plates import add_plates
from programs.views.first_run import to_set
from tests.factories import PatientFactory, UserFactory
from tests.patients.views.test_who_she_is import words_of
from tests.programs.rows import AT
from tests.programs.sample_plates import VERTICAL
from tests.staff import person_of

pytestmark = pytest.mark.django_db
TITLES = [
    "Name of the clinic",
    "Telephone",
    "Whom to call in an emergency, on papers in English",
    "Whom to call in an emergency, on papers in Spanish",
    "Density scanner, with its precision study",
    "Vibration plate, if the clinic has one",
    "Colleagues",
]


def page(client: Client, name: str = "caseload") -> str:
    return words_of(client.get(reverse(f"programs:{name}")))


def test_an_empty_clinic_is_shown_what_to_set_in_order(signed_in: Client) -> None:
    assert [one.title for one in to_set()] == TITLES
    told = page(signed_in)
    assert "Nobody is on record yet: what to set first" in told
    places = [told.index(title) for title in TITLES]
    assert places == sorted(places)
    assert told.count("Not set") == len(TITLES)
    assert "Add the first patient" in told


def test_what_already_holds_is_told(signed_in: Client, clinician: User) -> None:
    set_details(details=Details(name="O'Clinic", phone="01 000"), by=clinician, at=AT)
    set_emergencies(
        given=[Emergency(language="en", number="112", words="Say hip fracture")],
        by=clinician,
        at=AT,
    )
    Scanner.objects.create(name="Room 2")
    add_plates(plates=[VERTICAL], by=clinician, at=AT)
    UserFactory(first_name="Wren", last_name="Fictional")
    held = {one.title: one.holds for one in to_set()}
    assert held["Name of the clinic"] == "O'Clinic"
    assert held["Telephone"] == "01 000"
    assert held["Whom to call in an emergency, on papers in English"] == "112, Say hip fracture"
    assert held["Whom to call in an emergency, on papers in Spanish"] == ""
    assert held["Density scanner, with its precision study"] == "Room 2"
    assert held["Vibration plate, if the clinic has one"] == VERTICAL.name
    assert "Wren Fictional" in held["Colleagues"]
    told = page(signed_in, "clinic")
    assert "What to set, in order: 1 left" in told
    assert "Name of the clinic: O&#x27;Clinic" in told or "Name of the clinic: O'Clinic" in told


def test_words_without_a_number_are_not_enough(clinician: User) -> None:
    set_emergencies(given=[Emergency(language="en", words="Say hip fracture")], by=clinician, at=AT)
    assert {one.title: one.holds for one in to_set()}[TITLES[2]] == ""


def test_of_many_colleagues_three_are_named(clinician: User) -> None:
    for number in range(4):
        UserFactory(first_name=f"Person {number}", last_name="")
    UserFactory(first_name="Gone", is_active=False)
    assert {one.title: one.holds for one in to_set()}["Colleagues"].endswith(" and 2 more")


def test_a_clinic_with_a_patient_has_its_caseload_and_the_list_on_its_own_page(
    signed_in: Client,
) -> None:
    # Whoever took her on is a colleague.
    PatientFactory()
    assert "what to set first" not in page(signed_in)
    assert "What to set, in order: 6 left" in page(signed_in, "clinic")


def test_whoever_may_not_set_it_is_led_to_no_page_that_refuses(client: Client) -> None:
    client.force_login(person_of(Role.ASSISTANT, username="assistant"))
    html = client.get(reverse("programs:caseload")).content.decode()
    assert reverse("programs:clinic_details") not in html
    assert "<strong>Colleagues</strong>" in html
