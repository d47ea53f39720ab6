"""Log and Review as the invented clinic shows them: wide and narrow, by keyboard, by rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from patients.models.patient import Patient
from programs.demo.people import FELL, REVIEW_DUE
from programs.models.program import SessionLog

PAGES = {
    "log": (REVIEW_DUE, "log/"),
    "log-logged": (FELL, "log/?week=5"),
    "log-day": (REVIEW_DUE, "log/day/"),
    "review": (REVIEW_DUE, "review/"),
    "review-fall": (FELL, "review/"),
}


@pytest.fixture
def clinic(transactional_db: None, signed_in: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """The invented clinic, seen by the clinician; its handout is not looked at here."""
    monkeypatch.setattr("programs.actions.papers.pdf", lambda *_, **__: b"%PDF")
    call_command("demo", verbosity=0)


def address(name: str) -> str:
    person, rest = PAGES[name]
    return f"/patients/{Patient.objects.get(record_number=person.record_number).pk}/{rest}"


@pytest.mark.usefixtures("clinic")
def test_fits_and_passes_axe(
    live_server: Any, signed_in_page: Page, looks_well: Callable[[Page, str], None]
) -> None:
    page = signed_in_page
    for name in PAGES:
        page.goto(live_server.url + address(name))
        looks_well(page, name)


@pytest.mark.usefixtures("clinic")
def test_a_week_is_logged_by_keyboard(live_server: Any, signed_in_page: Page) -> None:
    page, before = signed_in_page, SessionLog.objects.count()
    page.goto(live_server.url + address("log"))
    today = page.locator("[data-cell=done][data-kind=balance]").last
    expect(today).to_have_value("")
    # On a Monday nobody was asked yet whether she fell in this week.
    page.get_by_label("Falls in week").last.fill("N")
    today.focus()
    for key in ("a", "4", "Control+Enter"):
        page.keyboard.press(key)
    expect(page.locator(".message")).to_contain_text("Logged: 2 entries.")
    assert SessionLog.objects.count() == before + 2
    row, day = SessionLog.objects.order_by("pk")[before:]
    assert (row.done, row.effort) == ("all", 4)
    assert (day.whole_day, day.on, day.fell) == (True, row.on, False)
