"""The second step of signing in: after the right password alone, under the one brake, on record."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterator
from contextlib import contextmanager
from unittest import mock

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from patients.actions.codes import take_away
from patients.actions.staff import change_password, switch
from patients.audit import verify_chain
from patients.models.codes import OneTimeCodes
from patients.models.patient import Audit
from patients.models.staff import PasswordTry
from patients.staff.rights import Role
from tests.conftest import PASSWORD
from tests.patients.codes import STEP, code_at, with_codes
from tests.staff import person_of

pytestmark = pytest.mark.django_db

START = dt.datetime(2026, 3, 2, 9, 30, 15, tzinfo=dt.UTC)
MINUTE = dt.timedelta(minutes=1)
HERS, STRANGERS = "192.0.2.7", "198.51.100.9"


@contextmanager
def it_is(moment: dt.datetime) -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=moment):
        yield


@pytest.fixture(autouse=True)
def at_the_start() -> Iterator[None]:
    """Let sessions last: they too end by the clock."""
    with it_is(START):
        yield


@pytest.fixture
def secret(clinician: User) -> bytes:
    return with_codes(clinician, START - 100 * STEP)[0]


def gives_password(client: Client, at: dt.datetime = START, address: str = HERS) -> str:
    """Return where the right password leads."""
    typed = {"username": "m.ferro", "password": PASSWORD, "next": "/plates/"}
    with it_is(at):
        page = client.post("/sign-in/", typed, REMOTE_ADDR=address)
    assert page.status_code == 302
    return str(page["Location"])


def gives_code(client: Client, code: str, at: dt.datetime = START, address: str = HERS) -> str:
    """Return where a code leads, or "wrong" or "wait"."""
    with it_is(at):
        page = client.post("/sign-in/code/", {"code": code}, REMOTE_ADDR=address)
    if page.status_code == 302:
        return str(page["Location"])
    assert page.status_code == 422
    return "wait" if "Too many wrong codes. Try again at" in page.content.decode() else "wrong"


def is_in(client: Client) -> bool:
    return bool(client.get("/stay/").status_code == 204)


def written() -> list[str]:
    return list(Audit.objects.order_by("seq").values_list("action", flat=True))


def test_the_password_alone_lets_nobody_in(client: Client, secret: bytes) -> None:
    assert gives_password(client) == "/sign-in/code/"
    assert not is_in(client)
    assert client.get("/account/").status_code == 302
    assert gives_code(client, code_at(secret, START)) == "/plates/"
    assert is_in(client)


def test_no_code_is_asked_for_before_the_right_password(client: Client, secret: bytes) -> None:
    assert client.get("/sign-in/code/")["Location"] == "/sign-in/"
    assert gives_code(client, code_at(secret, START)) == "/sign-in/"
    wrong = {"username": "m.ferro", "password": "wrong wrong wrong"}
    assert client.post("/sign-in/", wrong).status_code == 422
    assert gives_code(client, code_at(secret, START)) == "/sign-in/"
    assert not is_in(client)


def test_signing_in_is_on_record_with_what_was_given(client: Client, clinician: User) -> None:
    secret, made = with_codes(clinician, START - 100 * STEP)
    gives_password(client)
    assert gives_code(client, "000000") == "wrong"
    gives_code(client, code_at(secret, START))
    client.post("/sign-out/")
    gives_password(client)
    gives_code(client, made[0])
    assert written() == [
        "turn one-time codes on",
        "wrong one-time code at second step of sign-in",
        *("use one-time code", "sign in", "sign out"),
        *("use recovery code", "sign in"),
    ]
    wrong = Audit.objects.get(action__startswith="wrong")
    assert (wrong.actor, wrong.object_id, wrong.source_address) == (None, str(clinician.pk), HERS)
    told = Audit.objects.filter(action="sign in").order_by("seq").values_list("new", flat=True)
    assert ['"with":"one-time code"' in told[0], '"with":"recovery code"' in told[1]] == [True] * 2
    assert verify_chain() is None


def test_a_code_seen_over_her_shoulder_is_worth_nothing(secret: bytes) -> None:
    hers, theirs = Client(), Client()
    code = code_at(secret, START)
    for client in (hers, theirs):
        gives_password(client)
    assert gives_code(hers, code) == "/plates/"
    assert gives_code(theirs, code) == "wrong"
    assert gives_code(theirs, code, START + STEP) == "wrong"
    assert not is_in(theirs)


def test_five_wrong_codes_in_a_quarter_of_an_hour_from_all_strange_places(secret: bytes) -> None:
    """Whoever has her password may have many addresses and sessions, and gets no more by them."""
    told = []
    for n in range(11):
        client, address = Client(), f"198.51.100.{n}"
        gives_password(client, START, address)
        told.append(gives_code(client, f"{n:06d}", START + n * dt.timedelta(seconds=20), address))
    assert told == ["wrong"] * 5 + ["wait"] * 6
    assert written().count("too many tries at second step of sign-in") == 2


def test_her_own_browser_gets_in_while_a_stranger_with_her_password_guesses(
    secret: bytes,
) -> None:
    hers, theirs = Client(), Client()
    gives_password(hers, START)
    gives_code(hers, code_at(secret, START), START)
    hers.cookies.pop(settings.SESSION_COOKIE_NAME)
    gives_password(theirs, START, STRANGERS)
    for n in range(6):
        gives_code(theirs, f"{n:06d}", START + 2 * STEP, STRANGERS)
    assert gives_code(theirs, code_at(secret, START + 2 * STEP), START + 2 * STEP) == "wait"
    gives_password(hers, START + 3 * STEP)
    then = START + 3 * STEP
    assert gives_code(hers, code_at(secret, then), then) == "/plates/"


def test_a_right_code_takes_back_its_own_try_and_no_other(client: Client, secret: bytes) -> None:
    gives_password(client)
    for n in range(4):
        gives_code(client, f"{n:06d}")
    assert gives_code(client, code_at(secret, START)) == "/plates/"
    assert PasswordTry.objects.filter(question="second step of sign-in").count() == 4


def test_the_right_password_lasts_five_minutes(client: Client, secret: bytes) -> None:
    gives_password(client)
    with mock.patch.object(time, "time", return_value=time.time() + 5 * 60 + 1):
        assert gives_code(client, code_at(secret, START)) == "/sign-in/"
    assert not is_in(client)


@pytest.mark.parametrize("what", ["switched off", "new password"])
def test_it_ends_with_the_account_and_with_the_password(
    client: Client, clinician: User, secret: bytes, what: str
) -> None:
    gives_password(client)
    if what == "switched off":
        other = person_of(Role.KEEPER, username="other")
        switch(user=clinician, on=False, by=other, at=START)
    else:
        change_password(user=clinician, password="seven quiet herons", at=START)
    assert gives_code(client, code_at(secret, START)) == "/sign-in/"
    assert not is_in(client)


def test_codes_changed_past_the_program_let_nobody_in(
    client: Client, clinician: User, secret: bytes
) -> None:
    other = Client()
    gives_password(other)
    OneTimeCodes.objects.all().delete()
    typed = {"username": "m.ferro", "password": PASSWORD}
    page = client.post("/sign-in/", typed).content.decode()
    assert "The one-time codes of m.ferro were changed past the program" in page
    assert not is_in(client)
    assert gives_code(other, code_at(secret, START)) == "wrong"
    assert not is_in(other)


def test_codes_that_were_taken_away_are_told_at_the_next_sign_in(
    client: Client, clinician: User, secret: bytes
) -> None:
    keeper = person_of(Role.KEEPER, username="k.vale")
    take_away(user=clinician, reason="Telephone lost on the tram", by=keeper, at=START)
    assert gives_password(client) == "/plates/"
    page = client.get("/account/").content.decode()
    assert "Test k.vale took your one-time codes away" in page
    assert "Telephone lost on the tram" in page
    client.post("/sign-out/")
    gives_password(client)
    assert "took your one-time codes away" not in client.get("/account/").content.decode()


def test_few_recovery_codes_are_told(client: Client, clinician: User) -> None:
    _, made = with_codes(clinician, START - 100 * STEP)
    for one in made[:6]:
        gives_password(client)
        gives_code(client, one)
        client.post("/sign-out/")
    gives_password(client)
    gives_code(client, made[7])
    assert "You have 3 recovery codes left." in client.get("/account/").content.decode()


def test_the_session_is_another_one_after_each_step(client: Client, secret: bytes) -> None:
    session = client.session
    session["planted"] = "yes"
    session.save()
    seen = [session.session_key]
    gives_password(client)
    seen.append(client.cookies[settings.SESSION_COOKIE_NAME].value)
    gives_code(client, code_at(secret, START))
    seen.append(client.cookies[settings.SESSION_COOKIE_NAME].value)
    assert len(set(seen)) == 3


def test_the_page_says_nothing_of_her(client: Client, secret: bytes) -> None:
    gives_password(client)
    page = client.get("/sign-in/code/").content.decode()
    assert "Ferro" not in page
    assert 'autocomplete="one-time-code"' in page
