"""One's own one-time codes, on the page of the account; who must use them, on that of people."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from patients.actions.codes import ask_codes_of, codes_of, recovery_left
from patients.models.patient import Audit
from patients.models.staff import OpenSession
from patients.staff.one_time_codes import Whom
from patients.staff.rights import Role
from tests.conftest import PASSWORD, MarkedClient
from tests.patients.codes import code_at, secret_of, with_codes
from tests.staff import person_of

pytestmark = pytest.mark.django_db
NOON = dt.datetime(2026, 3, 2, 12, 0, 15, tzinfo=dt.UTC)
SECRET = re.compile(r'<p class="one-use-code">([A-Z2-7 ]+)</p>')
RECOVERY = re.compile(r'<li class="one-use-code">([A-Z2-7-]+)</li>')


@pytest.fixture(autouse=True)
def at_noon() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=NOON):
        yield


@pytest.fixture
def session(clinician: User) -> Client:
    """Signed in by the page, so that the session is one that can be ended."""
    client = MarkedClient()
    client.post("/sign-in/", {"username": "m.ferro", "password": PASSWORD})
    return client


def page(client: Client, address: str) -> str:
    return client.get(address).content.decode()


def test_turned_on_with_the_first_code_and_the_password(session: Client, clinician: User) -> None:
    shown = page(session, "/account/codes/")
    secret = secret_of(SECRET.findall(shown)[0])
    assert len(secret) == 20
    assert SECRET.findall(page(session, "/account/codes/")) == SECRET.findall(shown)
    typed = {"code": code_at(secret, NOON), "password": PASSWORD}
    for wrong in ({"code": "000000"}, {"password": "wrong wrong wrong"}, {"code": ""}):
        assert session.post("/account/codes/", typed | wrong).status_code == 422
        assert codes_of(clinician) is None
    told = session.post("/account/codes/", typed).content.decode()
    assert len(set(RECOVERY.findall(told))) == recovery_left(clinician) == 10
    assert "10 recovery codes left" in page(session, "/account/")
    assert not RECOVERY.findall(page(session, "/account/codes/"))
    assert not SECRET.findall(page(session, "/account/codes/"))


def test_the_square_is_drawn_in_the_page_and_loads_nothing(session: Client) -> None:
    shown = page(session, "/account/codes/")
    square = shown[shown.index("<svg") : shown.index("</svg>")]
    assert "<path" in square
    for forbidden in ("data:", "style=", "href", "<style", "<script"):
        assert forbidden not in square


def test_the_secret_waits_sealed_in_the_session(session: Client) -> None:
    text = SECRET.findall(page(session, "/account/codes/"))[0]
    kept = session.session["new_secret"]
    assert text.replace(" ", "") not in kept
    assert secret_of(text).hex() not in kept


def test_turned_off_with_the_password(session: Client, clinician: User) -> None:
    with_codes(clinician, NOON)
    wrong = session.post("/account/codes/off/", {"password": "wrong wrong wrong"})
    assert wrong.status_code == 422
    assert "This is not your password" in wrong.content.decode()
    assert codes_of(clinician) is not None
    session.post("/account/codes/off/", {"password": PASSWORD})
    assert codes_of(clinician) is None
    assert "off: your password alone" in page(session, "/account/")


def test_new_recovery_codes_with_the_password(session: Client, clinician: User) -> None:
    _, before = with_codes(clinician, NOON)
    assert session.post("/account/codes/recovery/", {"password": ""}).status_code == 422
    told = session.post("/account/codes/recovery/", {"password": PASSWORD}).content.decode()
    now = RECOVERY.findall(told)
    assert len(now) == 10
    assert not set(now) & set(before)
    session.post("/account/codes/off/", {"password": PASSWORD})
    late = session.post("/account/codes/recovery/", {"password": PASSWORD}, follow=True)
    assert not RECOVERY.findall(late.content.decode())


@pytest.mark.parametrize("form", ["", "off/", "recovery/"])
def test_each_question_for_the_password_has_the_one_brake(
    session: Client, clinician: User, form: str
) -> None:
    if form:
        with_codes(clinician, NOON)
    typed = {"code": "000000", "password": "wrong wrong wrong"}
    told = [
        session.post(f"/account/codes/{form}", typed).content.decode().count("Too many wrong")
        for _ in range(6)
    ]
    assert told[:5] == [0] * 5
    assert told[5]
    lines = Audit.objects.filter(action="wrong password at change of one-time codes")
    assert lines.count() == 5
    late = session.post(f"/account/codes/{form}", typed | {"password": PASSWORD})
    assert "Too many wrong passwords" in late.content.decode()


class TestOnThePageOfPeople:
    """A keeper takes somebody's codes away, and says of whom they are asked."""

    def test_taken_away_with_a_reason(self, session: Client) -> None:
        her = person_of(Role.CLINICIAN, username="p.lund")
        address = f"/people/{her.pk}/"
        assert "Take the codes away" not in page(session, address)
        with_codes(her, NOON)
        assert "Take the codes away" in page(session, address)
        session.post(f"{address}codes/", {"reason": ""})
        assert "Write down the reason" in page(session, address)
        session.post(f"{address}codes/", {"reason": "Telephone lost"})
        assert codes_of(her) is None
        assert Audit.objects.get(action="take one-time codes away").reason == "Telephone lost"

    def test_not_ones_own(self, session: Client, clinician: User) -> None:
        with_codes(clinician, NOON)
        assert "Take the codes away" not in page(session, f"/people/{clinician.pk}/")
        session.post(f"/people/{clinician.pk}/codes/", {"reason": "Mine"})
        assert codes_of(clinician) is not None

    def test_who_has_them_is_listed(self, session: Client, clinician: User) -> None:
        assert page(session, "/people/").count("<td>on</td>") == 0
        with_codes(clinician, NOON)
        assert page(session, "/people/").count("<td>on</td>") == 1

    def test_asked_of_everyone(self, session: Client) -> None:
        assert session.post("/people/codes/", {"whom": "some"}).status_code == 422
        session.post("/people/codes/", {"whom": "everybody"})
        assert "Everyone who signs in must." in page(session, "/people/")
        assert "Everyone who signs in must" in page(session, "/clinic/")


class TestAsked:
    """Who must use codes turns them on before anything else."""

    @pytest.fixture
    def led(self, clinician: User) -> Client:
        ask_codes_of(whom=Whom.SIGNERS, by=clinician, at=NOON)
        client = MarkedClient()
        client.post("/sign-in/", {"username": "m.ferro", "password": PASSWORD})
        return client

    def test_every_page_leads_there(self, led: Client, clinician: User) -> None:
        for address in ("/", "/patients/", "/account/", "/people/", "/password/", "/clinic/"):
            assert led.get(address)["Location"] == "/account/codes/", address
            assert led.post(address)["Location"] == "/account/codes/", address
        part = led.get("/", headers={"HX-Request": "true"})
        assert part["HX-Redirect"] == "/account/codes/"
        shown = page(led, "/account/codes/")
        assert "Your clinic asks you for one-time codes" in shown
        typed = {"code": code_at(secret_of(SECRET.findall(shown)[0]), NOON), "password": PASSWORD}
        led.post("/account/codes/", typed)
        assert led.get("/patients/").status_code == 200
        assert codes_of(clinician) is not None

    def test_they_stay_on(self, led: Client, clinician: User) -> None:
        with_codes(clinician, NOON)
        assert led.get("/patients/").status_code == 200
        refused = led.post("/account/codes/off/", {"password": PASSWORD})
        assert refused.status_code == 422
        assert codes_of(clinician) is not None

    def test_she_may_leave(self, led: Client) -> None:
        assert led.get("/time-left/").status_code == 200
        led.post("/sign-out/")
        assert not OpenSession.objects.exists()

    def test_no_longer_asked_no_longer_led(self, led: Client, clinician: User) -> None:
        ask_codes_of(whom=Whom.NOBODY, by=clinician, at=NOON)
        assert led.get("/patients/").status_code == 200

    def test_of_whom_they_are_not_asked(self, led: Client) -> None:
        person_of(Role.ASSISTANT, username="a.holm", password=PASSWORD)
        client = MarkedClient()
        client.post("/sign-in/", {"username": "a.holm", "password": PASSWORD})
        assert client.get("/patients/").status_code == 200
