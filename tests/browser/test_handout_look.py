"""The Handout page as the invented clinic shows it: wide and narrow, by keyboard, by rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.core.management import call_command
from playwright.sync_api import Page, expect

from patients.models.patient import Patient
from programs.demo.people import REVIEW_DUE


@pytest.fixture
def clinic(transactional_db: None, signed_in: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """The invented clinic, seen by the clinician; no paper itself is looked at here."""
    monkeypatch.setattr("programs.actions.papers.pdf", lambda *_, **__: b"%PDF")
    call_command("demo", verbosity=0)


def address() -> str:
    patient = Patient.objects.get(record_number=REVIEW_DUE.record_number)
    return f"/patients/{patient.pk}/handout/"


@pytest.mark.usefixtures("clinic")
def test_fits_and_passes_axe(
    live_server: Any, signed_in_page: Page, looks_well: Callable[[Page, str], None]
) -> None:
    signed_in_page.goto(live_server.url + address())
    expect(signed_in_page.locator("h1")).to_have_text("Handout")
    looks_well(signed_in_page, "handout")


@pytest.mark.usefixtures("clinic")
def test_what_is_wrong_is_told_beside_it(live_server: Any, signed_in_page: Page) -> None:
    signed_in_page.goto(live_server.url + address())
    signed_in_page.get_by_label("Paper (required)", exact=True).select_option("sheets")
    signed_in_page.get_by_label("Week sheets to week").fill("40")
    with signed_in_page.expect_popup() as opened:
        signed_in_page.get_by_role("button", name="Open the paper").click()
    page = opened.value
    summary = page.locator(".error-summary")
    expect(summary).to_contain_text("Week sheets to week")
    summary.get_by_role("link").first.click()
    expect(page.get_by_label("Week sheets to week")).to_be_focused()
    expect(signed_in_page.get_by_role("button", name="Open the paper")).to_be_enabled()
