"""What every page does: headers, signing in and out, forms that come too late, pages of failure."""

import contextlib
import datetime as dt
import re
from collections.abc import Callable
from typing import Any

import pytest
from django import forms
from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import PermissionDenied, SuspiciousOperation, ValidationError
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import NoReverseMatch, clear_url_caches, path, reverse
from django.utils import formats
from django.utils.html import escape

from config import allowed, urls
from config.rights_of_pages import Anyone, Needs
from patients.models.patient import Patient
from patients.views.form_marks import house_mark
from tests import opened_release
from tests.conftest import PASSWORD
from tests.patients.pages import Inputs

HERE = "http://testserver"


def raising(error: Exception) -> Callable[[HttpRequest], HttpResponse]:
    def view(request: HttpRequest) -> HttpResponse:
        raise error

    return view


FAILURES = {
    400: SuspiciousOperation("no"),
    403: PermissionDenied("no"),
    500: ZeroDivisionError("secret detail"),
    503: OperationalError("database is locked"),
}

handler400, handler403 = urls.handler400, urls.handler403
handler404, handler500 = urls.handler404, urls.handler500
urlpatterns = [
    *urls.urlpatterns,
    path("form/", lambda request: HttpResponse("saved " + request.POST.get("note", "")), name="f"),
    *[path(f"fail/{status}/", raising(error)) for status, error in FAILURES.items()],
]


@pytest.fixture
def with_test_views(settings: object, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.ROOT_URLCONF = __name__  # type: ignore[attr-defined]
    anyone = Needs(to_open=Anyone.SIGNED_IN, to_send=Anyone.SIGNED_IN)
    monkeypatch.setattr(allowed, "PAGES", {"f": anyone, "": anyone})


@pytest.fixture
def strict(clinician: User, with_test_views: None) -> Client:
    """A client that checks form tokens as a browser makes the app do."""
    client = Client(enforce_csrf_checks=True, headers={"Origin": HERE})
    client.force_login(clinician)
    return client


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["/sign-in/", "/nowhere/", "/static/calcar.css", "/stay/"])
def test_headers_on_every_answer(client: Client, address: str) -> None:
    response = client.get(address)
    response.close()
    policy = response.headers["Content-Security-Policy"]
    for part in ("default-src 'self'", "object-src 'none'", "frame-ancestors 'none'"):
        assert part in policy
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert response.headers["Referrer-Policy"] == "same-origin"
    kept_by_browsers = response.headers.get("Cache-Control", "") != "no-store"
    assert kept_by_browsers == address.startswith("/static/")


@pytest.mark.django_db
def test_what_bootstrap_may_not_load_is_taken_away_before_it_comes(client: Client) -> None:
    page = client.get(settings.LOGIN_URL, follow=True).content.decode()
    assert -1 < page.find("before.css") < page.find("bootstrap.min.css") < page.find("calcar.css")


def test_nothing_opens_without_signing_in(client: Client) -> None:
    assert client.get("/stay/").headers["Location"] == "/sign-in/?next=/stay/"


def test_signing_in_and_out(client: Client, clinician: User) -> None:
    typed = {"username": clinician.username, "password": PASSWORD, "next": "/stay/"}
    assert client.post("/sign-in/", typed).headers["Location"] == "/stay/"
    cookie = client.cookies[settings.SESSION_COOKIE_NAME]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Strict"
    old = cookie.value
    client.post("/sign-out/")
    client.cookies[settings.SESSION_COOKIE_NAME] = old
    assert client.get("/stay/").status_code == 302


@pytest.mark.parametrize("typed", [("m.ferro", "wrong wrong wrong"), ("nobody", PASSWORD)])
def test_a_wrong_name_and_a_wrong_password_look_the_same(
    client: Client, clinician: User, typed: tuple[str, str]
) -> None:
    page = client.post("/sign-in/", {"username": typed[0], "password": typed[1]})
    assert page.status_code == 422
    assert "Please enter a correct username and password" in page.content.decode()


@pytest.mark.counted
def test_changing_the_password_ends_other_sessions(signed_in: Client, clinician: User) -> None:
    other = Client()
    other.force_login(clinician)
    new = "seven quiet herons"
    typed = {"old_password": PASSWORD, "new_password1": new, "new_password2": new}
    assert signed_in.post("/password/", typed).status_code == 302
    assert signed_in.get("/stay/").status_code == 204
    assert other.get("/stay/").status_code == 302


class TestSessionLength:
    def test_each_request_starts_the_idle_time_anew(self, signed_in: Client) -> None:
        signed_in.get("/stay/")
        assert settings.SESSION_COOKIE_AGE == 15 * 60
        assert signed_in.cookies[settings.SESSION_COOKIE_NAME]["max-age"] == 15 * 60

    @pytest.mark.parametrize(("later_s", "written"), [(59, False), (60, True)])
    def test_the_idle_time_is_written_once_a_minute(
        self,
        signed_in: Client,
        monkeypatch: pytest.MonkeyPatch,
        later_s: int,
        written: bool,
        django_assert_num_queries: Any,
    ) -> None:
        signed_in.get("/stay/")
        seen = signed_in.session["seen_at"]
        monkeypatch.setattr("config.middleware.time.time", lambda: seen + later_s)
        with django_assert_num_queries(2 + 3 * written):
            signed_in.get("/stay/")

    @pytest.mark.parametrize(("hours_s", "status"), [(12 * 3600 - 60, 204), (12 * 3600 + 1, 302)])
    def test_ends_after_twelve_hours_however_busy(
        self, signed_in: Client, monkeypatch: pytest.MonkeyPatch, hours_s: int, status: int
    ) -> None:
        signed_in.get("/stay/")
        began = signed_in.session["signed_in_at"]
        monkeypatch.setattr("config.middleware.time.time", lambda: began + hours_s)
        assert signed_in.get("/stay/").status_code == status


def test_d05_signing_in_again_on_another_tab_loses_nothing_of_an_open_form(
    clinician: User,
) -> None:
    """D05: the open form failed with a bare 403, and what was typed was gone."""
    browser = Client(enforce_csrf_checks=True, headers={"Origin": HERE})

    def posted(address: str, page: str, **typed: object) -> HttpResponse:
        fields: dict[str, object] = {**Inputs(page).sent, **typed}
        return browser.post(address, fields)

    def signs_in() -> None:
        page = browser.get("/sign-in/").content.decode()
        answer = posted("/sign-in/", page, username="m.ferro", password=PASSWORD)
        assert answer.status_code == 302

    signs_in()
    opened = browser.get("/patients/new/").content.decode()
    posted("/sign-out/", browser.get("/account/").content.decode())
    signs_in()
    typed = {"given_name": "Fictia", "family_name": "D’Or", "born": "1959", "sex": "female"}
    late = posted("/patients/new/", opened, **typed)
    assert late.status_code == 403
    page = late.content.decode()
    assert "What you typed is kept" in page
    kept = dict(re.findall(r'<textarea name="([^"]+)" hidden>\n([^<]*)</textarea>', page))
    assert {name: kept[name] for name in typed} == typed
    token = re.findall(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)[-1]
    saved = browser.post("/patients/new/", {**kept, "csrfmiddlewaretoken": token})
    assert saved.status_code == 302
    assert Patient.objects.get().family_name == "D’Or"


class TestLateForm:
    """A form opened before signing in again on another tab (its token is out of date)."""

    def test_what_was_typed_is_kept_for_one_click(self, strict: Client) -> None:
        page = strict.post(
            "/form/?part=2", {"note": "two\nlines & <b>", "days": ["1", "3"], "password": "hush"}
        )
        html = page.content.decode()
        assert page.status_code == 403
        assert 'action="/form/?part=2"' in html
        assert 'name="note" hidden>\ntwo\nlines &amp; &lt;b&gt;</textarea>' in html
        assert html.count('name="days"') == 2
        assert "hush" not in html

    def test_sent_again_it_is_saved(self, strict: Client) -> None:
        html = strict.post("/form/", {"note": "kept"}).content.decode()
        token = html.split('name="csrfmiddlewaretoken" value="')[-1].split('"')[0]
        sent = {"note": "kept", "csrfmiddlewaretoken": token, "life": house_mark()}
        again = strict.post("/form/", sent)
        assert again.content == b"saved kept"

    @pytest.mark.parametrize("origin", ["https://elsewhere.example", "null", ""])
    def test_another_sites_form_is_not_offered_for_sending(
        self, strict: Client, origin: str
    ) -> None:
        page = strict.post("/form/", {"note": "planted"}, headers={"Origin": origin})
        assert page.status_code == 403
        assert "planted" not in page.content.decode()

    def test_signed_out_meanwhile(self, client: Client, with_test_views: None, db: None) -> None:
        page = client.post("/form/", {"note": "kept"}, headers={"Origin": HERE})
        assert page.status_code == 401
        assert "kept</textarea>" in page.content.decode()
        assert "Sign in on a new tab" in page.content.decode()

    def test_part_of_a_page_asked_for_when_signed_out(self, client: Client, db: None) -> None:
        answer = client.get("/stay/", headers={"HX-Request": "true"})
        assert answer.headers["HX-Redirect"] == "/sign-in/"
        assert answer.content == b""

    def test_what_is_being_typed_is_not_left_for_signing_in(self, client: Client, db: None) -> None:
        answer = client.post("/stay/", headers={"HX-Request": "true"})
        assert answer.status_code == 401
        assert "HX-Redirect" not in answer.headers


@pytest.mark.parametrize("status", FAILURES)
def test_failures_are_told_in_plain_words(
    signed_in: Client, with_test_views: None, status: int
) -> None:
    signed_in.raise_request_exception = False
    page = signed_in.get(f"/fail/{status}/")
    assert page.status_code == status
    html = page.content.decode()
    assert "<h1>" in html
    assert "secret detail" not in html
    assert "Error" not in html


@pytest.mark.parametrize("host", ["192.168.1.20", "clinic.example:8000", "<b>.example"])
def test_n05_a_name_that_is_not_this_servers_is_said_with_its_setting(
    client: Client, host: str
) -> None:
    """N05: from another computer there was a bare 400, as if the page had to be loaded again."""
    answer = client.get("/", headers={"host": host})
    page = answer.content.decode()
    assert answer.status_code == 400
    assert f"<strong>{escape(host)}</strong>" in page
    assert "CALCAR_HOSTS" in page


@pytest.mark.parametrize(
    ("error", "named"),
    [
        ("database is locked", "The records are busy"),
        ("database or disk is full", "The disk is full"),
        ("attempt to write a readonly database", "The database cannot be written to"),
        ("database disk image is malformed", "The database is damaged"),
        ("no such column: x", "The database is not of this release"),
        ("connection failed: Connection refused", "The database server does not answer"),
    ],
)
def test_a_broken_machine_is_called_what_it_is(
    signed_in: Client, with_test_views: None, error: str, named: str
) -> None:
    signed_in.raise_request_exception = False
    urlpatterns.append(path("broken/", raising(OperationalError(error))))
    clear_url_caches()
    try:
        page = signed_in.get("/broken/")
    finally:
        urlpatterns.pop()
        clear_url_caches()
    assert page.status_code == 503
    assert f"<h1>{named}" in page.content.decode()
    assert error not in page.content.decode()


class TestHeadAndOptions:
    """Every address answers HEAD as it answers GET, and OPTIONS with what it takes."""

    def addresses(self) -> list[str]:
        sample = {"patient_id": 1, "code": "balance", "number": 1, "name": "x"}
        found = []
        for name, needed in opened_release.addresses():
            given = {key: sample.get(key, 1) for key in needed}
            with contextlib.suppress(NoReverseMatch):
                found.append(reverse(name, kwargs=given))
        return found

    def test_options(self, signed_in: Client) -> None:
        addresses = self.addresses()
        assert len(addresses) > 70
        with_get = 0
        for address in addresses:
            answer = signed_in.options(address)
            # Signing in leads on who is signed in already.
            assert answer.status_code in {200, 204, 302, 404}, address
            taken = answer.headers.get("Allow", "").split(", ")
            with_get += "GET" in taken
            assert ("GET" in taken) == ("HEAD" in taken), address
        assert with_get > 50

    @pytest.mark.parametrize("address", ["/", "/patients/new/", "/clinic/", "/scanners/"])
    def test_head(self, signed_in: Client, address: str) -> None:
        got, head = signed_in.get(address), signed_in.head(address)
        assert (head.status_code, got.status_code) == (200, 200)

    def test_nothing_is_changed_by_asking(self, signed_in: Client) -> None:
        assert signed_in.options("/sign-out/").status_code == 200
        assert signed_in.head("/clinic/limits/plate.top_g/").status_code == 200
        assert signed_in.get("/stay/").status_code == 204


@pytest.mark.parametrize(
    ("password", "taken"),
    [
        ("14 characters.", False),
        ("15 odd signs. !", True),
        ("pässphräse mit ümläuten", True),
        (" trailing space kept ", True),
        ("seven quiet herons over a long grey tramline, and never a word more of it", True),
    ],
)
def test_passwords(password: str, taken: bool) -> None:
    if taken:
        validate_password(password)
    else:
        with pytest.raises(ValidationError):
            validate_password(password)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("1950-04-03", dt.date(1950, 4, 3)),
        ("1948-02-29", dt.date(1948, 2, 29)),
        ("03/04/1950", None),
        ("4/3/50", None),
        ("1949-02-29", None),
        ("50-04-03", None),
    ],
)
def test_dates_are_typed_year_first_only(typed: str, read: dt.date | None) -> None:
    field = forms.DateField()
    if read:
        assert field.clean(typed) == read
    else:
        with pytest.raises(ValidationError):
            field.clean(typed)


def test_dates_are_shown_with_the_months_name() -> None:
    assert formats.date_format(dt.date(2026, 3, 2)) == "2 March 2026"
