"""Nothing typed is lost: a crash, a time-out, a dropped network, somebody else's newer save."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.urls import reverse
from playwright.sync_api import Dialog, Page, expect

from patients.models.patient import Assessment, Patient
from patients.models.unfinished import UnfinishedForm
from programs.actions import drafting
from tests.conftest import PASSWORD, MarkedClient
from tests.factories import PatientFactory
from tests.patients.pages import filled
from tests.programs import reviews, rows

COUNT = "[name=falls-last_12_months]"
OFFERED = "You typed here on"
STORES = "() => JSON.stringify([localStorage, sessionStorage])"


@pytest.fixture
def patient(transactional_db: None) -> Patient:
    made: Patient = PatientFactory(born=dt.date(1958, 3, 14))
    return made


@pytest.fixture
def address(patient: Patient) -> str:
    return reverse("patients:section", args=[patient.pk, "falls"])


@pytest.fixture
def page(signed_in_page: Page, live_server: Any, address: str) -> Page:
    signed_in_page.goto(live_server.url + address)
    return signed_in_page


def typed(page: Page, text: str = "3") -> None:
    """Type and wait until it is kept."""
    page.fill(COUNT, text)
    page.check("[name=falls-unsteady][value=yes]")
    expect(page.locator(".unfinished-said")).to_contain_text("Kept for you at")


def kept(page: Page, count: str) -> None:
    """Wait until what stands in the field is what is kept, whatever was said of it before."""
    for _ in range(300):
        (held,) = UnfinishedForm.objects.all()
        if held.typed.get("falls-last_12_months", {}).get("now") == [count]:
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"{count} was not kept")


def crashed(page: Page) -> Page:
    """Return a new page of the same browser, the old one gone without a word."""
    fresh, url = page.context.new_page(), page.url
    page.close()
    fresh.goto(url)
    return fresh


def test_after_a_crash_it_is_offered_put_back_and_saved(page: Page) -> None:
    typed(page)
    assert "unsteady" not in page.evaluate(STORES)
    assert not Assessment.objects.exists()
    page = crashed(page)
    expect(page.locator(COUNT)).to_have_value("")
    expect(page.get_by_text(OFFERED)).to_be_visible()
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator(COUNT)).to_have_value("3")
    expect(page.locator("[name=falls-unsteady][value=yes]")).to_be_checked()
    expect(page.locator(".unfinished-said")).to_contain_text("Kept for you at")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".message")).to_contain_text("Saved: falls")
    assert Assessment.objects.get().answers["falls"]["last_12_months"] == 3
    assert not UnfinishedForm.objects.exists()


def test_d07_a_newer_save_of_somebody_else_is_asked_about_and_not_replaced(
    page: Page, address: str, clinician: User
) -> None:
    """Case D07: what stands now, what stood then and what was typed, side by side."""
    typed(page)
    colleague = MarkedClient()
    colleague.force_login(clinician)
    theirs = {"falls-last_12_months": "1", "token": str(uuid4())}
    assert colleague.post(address, filled(colleague, address) | theirs).status_code == 302
    page = crashed(page)
    expect(page.get_by_text("behind this page have changed since")).to_be_visible()
    row = page.locator("tr[data-field=falls-last_12_months]")
    expect(row).to_contain_text("Now: 1. Put mine in its place")
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator(COUNT)).to_have_value("1")
    expect(page.locator("[name=falls-unsteady][value=yes]")).to_be_checked()
    page.fill(COUNT, "3")
    kept(page, "3")
    page = crashed(page)
    expect(page.get_by_text("behind this page have changed since")).to_have_count(0)
    page.get_by_role("button", name="Put it back").click()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".message")).to_contain_text("Saved: falls")
    assert Assessment.objects.latest("pk").answers["falls"]["last_12_months"] == 3


def test_d09_a_change_of_a_plan_comes_back_into_the_same_plan(
    signed_in_page: Page, live_server: Any, transactional_db: None, clinician: User
) -> None:
    """Case D09: the same plan, the same version; a later draft is said to be another one."""
    her = rows.recorded(clinician)
    told: dict[str, Any] = {"patient": her, "as_of": rows.DAY, "starts_on": rows.DAY}
    drafting.draft_plan(by=clinician, at=rows.AT, **told)
    page = signed_in_page
    page.goto(live_server.url + reverse("programs:plan_edit", args=[her.pk, "balance"]))
    page.fill("#id_reason", "She asks for less")
    expect(page.locator(".unfinished-said")).to_contain_text("Kept for you at")
    page = crashed(page)
    expect(page.get_by_text("behind this page have changed since")).to_have_count(0)
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#id_reason")).to_have_value("She asks for less")
    expect(page.locator(".unfinished-said")).to_contain_text("Kept for you at")
    drafting.draft_plan(by=clinician, at=rows.AT + dt.timedelta(days=1), **told)
    page = crashed(page)
    expect(page.get_by_text("behind this page have changed since")).to_be_visible()
    expect(page.locator("#id_reason")).to_have_value("")


def test_p01_a_save_that_no_server_hears_leaves_the_text_where_it_is(page: Page) -> None:
    """Case P01: the server is away at the moment of saving, and comes back."""
    page.fill(COUNT, "4")
    page.context.set_offline(True)
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".unfinished-said")).to_contain_text("Not saved: the server cannot be")
    expect(page.locator(COUNT)).to_have_value("4")
    page.context.set_offline(False)
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".message")).to_contain_text("Saved: falls")
    assert Assessment.objects.get().answers["falls"]["last_12_months"] == 4


def test_leaving_with_something_typed_is_warned_of_and_saving_is_not(
    page: Page, live_server: Any
) -> None:
    asked: list[str] = []

    def answer(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", answer)
    page.get_by_role("link", name="Screen").click()
    page.wait_for_url("**/screen/")
    page.go_back()
    assert asked == []
    page.locator(COUNT).press_sequentially("5")
    page.get_by_role("link", name="Screen").click(no_wait_after=True)
    expect(page.locator(COUNT)).to_have_value("5")
    assert asked == ["beforeunload"]
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".message")).to_contain_text("Saved: falls")
    assert asked == ["beforeunload"]


def test_after_the_session_has_ended_it_says_so_and_is_offered_after_signing_in(
    page: Page, address: str
) -> None:
    typed(page)
    Session.objects.all().delete()
    page.fill(COUNT, "6")
    expect(page.locator(".unfinished-said")).to_contain_text("You are signed out")
    expect(page.locator(COUNT)).to_have_value("6")
    again = MarkedClient()
    again.post("/sign-in/", {"username": "m.ferro", "password": PASSWORD})
    assert OFFERED in again.get(address).content.decode()


def test_what_came_back_refused_is_kept_too(page: Page) -> None:
    page.fill(COUNT, "many")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".error-summary")).to_be_focused()
    expect(page.locator(".unfinished-said")).to_contain_text("Kept for you at")
    page = crashed(page)
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator(COUNT)).to_have_value("many")


def test_consult_log_day_and_review_are_kept_and_listed_on_the_caseload(
    signed_in_page: Page, live_server: Any, transactional_db: None, clinician: User
) -> None:
    """By keys as well: the first consult and the log put in what a key says."""
    her, page = reviews.signed(clinician).patient, signed_in_page
    for name, at, key in (
        ("consult", "[name=symptoms-rest_is_no]", "n"),
        ("log", "table[data-grid] input.key >> nth=0", "a"),
        ("log_day", "[name$=note] >> nth=0", "x"),
        ("review", "[name=note]", "x"),
    ):
        page.goto(live_server.url + reverse(f"programs:{name}", args=[her.pk]))
        page.locator("details").evaluate_all("all => all.forEach(one => { one.open = true; })")
        page.locator(at).press(key)
        expect(page.locator(".unfinished-said")).to_contain_text("Kept for you at")
    page.goto(live_server.url + "/")
    listed = page.locator("section[aria-labelledby=unfinished-list] li")
    titles = ["Review", "Log of one day", "Log", "First consult"]
    for one, title in zip(range(4), titles, strict=True):
        expect(listed.nth(one)).to_contain_text(f": {title} ")
    listed.nth(3).get_by_role("link").click()
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("[name=symptoms-rest_is_no]")).to_be_checked()
