"""A consult from the question to the paper without a mouse; the keys, and how they are off."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from benchmarks.consult_keystrokes import Hands, healthy
from patients.models.patient import Patient
from programs.models.program import Handout, SignedPlan
from tests.conftest import PASSWORD
from tests.factories import PatientFactory

#: More Tabs than any page needs to come to what is looked for.
MOST_TABS = 120
IN_FOCUS = "() => document.activeElement.innerText || document.activeElement.name || ''"


@pytest.fixture(autouse=True)
def on_a_day(on_the_first_day: None) -> None:
    """On the day that the invented people are asked."""


@pytest.fixture
def page(signed_in_page: Page, monkeypatch: pytest.MonkeyPatch) -> Page:
    """A page on which nothing is ever pointed at."""
    monkeypatch.setattr("programs.actions.papers.pdf", lambda *_, **__: b"%PDF")
    signed_in_page.set_viewport_size({"width": 1366, "height": 768})
    signed_in_page.add_init_script(
        "addEventListener('mousedown', () => { throw new Error('a mouse was used'); })"
    )
    return signed_in_page


def tab_to(page: Page, words: str) -> None:
    """Press Tab until what has the focus says these words, or is the field of this name."""
    for _ in range(MOST_TABS):
        if page.evaluate(IN_FOCUS).strip() == words:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the keyboard does not come to {words}")


def test_a_consult_from_end_to_end_without_a_mouse(
    transactional_db: None, page: Page, live_server: Any
) -> None:
    page.goto(live_server.url + "/patients/new/")
    for field, text in (("given_name", "Tess"), ("family_name", "Keyed"), ("born", "3 May 1958")):
        tab_to(page, field)
        page.keyboard.type(text)
    page.keyboard.press("Tab")
    page.keyboard.press("f")
    tab_to(page, "Add, then the first consult")
    page.keyboard.press("Enter")
    page.wait_for_url("**/consult/")
    healthy(Hands(page))
    page.wait_for_url("**/plan/")
    page.keyboard.press("4")
    page.wait_for_url("**/sign/")
    tab_to(page, "without_number")
    page.keyboard.type("Told by hand")
    tab_to(page, "password")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Version 1 is signed")).to_be_visible()
    page.keyboard.press("5")
    page.wait_for_url("**/handout/")
    tab_to(page, "Open the paper")
    with page.expect_popup():
        page.keyboard.press("Enter")
    expect(page).to_have_title("Handout: Tess Keyed")
    assert SignedPlan.objects.get().patient == Patient.objects.get()
    assert Handout.objects.exists()
    for key, step in (
        ("6", "log"),
        ("7", "review"),
        ("1", "facts"),
        ("2", "screen"),
        ("3", "plan"),
    ):
        page.keyboard.press("Escape")
        page.keyboard.press(key)
        page.wait_for_url(f"**/{step}/")


@pytest.fixture
def falls(transactional_db: None, live_server: Any) -> str:
    """The address of the questions about falls of somebody."""
    made = PatientFactory(born=dt.date(1958, 3, 14))
    return live_server.url + reverse("patients:section", args=[made.pk, "falls"])


def test_the_list_of_keys_saving_and_a_field_in_which_keys_are_letters(
    page: Page, falls: str
) -> None:
    page.goto(falls)
    page.keyboard.press("?")
    listed = page.locator("#keys-dialog")
    expect(listed).to_be_visible()
    for key in ("2", "s"):
        page.keyboard.press(key)
    page.keyboard.press("Escape")
    expect(listed).to_be_hidden()
    assert page.url == falls
    tab_to(page, "falls-last_12_months")
    page.keyboard.type("1s?2")
    expect(page.locator("[name=falls-last_12_months]")).to_have_value("1s?2")
    assert page.url == falls
    expect(listed).to_be_hidden()
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("2")
    assert page.url == falls
    page.locator("[name=falls-last_12_months]").fill("2")
    page.keyboard.press("Control+Enter")
    page.wait_for_url("**/facts/")
    expect(page.locator(".message")).to_contain_text("Saved: falls")
    page.goto(falls)
    page.locator("[name=falls-last_12_months]").fill("3")
    page.keyboard.press("Escape")
    page.keyboard.press("s")
    page.wait_for_url("**/facts/")
    expect(page.locator(".message")).to_contain_text("Saved: falls")


def test_turned_off_no_key_does_anything(page: Page, live_server: Any, falls: str) -> None:
    page.goto(live_server.url + "/account/")
    tab_to(page, "Turn the keys off")
    page.keyboard.press("Enter")
    expect(page.locator(".message")).to_contain_text("The keys are off")
    page.goto(falls)
    for key in ("?", "2", "s"):
        page.keyboard.press(key)
    assert page.url == falls
    assert page.locator("#keys-dialog").count() == 0
