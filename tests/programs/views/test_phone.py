"""The clinician's page of her phone: a code, its slip, the phones; what she wrote on the log."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Audit
from programs.actions import papers
from programs.actions.phone_codes import make_code, open_week
from programs.actions.phone_log import write_day
from programs.actions.printing import PaperUnavailable
from programs.models.phone import PhoneCode, PhoneDecision, PhoneEnd, PhoneOpening
from programs.models.program import Handout, SessionLog, SignedPlan
from programs.phone.codes import digest_of, grouped
from tests.patients.pages import Inputs, text_of
from tests.programs import reviews, rows
from tests.programs.rows import AT, DAY
from tests.programs.views.test_caseload import people, why

pytestmark = [pytest.mark.django_db, pytest.mark.long]
HOST = "calcar.clinic.example"


@pytest.fixture(autouse=True)
def wednesday() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=AT + dt.timedelta(days=2)):
        yield


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


@pytest.fixture
def by_tls(signed_in: Client, settings: Any) -> Client:
    """The clinician's browser, by the name that the clinic's network knows."""
    settings.TLS, settings.HOSTS, settings.ALLOWED_HOSTS = True, [HOST], [HOST, "localhost"]
    return signed_in


def get(client: Client, of: SignedPlan, name: str = "phone", host: str = HOST) -> HttpResponse:
    return client.get(url(of, name), secure=True, headers={"host": host})


def url(of: SignedPlan, name: str = "phone", *more: int) -> str:
    return reverse(f"programs:{name}", args=[of.patient_id, *more])


def post(client: Client, of: SignedPlan, to: str = "", host: str = HOST, **typed: Any) -> Any:
    """Send a form of the page of her phone."""
    sent = Inputs(text_of(get(client, of, host=host))).sent
    more: dict[str, Any] = {"secure": True, "headers": {"host": host}}
    return client.post(to or url(of), sent | {"patient": of.patient_id} | typed, **more)


def opening_of(of: SignedPlan, by: User) -> PhoneOpening:
    _, code = make_code(signed=of, language="en", by=by, at=AT)
    return open_week(code=code, nonce="n", at=AT).opening


def code_in(page: str) -> str:
    return Inputs(page).sent["code"][0]


# --- Codes ------------------------------------------------------------------------------------


def test_a_code_is_shown_this_once_with_its_picture(by_tls: Client, signed: SignedPlan) -> None:
    assert "This week on the patient’s own phone" in text_of(get(by_tls, signed, "handout"))
    page = text_of(post(by_tls, signed, language="es"))
    code, row = code_in(page), PhoneCode.objects.get()
    assert row.digest == digest_of(code)
    assert (row.language, row.signed) == ("es", signed)
    assert grouped(code) in page
    assert f"{HOST}/week/" in page
    assert page.count("<svg class=") == 1
    again = text_of(get(by_tls, signed))
    assert code not in again
    assert "Not opened yet." in again


def test_a_form_sent_again_makes_no_second_code(by_tls: Client, signed: SignedPlan) -> None:
    sent = Inputs(text_of(get(by_tls, signed))).sent
    for _ in range(2):
        more: dict[str, Any] = {"secure": True, "headers": {"host": HOST}, "follow": True}
        page = text_of(by_tls.post(url(signed), sent, **more))
    assert "It was shown once" in page
    assert PhoneCode.objects.count() == 1


@pytest.mark.parametrize(
    ("host", "tls", "told"),
    [
        (HOST, False, "not served by TLS"),
        ("localhost", True, "this machine alone"),
        ("other.example", True, "not among those"),
    ],
)
def test_no_code_is_made_or_printed_where_no_phone_reaches_it(
    host: str,
    tls: bool,
    told: str,
    by_tls: Client,
    signed: SignedPlan,
    clinician: User,
    settings: Any,
) -> None:
    settings.TLS, settings.ALLOWED_HOSTS = tls, ["*"]
    page = text_of(get(by_tls, signed, host=host))
    assert told in page
    assert "CALCAR_TLS=1" in page
    assert "Make a code" not in page
    assert post(by_tls, signed, host=host).status_code == 409
    assert PhoneCode.objects.count() == 0
    _, code = make_code(signed=signed, language="en", by=clinician, at=timezone.now())
    slip = post(by_tls, signed, url(signed, "phone_slip"), host=host, code=code)
    assert slip.status_code == 302
    assert not Audit.objects.filter(action="print phone slip").exists()


@pytest.mark.counted
def test_no_code_of_what_may_not_be_handed_out(
    by_tls: Client, signed: SignedPlan, clinician: User
) -> None:
    before = Inputs(text_of(get(by_tls, signed))).sent
    rows.state(signed, "stopped")
    page = text_of(get(by_tls, signed))
    assert "No code is made now." in page
    assert "Make a code" not in page
    more: dict[str, Any] = {"secure": True, "headers": {"host": HOST}}
    assert by_tls.post(url(signed), before, **more).status_code == 302
    assert PhoneCode.objects.count() == 0


def test_before_anything_is_signed_there_is_nothing_to_show(
    by_tls: Client, clinician: User
) -> None:
    address = reverse("programs:phone", args=[rows.patient(clinician).pk])
    page = by_tls.get(address, secure=True, headers={"host": HOST})
    assert "Nothing is signed yet." in text_of(page)


@pytest.mark.counted
def test_the_slip_is_printed_and_not_kept(
    by_tls: Client, signed: SignedPlan, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Any] = []

    def pdf(template: str, context: Any, **how: Any) -> bytes:
        asked.append((template, context["slip"], how))
        return b"%PDF of a test"

    monkeypatch.setattr(papers, "pdf", pdf)
    code = code_in(text_of(post(by_tls, signed, language="es")))
    response = post(by_tls, signed, url(signed, "phone_slip"), code=code)
    assert (response.content, response["Content-Type"]) == (b"%PDF of a test", "application/pdf")
    ((template, slip, how),) = asked
    assert (template, how["language"], how["type_pt"]) == ("paper/phone_slip.html", "es", 16)
    assert (slip.code, slip.address) == (grouped(code), f"{HOST}/week/")
    assert how["issue"] is None
    assert Handout.objects.count() == 0
    assert Audit.objects.get(action="print phone slip").object_id == str(PhoneCode.objects.get().pk)
    wrong = post(by_tls, signed, url(signed, "phone_slip"), code="a" * 26)
    assert wrong.url == url(signed)


def test_where_the_press_fails_it_says_so(
    by_tls: Client, signed: SignedPlan, monkeypatch: pytest.MonkeyPatch
) -> None:
    def pdf(*_: Any, **__: Any) -> bytes:
        raise PaperUnavailable("The press is away.")

    monkeypatch.setattr(papers, "pdf", pdf)
    code = code_in(text_of(post(by_tls, signed)))
    assert post(by_tls, signed, url(signed, "phone_slip"), code=code).url == url(signed)
    assert "The press is away." in text_of(get(by_tls, signed))


def test_phones_are_listed_and_ended(by_tls: Client, signed: SignedPlan, clinician: User) -> None:
    opening = opening_of(signed, clinician)
    page = text_of(get(by_tls, signed))
    assert "made Mon 2 Mar 2026, 09:30 by Marta Ferro" in page
    assert "Opened Mon 2 Mar, 09:30, shows week 1 until Tue 10 Mar, 00:00" in page
    assert "Close it on that phone" in page
    post(by_tls, signed, url(signed, "phone_end", opening.code_id))
    assert PhoneEnd.objects.get().by == clinician
    page = text_of(get(by_tls, signed))
    assert "Ended by the clinic on Wed 4 Mar, 09:30 by Marta Ferro." in page
    assert "Close it on that phone" not in page


# --- What she wrote ---------------------------------------------------------------------------


@pytest.fixture
def written(signed: SignedPlan, clinician: User) -> SignedPlan:
    """A program of which she wrote two days by phone, one of them of a fall."""
    opening = opening_of(signed, clinician)
    told: Any = {"opening": opening, "at": timezone.now()}
    write_day(on=DAY, texts={"balance.done": "A", "day.fell": "Y"}, **told)
    write_day(on=DAY + dt.timedelta(days=1), texts={"balance.done": "P"}, **told)
    return signed


def decide(client: Client, of: SignedPlan, **typed: Any) -> HttpResponse:
    page = text_of(client.get(url(of, "log_phone")))
    sent = Inputs(page).sent | typed
    return client.post(url(of, "log_phone"), sent, follow=True)


def test_the_log_page_shows_what_she_wrote(signed_in: Client, written: SignedPlan) -> None:
    page = text_of(signed_in.get(url(written, "log")))
    assert "Written by the patient, by phone, not yet taken" in page
    assert "the day: fall: yes" in page
    assert "Does not wait" in page
    assert SessionLog.objects.count() == 0


def test_all_days_are_taken_at_once(signed_in: Client, written: SignedPlan) -> None:
    page = text_of(decide(signed_in, written, all="yes"))
    assert "Taken into the log: 3 entries." in page
    assert "by phone, not yet taken" not in page
    assert SessionLog.objects.count() == 3
    after = text_of(signed_in.get(url(written, "log_phone")))
    assert "Nothing that was written by phone waits" in after


def test_one_day_is_taken_and_another_not_with_a_reason(
    signed_in: Client, written: SignedPlan
) -> None:
    first, second = sorted(map(int, _numbers(signed_in, written)))
    page = text_of(decide(signed_in, written, take=second))
    assert "Taken into the log: 1 entry." in page
    refused = decide(signed_in, written, leave=first)
    assert refused.status_code == 409
    assert "Say why this is not taken" in text_of(refused)
    decide(signed_in, written, leave=first, **{f"reason{first}": "Written of last week"})
    assert PhoneDecision.objects.get(entry=first).reason == "Written of last week"
    stale = signed_in.post(
        url(written, "log_phone"), {"take": first, "patient": written.patient_id}, follow=True
    )
    assert stale.status_code == 409


def _numbers(client: Client, of: SignedPlan) -> list[str]:
    return Inputs(text_of(client.get(url(of, "log_phone")))).sent["day"]


def test_the_caseload_tells_at_once_what_does_not_wait(
    clinician: User, written: SignedPlan
) -> None:
    other = reviews.signed(clinician)
    opening = opening_of(other, clinician)
    write_day(opening=opening, on=DAY, texts={"day.note": "Fine"}, at=timezone.now())
    assert people("phone") == [written.patient, other.patient]
    assert why("phone") == [
        "written by phone, not yet taken: 2 Mar 2026, fall: yes | "
        "2 days written by phone, not yet taken",
        "1 day written by phone, not yet taken",
    ]
    assert people("call") == []
