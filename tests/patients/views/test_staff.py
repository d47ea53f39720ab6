"""The page for the people of the clinic, as its keeper uses it."""

from __future__ import annotations

import re

import pytest
from django.contrib.auth.models import User
from django.test import Client

from patients.may import may_sign, roles_of
from patients.models.patient import Audit
from patients.staff.rights import Role
from tests.conftest import PASSWORD
from tests.staff import person_of

pytestmark = pytest.mark.django_db


def roles_held(user: User) -> set[Role]:
    return set(roles_of([user])[user.pk])


def test_somebody_is_added_and_gets_in_with_the_code(signed_in: Client) -> None:
    typed = {"username": "a.berg", "full_name": "Astrid Berg", "roles": ["assistant"]}
    page = signed_in.post("/people/add/", typed).content.decode()
    code = re.findall(r'one-use-code">([A-Z2-7-]+)<', page)[0]
    assert code not in signed_in.get("/people/").content.decode()
    hers, new = Client(), "seven quiet herons"
    assert hers.post("/sign-in/", {"username": "a.berg", "password": ""}).status_code == 422
    hers.post("/new-password/", {"code": code, "new_password1": new, "new_password2": new})
    hers.post("/sign-in/", {"username": "a.berg", "password": new})
    assert hers.get("/patients/").status_code == 200
    user = User.objects.get(username="a.berg")
    assert (user.get_full_name(), roles_held(user)) == ("Astrid Berg", {Role.ASSISTANT})


@pytest.mark.counted
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"username": "M.Ferro", "full_name": "Marta"}, "an account of this name already"),
        ({"username": "with space", "full_name": "Marta"}, "valid username"),
        ({"username": "", "full_name": "Marta"}, "Write a name to sign in with"),
        ({"username": "a.berg", "full_name": " "}, "A full name is needed"),
        ({"username": "a.berg", "full_name": "A", "roles": ["king"]}, "Select a valid choice"),
    ],
)
def test_what_cannot_be_added_is_said_beside_it(
    signed_in: Client, typed: dict[str, object], said: str
) -> None:
    response = signed_in.post("/people/add/", typed)
    assert response.status_code == 422
    assert said in response.content.decode()
    assert User.objects.count() == 1


@pytest.mark.counted
def test_name_and_roles_are_changed_and_on_record(signed_in: Client, clinician: User) -> None:
    her = person_of(Role.CLINICIAN, username="a.berg")
    address = f"/people/{her.pk}/"
    signed_in.post(address, {"full_name": "Astrid Berg", "roles": ["assistant", "keeper"]})
    her.refresh_from_db()
    assert (her.first_name, roles_held(her)) == ("Astrid Berg", {Role.ASSISTANT, Role.KEEPER})
    assert not may_sign(her)
    page = signed_in.get(address).content.decode()
    assert "clinician taken by Marta Ferro" in page
    lines = Audit.objects.filter(actor=clinician, action__in=["give role", "take role"])
    assert lines.count() == 3


@pytest.mark.counted
def test_the_last_keeper_neither_removes_herself_nor_is_switched_off(
    signed_in: Client, clinician: User
) -> None:
    address = f"/people/{clinician.pk}/"
    page = signed_in.post(address, {"full_name": "Marta Ferro", "roles": ["clinician"]})
    assert page.status_code == 422
    assert "Nobody else looks after the people" in page.content.decode()
    page = signed_in.post(f"{address}switch/", {"on": "no"}, follow=True)
    assert "Nobody else looks after the people" in page.content.decode()
    assert signed_in.get("/people/").status_code == 200
    person_of(Role.KEEPER, username="second")
    moved = signed_in.post(address, {"full_name": "Marta Ferro", "roles": ["clinician"]})
    assert moved.headers["Location"] == "/"
    assert signed_in.get("/people/").status_code == 403


@pytest.mark.counted
def test_switching_off_and_on(signed_in: Client) -> None:
    her = person_of(Role.CLINICIAN, username="a.berg", password=PASSWORD)
    for on, status in (("no", 422), ("yes", 302)):
        signed_in.post(f"/people/{her.pk}/switch/", {"on": on})
        typed = {"username": "a.berg", "password": PASSWORD}
        assert Client().post("/sign-in/", typed).status_code == status
    signed_in.post(f"/people/{her.pk}/switch/", {"on": "no"})
    refused = signed_in.post(f"/people/{her.pk}/code/", follow=True).content.decode()
    assert "Switch it on first" in refused
    assert "switched off" in signed_in.get("/people/").content.decode()


def test_a_code_is_shown_once(signed_in: Client) -> None:
    her = person_of(Role.CLINICIAN, username="a.berg")
    page = signed_in.post(f"/people/{her.pk}/code/").content.decode()
    assert "Shown only this once" in page
    assert "/new-password/" in page
    assert "one-use-code" not in signed_in.get(f"/people/{her.pk}/").content.decode()
