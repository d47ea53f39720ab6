"""The Plan, its change form, Sign and Caseload in a browser: what is seen, what a keyboard does."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Page

from programs.actions.editing import edit_plan
from programs.models import Plan, PlanEdit
from tests.conftest import PASSWORD
from tests.programs import rows
from tests.programs.test_edits import edit
from tests.programs.test_plan_pages import document, drafted, url

WIDTHS = (1366, 820)


@pytest.fixture
def plan(transactional_db: None, clinician: User) -> Plan:
    """A draft with a precaution, something on hold and two changes."""
    told = document(conditions={"chronic_back_pain": "yes", "vertigo": "yes"})
    patient = rows.recorded(clinician, told, given_name="Orla", family_name="Testwick")
    made = drafted(patient, clinician)
    edits = [edit("posture.minutes", 66, 1, 2)]
    edit_plan(
        plan=made, edits=edits, lock=1, by=clinician, at=timezone.now(), reason="She asks for more."
    )
    out = [edit("impact", False)]
    edit_plan(
        plan=made, edits=out, lock=2, by=clinician, at=timezone.now(), reason="Not before spring."
    )
    return Plan.objects.get(pk=made.pk)


def test_no_page_fails_the_accessibility_rules_or_scrolls_sideways(
    plan: Plan, signed_in_page: Page, live_server: Any, picture: Callable[[Page, str], Path]
) -> None:
    page, patient = signed_in_page, plan.patient
    pages = {
        "caseload": "/",
        "plan": url("plan", patient),
        "plan-edit": url("plan_edit", patient, "balance") + "?from=3&to=4",
        "plan-edit-lifting": url("plan_edit", patient, "resistance"),
        "sign": url("sign", patient),
    }
    for name, path in pages.items():
        page.goto(live_server.url + path)
        found = Axe().run(page)
        assert found.violations_count == 0, f"{name}: {found.generate_report()}"
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            wide = page.evaluate("document.documentElement.scrollWidth")
            assert wide <= width, f"{name} at {width}: {wide}"
            picture(page, f"{name}-{width}")


def test_a_change_is_shown_while_it_is_typed_and_saved_by_keyboard(
    plan: Plan, signed_in_page: Page, live_server: Any, picture: Callable[[Page, str], Path]
) -> None:
    page = signed_in_page
    page.goto(live_server.url + url("plan_edit", plan.patient, "balance") + "?from=1&to=4")
    minutes, held = page.get_by_label("Minutes"), PlanEdit.objects.count()
    minutes.press_sequentially("700", delay=20)
    page.locator("#id_minutes_error").get_by_text("1 to 600").wait_for()
    picture(page, "plan-edit-refused-live-1366")
    assert (minutes.input_value(), page.evaluate("document.activeElement.name")) == (
        *("700", "minutes"),
    )
    assert minutes.get_attribute("aria-invalid") == "true"
    minutes.press("ControlOrMeta+a")
    minutes.press_sequentially("58", delay=20)
    page.get_by_text("Within the limits.").wait_for()
    picture(page, "plan-edit-preview-1366")
    assert "58 min a week" in page.locator("#preview").inner_text()
    assert "The whole of week 1" in page.locator("#preview").inner_text()
    assert (minutes.input_value(), page.evaluate("document.activeElement.name")) == (
        *("58", "minutes"),
    )
    assert minutes.get_attribute("aria-invalid") is None
    assert PlanEdit.objects.count() == held
    minutes.fill("500")
    page.get_by_role("button", name="Save the change").press("Enter")
    page.get_by_text("Not changed.").wait_for()
    picture(page, "plan-edit-refused-1366")
    page.get_by_label("Minutes").fill("58")
    page.get_by_role("button", name="Save the change").press("Enter")
    page.get_by_text("Changed: balance.").wait_for()


def test_what_is_typed_stays_when_signed_out_meanwhile(
    plan: Plan, signed_in_page: Page, live_server: Any
) -> None:
    page = signed_in_page
    page.goto(live_server.url + url("plan_edit", plan.patient, "balance"))
    page.context.clear_cookies(name=settings.SESSION_COOKIE_NAME)
    minutes = page.get_by_label("Minutes")
    minutes.fill("60")
    page.get_by_text("You are signed out.").wait_for()
    assert "could not be shown" in page.locator("#told").inner_text()
    assert minutes.input_value() == "60"


def test_signing_from_the_keyboard(
    plan: Plan, signed_in_page: Page, live_server: Any, picture: Callable[[Page, str], Path]
) -> None:
    page = signed_in_page
    page.goto(live_server.url + url("sign", plan.patient))
    page.get_by_label("Your password, once more").fill("not it")
    page.get_by_role("button", name="Sign version 1").press("Enter")
    page.get_by_text("This is not your password").wait_for()
    picture(page, "sign-wrong-1366")
    page.get_by_label("Your password, once more").fill(PASSWORD)
    page.get_by_role("button", name="Sign version 1").press("Enter")
    page.get_by_role("heading", name="Version 1 is signed").wait_for()
    picture(page, "signed-1366")
