"""The Handout page as the invented clinic shows it: wide and narrow, by keyboard, by rule."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from playwright.sync_api import Page, expect

from patients.models import Patient
from programs.demo.people import REVIEW_DUE


@pytest.fixture
def clinic(transactional_db: None, signed_in: object) -> None:
    """The invented clinic, seen by the clinician."""
    call_command("demo", verbosity=0)


def address() -> str:
    patient = Patient.objects.get(record_number=REVIEW_DUE.record_number)
    return f"/patients/{patient.pk}/handout/"


@pytest.mark.usefixtures("clinic")
def test_fits_and_passes_axe(
    live_server: Any, signed_in_page: Page, picture: Callable[..., Path]
) -> None:
    for width in (1366, 820, 320):
        signed_in_page.set_viewport_size({"width": width, "height": 768})
        signed_in_page.goto(live_server.url + address())
        expect(signed_in_page.locator("h1")).to_have_text("Handout")
        picture(signed_in_page, f"handout-{width}")
        assert Axe().run(signed_in_page).response["violations"] == []
        assert signed_in_page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.usefixtures("clinic")
def test_what_is_wrong_is_told_beside_it(live_server: Any, signed_in_page: Page) -> None:
    signed_in_page.goto(live_server.url + address())
    signed_in_page.get_by_label("Week, for the fridge door").fill("40")
    with signed_in_page.expect_popup() as opened:
        signed_in_page.get_by_role("button", name="Open the paper").click()
    page = opened.value
    summary = page.locator(".error-summary")
    expect(summary).to_contain_text("Week, for the fridge door")
    summary.get_by_role("link").first.click()
    expect(page.get_by_label("Week, for the fridge door")).to_be_focused()
    expect(signed_in_page.get_by_role("button", name="Open the paper")).to_be_enabled()
