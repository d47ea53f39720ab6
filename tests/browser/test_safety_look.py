"""The Screen page and the rulebook: wide and narrow, by rule, and with no script."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from patients.models.patient import Patient
from tests.factories import PatientFactory
from tests.people import fracture
from tests.safety.rows import cleared, known_patient

TODAY = dt.date(2026, 3, 2)


@pytest.fixture(autouse=True)
def on_that_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("safety.views.screen.today", lambda: TODAY)
    monkeypatch.setattr("patients.views.common.today", lambda: TODAY)


def steady() -> Patient:
    return known_patient()


def nothing_asked() -> Patient:
    return PatientFactory()


def vertebral_fracture() -> Patient:
    found = known_patient(
        fractures=[fracture("vertebra", "2023-02-10"), fracture("wrist", "2019-05-01")],
        conditions={"stones": "yes", "osteoarthritis": {"answer": "yes", "degree": "moderate"}},
        falls={"last_12_months": 1},
        tests={"up_and_go_s": 11.4},
    )
    cleared(found, "vertebral_fracture", "plate", note="Letter of 5 January")
    return found


def red_flags() -> Patient:
    return known_patient(
        symptoms={"new_back_pain": "yes", "blackout": "yes", "fever": "unknown"},
        conditions={"aneurysm": "yes", "recent_surgery": "yes"},
        tests={"resting_bp": [184, 96]},
    )


PEOPLE = {maker.__name__: maker for maker in (steady, nothing_asked, vertebral_fracture, red_flags)}


def test_screen_fits_and_passes_axe(
    signed_in_page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    for who, person in PEOPLE.items():
        signed_in_page.goto(f"{live_server.url}/patients/{person().pk}/screen/")
        looks_well(signed_in_page, f"screen-{who}")


def test_the_safety_file_fits_and_passes_axe(
    signed_in_page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    signed_in_page.goto(f"{live_server.url}/clinic/safety/")
    for folded in signed_in_page.locator("summary").all()[:3]:
        folded.click()
    looks_well(signed_in_page, "safety-file")


def test_rulebook_fits_and_passes_axe(
    signed_in_page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    signed_in_page.goto(f"{live_server.url}/rulebook/")
    looks_well(signed_in_page, "rulebook")


def test_a_clearance_is_recorded_beside_its_finding(signed_in_page: Page, live_server: Any) -> None:
    patient = known_patient(conditions={"stones": "yes"})
    page = signed_in_page
    page.goto(f"{live_server.url}/patients/{patient.pk}/screen/")
    page.get_by_text("Record a clearance").click()
    page.get_by_label("Cleared by").fill("Urology clinic")
    page.get_by_label("Valid from").fill("2026-02-01")
    page.get_by_label("Valid until").fill("2026-01-01")
    page.get_by_role("button", name="Record this clearance").click()
    expect(page.get_by_text("The last day is before the first.").first).to_be_visible()
    page.get_by_label("Valid until").fill("2026-08-01")
    page.get_by_role("button", name="Record this clearance").click()
    expect(page.get_by_text("Cleared by Urology clinic").first).to_be_visible()


def test_the_screen_works_without_scripts(
    signed_in_page: Page, live_server: Any, browser: Browser
) -> None:
    patient = known_patient()
    context = browser.new_context(
        java_script_enabled=False, storage_state=signed_in_page.context.storage_state()
    )
    page = context.new_page()
    page.goto(f"{live_server.url}/patients/{patient.pk}/screen/")
    page.get_by_role("button", name="Save this screen and go on to the plan").click()
    page.goto(f"{live_server.url}/patients/{patient.pk}/screen/")
    expect(page.get_by_text("nothing has changed since")).to_be_visible()
    context.close()
