"""The door, as the rows of config.asvs ask for it, where no other test shows it already."""

from __future__ import annotations

import logging
import re
import runpy
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.hashers import MD5PasswordHasher
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from config.rights_of_pages import PAGES, Anyone
from patients.models.patient import Audit, Patient
from programs.actions import papers
from tests.config.test_rights_of_pages import ROUTES, filled
from tests.conftest import PASSWORD, MarkedClient
from tests.gate.project import ROOT, files

pytestmark = [pytest.mark.django_db, pytest.mark.long]

HER_PHONE = "/week/"
#: Rows of these are no change: a session's own life, and that somebody looked.
LOOKS = {"sessions.session", "patients.look", "patients.opensession"}
NEW = {"given_name": "Fictia", "family_name": "Examplewoman", "born": "1959", "sex": "female"}


@pytest.fixture
def served_by_tls(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """The settings as they are where the clinic serves by TLS."""
    monkeypatch.setenv("CALCAR_TLS", "1")
    monkeypatch.setenv("CALCAR_STATE", str(tmp_path))
    return runpy.run_path(str(ROOT / "config" / "settings.py"))


@pytest.mark.slow
def test_every_answer_has_the_headers_and_asking_changes_nothing(
    signed_in: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every address there is, what is not found and what is refused included."""
    monkeypatch.setattr(papers, "pdf", lambda *_, **__: b"%PDF")
    before = counts()
    for name, route in ROUTES.items():
        answer = signed_in.get(filled(route))
        answer.getvalue()
        held = answer.headers
        for part in (
            *("default-src 'self'", "object-src 'none'", "base-uri 'none'"),
            *("frame-ancestors 'none'", "form-action 'self'"),
        ):
            assert part in held["Content-Security-Policy"], name
        assert "unsafe" not in held["Content-Security-Policy"]
        assert held["X-Content-Type-Options"] == "nosniff", name
        of_her_phone = filled(route).startswith(HER_PHONE)
        told = "no-referrer" if of_her_phone else "same-origin"
        assert held["Referrer-Policy"] == told, name
        assert held["Cache-Control"] == "no-store", name
    assert counts() == before


def counts() -> dict[str, int]:
    """Return how many rows each table has."""
    models = [model for model in apps.get_models() if model._meta.label_lower not in LOOKS]
    return {model._meta.label: model._base_manager.count() for model in models}


@pytest.mark.slow
def test_no_form_is_taken_without_its_token_against_forgery(clinician: User) -> None:
    strict, sent = Client(enforce_csrf_checks=True), 0
    strict.force_login(clinician)
    for name, route in ROUTES.items():
        if name == "time_left":
            continue
        before = counts()
        answer = strict.post(filled(route), NEW)
        # Her phone's forms carry a mark of her own cookie instead: a browser that tells nobody
        # where it comes from cannot show the other. Without it they do nothing.
        if filled(route).startswith(HER_PHONE):
            assert answer.status_code < 500, name
            assert counts() == before, name
            continue
        assert answer.status_code in (403, 405), name
        sent += answer.status_code == 403
    assert sent > 90
    assert not Patient.objects.exists()


def test_no_cookie_is_loose(served_by_tls: dict[str, Any], settings: Any, clinician: User) -> None:
    names = ("SESSION_COOKIE_NAME", "SESSION_COOKIE_SECURE", "CSRF_COOKIE_NAME")
    for name in (*names, "CSRF_COOKIE_SECURE", "SESSION_COOKIE_SAMESITE", "CSRF_COOKIE_SAMESITE"):
        setattr(settings, name, served_by_tls[name])
    client = Client()
    client.get("/sign-in/", secure=True)
    typed = {"username": "m.ferro", "password": PASSWORD}
    assert client.post("/sign-in/", typed, secure=True).status_code == 302
    assert len(client.cookies) == 3
    for name, cookie in client.cookies.items():
        assert name.startswith("__Host-")
        assert (cookie["secure"], cookie["httponly"]) == (True, True), name
        assert (cookie["path"], cookie["domain"]) == ("/", ""), name
        assert cookie["samesite"] == "Strict", name


def test_by_tls_alone_and_for_a_year(served_by_tls: dict[str, Any]) -> None:
    assert served_by_tls["SECURE_SSL_REDIRECT"]
    assert served_by_tls["SECURE_HSTS_SECONDS"] >= 365 * 24 * 60 * 60


def test_nothing_of_a_failure_is_shown_and_passwords_are_hashed_slowly(
    served_by_tls: dict[str, Any],
) -> None:
    assert served_by_tls["DEBUG"] is False
    assert served_by_tls["PASSWORD_HASHERS"][0].endswith("Argon2PasswordHasher")


def test_a_new_installation_has_no_account(db: None) -> None:
    assert not User.objects.exists()


def test_no_password_is_too_old(client: Client, clinician: User) -> None:
    User.objects.update(date_joined="1999-01-01T00:00:00Z", last_login="1999-01-01T00:00:00Z")
    typed = {"username": "m.ferro", "password": PASSWORD, "next": "/account/"}
    assert client.post("/sign-in/", typed)["Location"] == "/account/"


def test_a_password_is_taken_as_typed_and_may_be_pasted(client: Client, clinician: User) -> None:
    for near in (PASSWORD.upper(), PASSWORD + " ", " " + PASSWORD, PASSWORD[:-1]):
        typed = {"username": "m.ferro", "password": near}
        assert client.post("/sign-in/", typed).status_code == 422, near
    page = client.get("/sign-in/").content.decode()
    assert 'autocomplete="current-password"' in page
    assert "onpaste" not in page


def test_a_name_nobody_has_takes_as_long(
    client: Client, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What takes long is the hash: it is made once for either, whatever the machine."""
    made: list[str] = []
    encode = MD5PasswordHasher.encode

    def counted(self: MD5PasswordHasher, password: str, salt: str) -> str:
        made.append(password)
        return encode(self, password, salt)

    monkeypatch.setattr(MD5PasswordHasher, "encode", counted)
    for name in ("m.ferro", "nobody"):
        client.post("/sign-in/", {"username": name, "password": "wrong wrong wrong"})
        assert made == ["wrong wrong wrong"], name
        made.clear()


def test_signing_in_begins_another_session(client: Client, clinician: User) -> None:
    client.get("/patients/")
    session = client.session
    session["planted"] = "yes"
    session.save()
    before = session.session_key
    client.post("/sign-in/", {"username": "m.ferro", "password": PASSWORD})
    assert client.session.session_key != before
    assert client.session["_auth_user_id"] == str(clinician.pk)


def test_signing_out_asks_the_browser_to_forget(signed_in: Client) -> None:
    answer = signed_in.post("/sign-out/")
    assert answer.headers["Clear-Site-Data"] == '"cache", "storage"'


def test_fields_that_no_form_has_are_not_taken(signed_in: Client, clinician: User) -> None:
    more = {"created_by": "99", "id": "77", "created_at": "1999-01-01", "version": "9"}
    signed_in.post(reverse("patients:new"), NEW | more)
    her = Patient.objects.get()
    assert (her.created_by, her.version) == (clinician, 1)
    assert her.pk != 77
    before = User.objects.values("username", "is_superuser", "is_active", "password").get()
    more = {"username": "root", "is_superuser": "", "is_active": "", "password": "x", "roles": "x"}
    signed_in.post("/account/name/", {"full_name": "Marta Ferro the Second"} | more)
    clinician.refresh_from_db()
    assert clinician.first_name == "Marta Ferro the Second"
    after = User.objects.values("username", "is_superuser", "is_active", "password").get()
    assert after == before


def test_a_name_of_several_lines_stays_one_line_of_any_log(
    client: Client, clinician: User, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.DEBUG):
        name = "m.ferro\r\n2026-03-02 sign in by the keeper"
        client.post("/sign-in/", {"username": name, "password": "wrong wrong wrong"})
    (line,) = Audit.objects.all()
    assert line.action == "wrong password at sign-in"
    assert "keeper" not in line.new + line.object_id + line.actor_name
    assert not [said for said in caplog.messages if "by the keeper" in said]


def test_nothing_is_read_that_could_run() -> None:
    """Neither pickled objects nor text is turned into running code, sessions included."""
    runs = re.compile(r"\b(?:pickle|marshal|shelve|yaml|jsonpickle)\b|\b(?:eval|exec)\(")
    source = [path for path in files(".py") if path.parts[0] in ("config", *APPS)]
    found = [str(path) for path in source if runs.search((ROOT / path).read_text())]
    assert len(source) > 400
    assert found == []


APPS = ("patients", "safety", "programs")


def test_without_signing_in_nothing_is_sent(db: None) -> None:
    stranger = MarkedClient()
    for name, needs in PAGES.items():
        if needs.to_send is not Anyone.ALL:
            assert stranger.post(filled(ROUTES[name]), NEW).status_code == 401, name
    assert not Patient.objects.exists()
