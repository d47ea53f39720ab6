"""Her own phone: a code opens it once, on this week alone; what she writes stays hers."""

from __future__ import annotations

import datetime as dt
import logging
import re
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from config.logs import WithoutCodes
from patients.models.patient import Audit
from patients.models.staff import PasswordTry
from programs.actions import phone_codes
from programs.actions.phone_codes import end_code, make_code
from programs.actions.program_state import stop_program
from programs.models.phone import PhoneCode, PhoneEnd, PhoneEntry, PhoneOpening
from programs.models.program import SignedPlan
from programs.papers.emergency import AMBULANCE, STOP
from programs.views.her_phone import NONCE, PHONE
from tests.patients.pages import text_of
from tests.programs import reviews
from tests.programs.her_phone import WEEK, get, is_closed, new_phone, opened, post
from tests.programs.rows import AT

pytestmark = [pytest.mark.django_db, pytest.mark.long]


@pytest.fixture(autouse=True)
def wednesday() -> Iterator[None]:
    """It is noon on Wednesday of the first week."""
    with mock.patch.object(timezone, "now", return_value=AT + dt.timedelta(days=2)):
        yield


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


@pytest.fixture
def code(signed: SignedPlan, clinician: User) -> str:
    return made(signed, clinician)


@pytest.fixture
def phone() -> Client:
    return new_phone()


def made(signed: SignedPlan, by: User, language: str = "en") -> str:
    return make_code(signed=signed, language=language, by=by, at=timezone.now())[1]


# --- H01, H03, H07 ------------------------------------------------------------------------------


def test_h01_the_second_phone_is_refused(phone: Client, code: str) -> None:
    """H01: a code worked again for all of its minutes."""
    response = opened(phone, code)
    assert (response.status_code, response.url) == (302, WEEK)
    assert "Week 1" in text_of(get(phone))
    second = new_phone()
    refused = opened(second, code)
    assert refused.status_code == 404
    assert is_closed(refused)
    assert PHONE not in second.cookies
    assert is_closed(get(second))
    assert PhoneOpening.objects.count() == 1
    assert "Week 1" in text_of(get(phone))


def test_h01_no_log_has_the_code(code: str) -> None:
    address = reverse("programs:her_code", args=["en", code])
    line = logging.LogRecord("django.request", 40, "x", 1, "Failed: %s?x", (address,), None)
    told = WithoutCodes("{message}", style="{").format(line)
    assert told == "Failed: /week/en/.../?x"
    assert code not in told


def test_opening_the_address_spends_nothing_and_asks_nothing(
    phone: Client, code: str, django_assert_num_queries: Any
) -> None:
    address = reverse("programs:her_code", args=["en", code])
    with django_assert_num_queries(0):
        for _ in range(3):
            page = get(phone, address)
    assert text_of(page).count("<button") == 1
    assert "Open this week" in text_of(page)
    assert phone.head(address, secure=True).status_code == 200
    assert PhoneOpening.objects.count() == 0
    assert PasswordTry.objects.count() == 0
    assert opened(phone, code).status_code == 302


@pytest.mark.parametrize("why", ["spent", "expired", "wrong", "ended", "withdrawn"])
def test_h03_whatever_opens_nothing_is_one_plain_page(
    why: str, signed: SignedPlan, code: str, clinician: User
) -> None:
    """H03: a spent code landed on a broken page."""
    row = PhoneCode.objects.get()
    sent, now = code, timezone.now()
    if why == "spent":
        opened(new_phone(), code)
    elif why == "wrong":
        sent = "a" * 26
    elif why == "ended":
        end_code(code=row, by=clinician, at=now)
    elif why == "withdrawn":
        stop_program(signed=signed, modality=None, why="Pain", by=clinician, at=now)
    later = now + dt.timedelta(hours=25 if why == "expired" else 0)
    with mock.patch.object(timezone, "now", return_value=later):
        refused = opened(new_phone(), sent)
        told = text_of(refused)
    assert refused.status_code == 404
    assert is_closed(refused)
    assert "Ask the clinic for a new code." in told
    assert "Pida un código nuevo a la clínica." in told
    who = signed.patient
    for secret in (who.family_name, who.given_name, who.record_number, "Week 1", "version"):
        assert secret not in told
    assert unmarked(told) == unmarked(text_of(get(new_phone())))


def unmarked(page: str) -> str:
    return re.sub(r'value="[0-9a-f]{32}"', "", page)


def test_h07_the_clinician_keeps_her_session_and_the_phone_gets_none_of_her_rights(
    client: Client, clinician: User, signed: SignedPlan, code: str
) -> None:
    """H07: one session for both, so that signing out on one ended the other."""
    client.force_login(clinician)
    before = Session.objects.get().session_data
    assert opened(client, code).status_code == 302
    page = text_of(get(client))
    assert "Week 1" in page
    for more in ("Sign out", "Marta", "/patients/", signed.patient.family_name, "Caseload"):
        assert more not in page
    assert Session.objects.get().session_data == before
    facts = reverse("patients:facts", args=[signed.patient_id])
    assert client.get(facts).status_code == 200
    assert post(client, reverse("programs:her_end"), WEEK).status_code == 200
    assert is_closed(get(client))
    assert client.get(facts).status_code == 200


def test_h07_signing_out_leaves_the_phone_and_a_phone_alone_opens_no_page_of_hers(
    client: Client, clinician: User, signed: SignedPlan, code: str
) -> None:
    client.force_login(clinician)
    opened(client, code)
    client.post(reverse("sign_out"))
    assert "Week 1" in text_of(get(client))
    for name in ("patients:facts", "programs:log", "programs:phone", "programs:handout"):
        response = client.get(reverse(name, args=[signed.patient_id]), secure=True)
        assert response.status_code == 302
        assert response.url.startswith("/sign-in/")
    assert Session.objects.count() == 0


# --- The session --------------------------------------------------------------------------------


def test_the_cookies_are_of_their_own_kind(phone: Client, code: str) -> None:
    opened(phone, code)
    for name in (PHONE, NONCE):
        cookie = phone.cookies[name]
        assert name.startswith("__Secure-")
        assert (cookie["path"], cookie["samesite"]) == (WEEK, "Strict")
        assert cookie["secure"]
        assert cookie["httponly"]
    left = PhoneOpening.objects.get().until - timezone.now()
    assert int(phone.cookies[PHONE]["max-age"]) == int(left.total_seconds())
    assert set(phone.cookies) == {PHONE, NONCE}


def test_no_page_is_kept_or_told_to_others(phone: Client, code: str) -> None:
    address = reverse("programs:her_code", args=["en", code])
    pages = [get(phone, address), opened(phone, code), get(phone), get(new_phone())]
    pages.append(get(phone, "/week/day/2026-03-04/"))
    for page in pages:
        assert page["Referrer-Policy"] == "no-referrer"
        assert page["Cache-Control"] == "no-store"
        assert "default-src 'self'" in page["Content-Security-Policy"]
        assert not re.search(r"<script|style=|onclick", text_of(page))


def test_wrong_codes_are_under_the_one_brake(phone: Client, code: str) -> None:
    for n in range(5):
        assert opened(phone, f"{n}" * 26).status_code == 404
    slowed = opened(phone, code)
    assert slowed.status_code == 429
    assert "Too many codes were tried. Wait until 09:31:00." in text_of(slowed)
    assert PhoneOpening.objects.count() == 0
    assert Audit.objects.filter(action="wrong password at code for a phone").count() == 5
    later = timezone.now() + dt.timedelta(minutes=2)
    with mock.patch.object(timezone, "now", return_value=later):
        assert opened(phone, code).status_code == 302


def test_a_form_without_the_mark_of_this_phone_does_nothing(phone: Client, code: str) -> None:
    sent = {"code": code, "mark": "f" * 32}
    assert is_closed(phone.post(WEEK, sent, secure=True))
    get(phone)
    assert is_closed(phone.post(WEEK, sent, secure=True))
    assert PasswordTry.objects.count() == PhoneOpening.objects.count() == 0
    opened(phone, code)
    page = phone.post("/week/day/2026-03-04/", {"day.pain": "2", "mark": "f" * 32}, secure=True)
    assert page.status_code == 422
    assert PhoneEntry.objects.count() == 0
    phone.post("/week/end/", {"mark": "f" * 32}, secure=True)
    assert PhoneEnd.objects.count() == 0


def test_a_typed_code_opens_it_too(phone: Client, code: str) -> None:
    assert post(phone, WEEK, WEEK, code=f" {code.upper()} ").status_code == 302


def test_the_clinic_ends_it_and_a_stop_closes_it(
    phone: Client, code: str, signed: SignedPlan, clinician: User
) -> None:
    opened(phone, code)
    end_code(code=PhoneCode.objects.get(), by=clinician, at=timezone.now())
    assert is_closed(get(phone))
    other = new_phone()
    opened(other, made(signed, clinician))
    assert "Week 1" in text_of(get(other))
    stop_program(signed=signed, modality=None, why="Pain", by=clinician, at=timezone.now())
    assert is_closed(get(other))


# --- What it shows ------------------------------------------------------------------------------


def test_today_comes_first_then_the_papers_own_words(phone: Client, code: str) -> None:
    opened(phone, code)
    page = text_of(get(phone))
    places = [page.index(line) for line in ("Today", *AMBULANCE, *STOP, "All of this week")]
    assert places == sorted(places)
    assert "Wednesday 4 March 2026" in page
    assert "Call the ambulance now" in page
    assert "01 000 000" in page
    assert '<html lang="en">' in page
    assert "Week 2" not in page


def test_in_spanish_all_of_it_is(phone: Client, signed: SignedPlan, clinician: User) -> None:
    code = made(signed, clinician, "es")
    assert '<html lang="es">' in text_of(
        get(phone, reverse("programs:her_code", args=["es", code]))
    )
    opened(phone, code, "es")
    page = text_of(get(phone))
    assert '<html lang="es">' in page
    assert "Hoy: Miércoles 4 de marzo de 2026" in page
    day = text_of(get(phone, "/week/day/2026-03-04/"))
    assert "Guardar este día" in day
    assert "¿Se cayó" in day
    assert get(phone, "/week/xx/abc/").status_code == 200


def test_on_the_day_after_its_last_it_can_still_be_written(phone: Client, code: str) -> None:
    opened(phone, code)
    with mock.patch.object(timezone, "now", return_value=AT + dt.timedelta(days=7)):
        page = text_of(get(phone))
        assert "Today is not a day of this week." in page
        assert "/week/day/2026-03-08/" in page
        assert "/week/day/2026-03-09/" not in page


def test_codes_are_random(signed: SignedPlan, clinician: User) -> None:
    assert len({made(signed, clinician) for _ in range(4)}) == 4
    assert phone_codes.CODE_BYTES == 16
