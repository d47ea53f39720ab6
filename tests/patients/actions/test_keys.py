"""The keys of the pages are on, until somebody turns her own off."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.test import Client

from patients.actions.keys import set_keys, wants_keys
from patients.models.patient import Audit
from patients.staff.rights import Role
from tests.conftest import PASSWORD
from tests.programs.rows import AT
from tests.staff import person_of

pytestmark = pytest.mark.django_db


def test_each_turns_her_own_off(clinician: User) -> None:
    other = person_of(Role.CLINICIAN, username="a.berg")
    assert wants_keys(clinician)
    for _ in range(2):
        set_keys(on=False, by=clinician, at=AT)
    assert (wants_keys(clinician), wants_keys(other)) == (False, True)
    assert Audit.objects.filter(action="set keys").count() == 1
    set_keys(on=True, by=clinician, at=AT)
    assert wants_keys(clinician)


def test_off_holds_here_at_once_and_after_each_sign_in(client: Client, clinician: User) -> None:
    typed = {"username": clinician.username, "password": PASSWORD}
    client.post("/sign-in/", typed)
    assert "keys.js" in client.get("/account/").content.decode()
    for on, there in (("no", False), ("yes", True), ("no", False)):
        page = client.post("/account/keys/", {"on": on}, follow=True).content.decode()
        assert ("keys.js" in page) is there
        assert f"Turn the keys {'off' if there else 'on'}" in page
    client.post("/sign-out/")
    client.post("/sign-in/", typed)
    assert "keys.js" not in client.get("/account/").content.decode()
