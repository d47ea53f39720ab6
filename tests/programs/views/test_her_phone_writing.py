"""What she writes on her phone: kept once, shown again, nothing typed lost; what must not wait."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from patients.actions.refusals import Refused
from programs.actions.phone_codes import end_code, make_code
from programs.models.phone import PhoneCode, PhoneEntry
from programs.papers.emergency import AMBULANCE, STOP
from programs.views import her_phone
from tests.patients.pages import Inputs, text_of
from tests.programs import reviews
from tests.programs.her_phone import WEEK, get, new_phone, opened, post, write
from tests.programs.rows import AT

pytestmark = [pytest.mark.django_db, pytest.mark.long]


@pytest.fixture(autouse=True)
def wednesday() -> Iterator[None]:
    """It is Wednesday of the first week."""
    with mock.patch.object(timezone, "now", return_value=AT + dt.timedelta(days=2)):
        yield


@pytest.fixture
def code(clinician: User) -> str:
    signed = reviews.signed(clinician)
    return make_code(signed=signed, language="en", by=clinician, at=timezone.now())[1]


@pytest.fixture
def phone() -> Client:
    return new_phone()


def test_a_day_is_kept_and_shown_again(phone: Client, code: str) -> None:
    opened(phone, code)
    response = write(phone, balance__done="A", day__pain="X", day__pain_settled="Y")
    assert response.url == "/week/?kept=2026-03-04"
    page = text_of(get(phone, response.url))
    assert "Your log of the day is kept." in page
    assert "You filled in this day at 09:30." in page
    day = text_of(get(phone, "/week/day/2026-03-04/"))
    assert '<option value="A" selected>All of it</option>' in day
    assert '<option value="X" selected>10</option>' in day


def test_what_does_not_wait_tells_her_what_to_do_now(phone: Client, code: str) -> None:
    opened(phone, code)
    page = text_of(get(phone, write(phone, day__fell="Y", day__pain="2", day__pain_with="VB").url))
    assert "You wrote of something that must not wait." in page
    assert page.index("Do not wait for us: act now.") < page.index(AMBULANCE[0])
    assert page.index(STOP[-1]) < page.index("Today")
    assert page.count(AMBULANCE[0]) == 1


def test_an_error_loses_nothing_and_is_in_her_words(phone: Client, code: str) -> None:
    opened(phone, code)
    response = write(phone, balance__effort="4", day__note="x" * 201, day__pain_settled="N")
    page = text_of(response)
    assert response.status_code == 422
    assert "Say how much of it you did." in page
    assert "Write this in 200 letters or less." in page
    assert "Say how bad the pain was." in page
    assert "x" * 201 in page
    assert '<option value="4" selected>' in page
    assert PhoneEntry.objects.count() == 0


def test_the_same_form_sent_again_is_kept_once(phone: Client, code: str) -> None:
    opened(phone, code)
    address = "/week/day/2026-03-04/"
    sent = Inputs(text_of(get(phone, address))).sent | {"day.pain": "2"}
    for _ in range(3):
        assert phone.post(address, sent, secure=True).status_code == 302
    assert PhoneEntry.objects.count() == 1


def test_where_it_is_closed_by_then_what_she_typed_is_shown(
    phone: Client, code: str, clinician: User
) -> None:
    opened(phone, code)
    end_code(code=PhoneCode.objects.get(), by=clinician, at=timezone.now())
    sent = {"day.note": "My knee was stiff", "day.pain": "2"}
    page = text_of(phone.post("/week/day/2026-03-04/", sent, secure=True))
    assert "My knee was stiff" in page
    assert "Write it on your paper" in page


@pytest.mark.parametrize("day", ["2026-03-05", "2026-03-01", "x", "2026-13-40"])
def test_another_day_leads_back(day: str, phone: Client, code: str) -> None:
    opened(phone, code)
    assert get(phone, f"/week/day/{day}/").url == WEEK


@pytest.mark.slow
def test_nothing_that_is_sent_makes_it_fail(phone: Client, code: str) -> None:
    opened(phone, code)
    address = "/week/day/2026-03-04/"
    page = text_of(get(phone, address))
    sent, names = Inputs(page).sent, re.findall(r'name="([^"]+)"', page)
    for bad in ("a\x00b", "9" * 5000, "%s", "٣"):
        all_bad = dict.fromkeys(names, bad) | {"mark": sent["mark"]}
        assert phone.post(address, all_bad, secure=True).status_code in (302, 422), bad
        note = phone.post(address, sent | {"day.note": bad[:99], "sent": bad}, secure=True)
        assert note.status_code in (302, 422), bad
        assert phone.post(WEEK, {"mark": bad, "code": bad}, secure=True).status_code == 404, bad
        assert post(new_phone(), WEEK, WEEK, code=bad).status_code == 404, bad
    assert get(phone).status_code == 200


def test_a_day_refused_at_the_last_moment_loses_nothing(
    phone: Client, code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(**_: Any) -> None:
        raise Refused("Over.")

    opened(phone, code)
    monkeypatch.setattr(her_phone, "write_day", refuse)
    response = write(phone, day__note="Tired today")
    assert response.status_code == 422
    assert "Tired today" in text_of(response)
