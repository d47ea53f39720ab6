"""The Clinic page: wide and narrow, by rule, and the record looked over from it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Page, expect

from programs.actions.clinic import Details, set_details, set_limit
from programs.actions.record_check import check_record
from tests.programs.actions.test_record_check import on_record


@pytest.fixture
def set_up(transactional_db: None, clinician: User) -> None:
    """A clinic with its details, one limit tighter and one looser, and one person."""
    now = timezone.now()
    details = Details(
        name="Example bone clinic",
        phone="01 000 000",
        address="1 Example Street, Exampleton",
        currency="EUR",
    )
    set_details(details=details, by=clinician, at=now)
    set_limit(name="plate.top_g", value=2.5, reason="", by=clinician, at=now)
    set_limit(name="impact.impacts", value=60, reason="Used to it", by=clinician, at=now)
    on_record(clinician, "Orla")


@pytest.mark.usefixtures("set_up")
@pytest.mark.parametrize("stands", ["held", "broken"])
def test_clinic_fits_and_passes_axe(
    signed_in_page: Page,
    live_server: Any,
    looks_well: Callable[[Page, str], None],
    stands: str,
) -> None:
    check_record(by=None, at=timezone.now())
    if stands == "broken":
        check_record(by=None, at=timezone.now(), seal="f" * 64)
    page = signed_in_page
    page.goto(live_server.url + "/clinic/")
    looks_well(page, f"clinic-{stands}")
    looked = page.get_by_role("region", name="The record of who did what")
    words = "Each as it was written" if stands == "held" else "Not as it was written"
    expect(looked.get_by_text(words)).to_be_visible()


@pytest.mark.usefixtures("set_up")
def test_the_record_is_looked_over_from_the_page(signed_in_page: Page, live_server: Any) -> None:
    page = signed_in_page
    page.goto(live_server.url + "/clinic/")
    expect(page.get_by_text("Not checked yet.")).to_be_visible()
    page.get_by_role("button", name="Check it now").click()
    expect(page.get_by_text("The record is as it was written.")).to_be_visible()
    expect(page.get_by_text("by Marta Ferro").first).to_be_visible()
