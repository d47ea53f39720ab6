"""Log and Review as the invented clinic shows them: wide and narrow, by keyboard, by rule."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from playwright.sync_api import Page, expect

from patients.models import Patient
from programs.demo.people import FELL, REVIEW_DUE
from programs.models import SessionLog

PAGES = {
    "log": (REVIEW_DUE, "log/"),
    "log-logged": (FELL, "log/?week=5"),
    "log-add": (REVIEW_DUE, "log/add/"),
    "review": (REVIEW_DUE, "review/"),
    "review-fall": (FELL, "review/"),
}


@pytest.fixture
def clinic(transactional_db: None, signed_in: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """The invented clinic, seen by the clinician; its handout is not looked at here."""
    monkeypatch.setattr("programs.actions.handouts.pdf", lambda *_, **__: b"%PDF")
    call_command("demo", verbosity=0)


def address(name: str) -> str:
    person, rest = PAGES[name]
    return f"/patients/{Patient.objects.get(record_number=person.record_number).pk}/{rest}"


@pytest.mark.usefixtures("clinic")
def test_fits_and_passes_axe(
    live_server: Any, signed_in_page: Page, picture: Callable[..., Path]
) -> None:
    page = signed_in_page
    for width in (1366, 820, 320):
        page.set_viewport_size({"width": width, "height": 768})
        for name in PAGES:
            page.goto(live_server.url + address(name))
            picture(page, f"{name}-{width}")
            assert Axe().run(page).response["violations"] == [], name
            assert page.evaluate("document.documentElement.scrollWidth") <= width, name


@pytest.mark.usefixtures("clinic")
def test_a_week_is_logged_by_keyboard(live_server: Any, signed_in_page: Page) -> None:
    page, before = signed_in_page, SessionLog.objects.count()
    page.goto(live_server.url + address("log"))
    page.locator("table.week-log select").first.focus()
    for key in ("a", "Tab", "4", "Tab", "1", "Tab", "Tab", "n"):
        page.keyboard.press(key)
    page.keyboard.press("Tab")
    page.keyboard.type("fine")
    page.keyboard.press("Enter")
    expect(page.locator(".message")).to_contain_text("Logged: 1 entry of week 9")
    assert SessionLog.objects.count() == before + 1
    row = SessionLog.objects.latest("pk")
    assert (row.done, row.effort, row.pain, row.fell) == ("all", 4, 1, False)
