"""A password is the one that the record tells of; each way of setting one tells of it."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.hashers import make_password
from django.contrib.auth.models import User
from django.core.management import call_command

from patients import audit
from patients.actions.open_sessions import note_sign_in
from patients.actions.staff import (
    add_person,
    change_password,
    give_code,
    set_password_by_code,
)
from patients.actions.told_passwords import not_yet_told, told_password, why_not_as_told
from patients.models.patient import Audit
from patients.staff.rights import Role
from tests.conftest import PASSWORD
from tests.factories import MOMENT

pytestmark = pytest.mark.database

NEW = "a lantern on a grey pier"


@pytest.fixture
def added(db: None) -> User:
    return add_person(
        username="p.lund",
        full_name="Per Lund",
        roles=[Role.CLINICIAN],
        by=None,
        at=MOMENT,
        password=PASSWORD,
    )


def beside(user: User) -> None:
    """Put another password in past the program."""
    User.objects.filter(pk=user.pk).update(password=make_password(NEW))
    user.refresh_from_db()


def signs_in(user: User) -> None:
    note_sign_in(by=user, session_key="x" * 32, user_agent="", at=MOMENT)


def by_code(user: User) -> None:
    code = give_code(user=user, by=None, at=MOMENT)
    set_password_by_code(code=code, password=NEW, at=MOMENT)


def by_the_shell(user: User) -> None:
    call_command("changepassword", user.username, verbosity=0)


@pytest.mark.parametrize("way", ["added", "changed", "code", "shell"])
def test_each_way_of_setting_one_tells_of_it(
    added: User, way: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("getpass.getpass", lambda *_, **__: NEW)
    match way:
        case "changed":
            change_password(user=added, password=NEW, at=MOMENT)
        case "code":
            by_code(added)
        case "shell":
            by_the_shell(added)
    added.refresh_from_db()
    assert added.check_password(PASSWORD if way == "added" else NEW)
    assert not_yet_told(added) is None
    assert why_not_as_told(added) == ""
    beside(added)
    assert "The password of p.lund was changed outside the program." in why_not_as_told(added)


def test_a_new_one_opens_the_account_again(added: User) -> None:
    beside(added)
    by_code(added)
    added.refresh_from_db()
    assert why_not_as_told(added) == ""


def test_one_from_before_is_told_at_the_first_sign_in_and_once(clinician: User) -> None:
    assert why_not_as_told(clinician) == ""
    for _ in range(2):
        signs_in(clinician)
    told = [line.new for line in Audit.objects.filter(action="sign in").order_by("seq")]
    assert told == [audit.canonical(told_password(clinician)), "null"]
    beside(clinician)
    assert why_not_as_told(clinician)


def test_one_hashed_anew_at_a_sign_in_is_told(added: User) -> None:
    added.set_password(PASSWORD)
    added.save()
    signs_in(added)
    assert why_not_as_told(added) == ""


def test_a_line_that_was_changed_tells_of_nothing(added: User) -> None:
    line = Audit.objects.get(action="add person")
    # In memory alone: the database refuses it.
    forged = line.new.replace(told_password(added)["password"], "0" * 64)
    assert forged != line.new
    line.new = forged
    assert not audit.is_sealed(line)


def test_the_key_from_before_is_known_too(added: User, settings: Any) -> None:
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another key that is long enough to be one"
    assert why_not_as_told(added) == ""
    settings.SECRET_KEY_FALLBACKS = []
    assert why_not_as_told(added)
