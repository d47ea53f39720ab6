"""Why, what if and the clinic's settings in a browser: what is seen, with a keyboard too."""

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page

from programs.actions.clinic import limits_in_force, set_limit
from programs.dose.plate_limits import TOP_G
from programs.models.program import Plan
from tests.programs import rows
from tests.programs.views.test_plan import document, drafted


def url(name: str, *args: object) -> str:
    return reverse(f"programs:{name}", args=args)


@pytest.fixture
def plan(transactional_db: None, clinician: User) -> Plan:
    """A draft with a precaution and something on hold, at a clinic with limits of its own."""
    for name, value, reason in (
        ("resistance.percent_1rm.A", 75, ""),
        ("impact.impacts", 60, "Our people are used to it."),
    ):
        set_limit(name=name, value=value, reason=reason, by=clinician, at=timezone.now())
    told = document(conditions={"chronic_back_pain": "yes", "vertigo": "yes"})
    patient = rows.recorded(clinician, told, given_name="Orla", family_name="Testwick")
    return drafted(patient, clinician)


def test_no_page_fails_the_accessibility_rules_or_scrolls_sideways(
    plan: Plan, signed_in_page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    page, patient = signed_in_page, plan.patient
    pages = {
        "why-plate": url("why", patient.pk, "plate"),
        "why-resistance": url("why", patient.pk, "resistance"),
        "what-if": url("what_if", patient.pk),
        "what-if-compared": url("what_if", patient.pk) + "?fracture=vertebra&fracture_age=36",
        "fits": url("fits", patient.pk),
        "clinic": url("clinic"),
        "clinic-limit": url("clinic_limit", "plate.top_g"),
        "clinic-details": url("clinic_details"),
    }
    for name, path in pages.items():
        page.goto(live_server.url + path)
        page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        looks_well(page, name)


def test_what_if_is_asked_by_keyboard(plan: Plan, signed_in_page: Page, live_server: Any) -> None:
    page = signed_in_page
    page.goto(live_server.url + url("what_if", plan.patient.pk))
    page.get_by_label("Plate", exact=True).select_option("none")
    page.get_by_role("button", name="Compare").press("Enter")
    page.get_by_role("heading", name="As recorded, and with the change").wait_for()
    assert "With no plate." in page.locator("#content").inner_text()


def test_loosening_asks_for_the_reason_and_then_takes_it(
    plan: Plan, signed_in_page: Page, live_server: Any
) -> None:
    page = signed_in_page
    page.goto(live_server.url + url("clinic_limit", "plate.top_g"))
    page.get_by_label("Peak acceleration").fill("5")
    page.get_by_role("button", name="Set").press("Enter")
    page.get_by_role("alert").get_by_text("Write down the reason").wait_for()
    page.get_by_label("Reason").fill("Dose of the hip trial.")
    page.get_by_role("button", name="Set").press("Enter")
    page.get_by_text("In force: Peak acceleration of any plate: at most 5 g peak.").wait_for()
    assert limits_in_force().value(TOP_G) == 5
