"""The languages of papers: turned on and read on their page, marked as unread until then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

Looks = Callable[[Page, str], None]
UNREAD = "not yet read by a clinician who speaks it"


@pytest.mark.usefixtures("transactional_db")
def test_french_is_turned_on_and_read(
    signed_in_page: Page, live_server: Any, looks_well: Looks
) -> None:
    page = signed_in_page
    page.goto(live_server.url + "/clinic/languages/")
    page.get_by_label("French (français)").select_option("on")
    page.get_by_label("Who read the French texts").fill("Camille d'Ormesse")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#div_id_read_on_fr").get_by_text("Write the day")).to_be_visible()
    expect(page.get_by_label("Who read the French texts")).to_have_value("Camille d'Ormesse")
    looks_well(page, "clinic-languages")
    page.get_by_label("Day on which the French was read").fill("2026-01-05")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("on, read by Camille d'Ormesse on 5 Jan 2026")).to_be_visible()
    expect(page.get_by_text(f"Spanish: {UNREAD}")).to_be_visible()
    looks_well(page, "clinic-with-languages")
