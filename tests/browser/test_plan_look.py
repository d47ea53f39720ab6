"""The Plan, its change form, Sign and Caseload in a browser: what is seen, what a keyboard does."""

from collections.abc import Callable
from typing import Any

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Browser, Page

from programs.actions.editing import edit_plan
from programs.models.program import Plan, PlanEdit
from tests.conftest import PASSWORD
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.views.test_plan import document, drafted, sign, url


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
    plan: Plan, signed_in_page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    page, patient = signed_in_page, plan.patient
    pages = {
        "caseload": "/",
        "plan": url("plan", patient),
        "plan-change": url("plan", patient) + "?change=balance&from=3&to=4",
        "plan-edit": url("plan_edit", patient, "balance") + "?from=3&to=4",
        "plan-edit-lifting": url("plan_edit", patient, "resistance"),
        "sign": url("sign", patient),
        "versions": url("versions", patient),
    }
    for name, path in pages.items():
        page.goto(live_server.url + path)
        looks_well(page, name)


def test_a_change_is_shown_while_it_is_typed_and_saved_by_keyboard(
    plan: Plan, signed_in_page: Page, live_server: Any, picture: Callable[[Page, str], None]
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


def test_weeks_of_the_picture_lead_to_their_change(
    plan: Plan, signed_in_page: Page, live_server: Any
) -> None:
    page = signed_in_page
    page.goto(live_server.url + url("plan", plan.patient))
    page.locator('a[href*="change=balance&from="]').first.click()
    page.wait_for_load_state()
    assert page.get_by_label("From week").input_value() == "1"
    page.get_by_label("Minutes", exact=True).press_sequentially("58", delay=20)
    page.get_by_text("Within the limits.").wait_for()
    assert page.locator("#preview svg").count() == 1
    page.get_by_role("button", name="Save the change").press("Enter")
    page.get_by_text("Changed: balance.").wait_for()


def test_the_tables_lead_there_by_keyboard_and_without_scripts(
    plan: Plan, signed_in_page: Page, live_server: Any, browser: Browser
) -> None:
    context = browser.new_context(
        java_script_enabled=False, storage_state=signed_in_page.context.storage_state()
    )
    page = context.new_page()
    page.goto(live_server.url + url("plan", plan.patient))
    page.get_by_text("The same as tables").press("Enter")
    page.get_by_role("link", name="Change balance in weeks 1", exact=True).first.press("Enter")
    page.get_by_label("Minutes", exact=True).fill("58")
    page.get_by_role("button", name="Show what it does").press("Enter")
    assert "Within the limits." in page.locator("#told").inner_text()
    context.close()


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
    plan: Plan, signed_in_page: Page, live_server: Any, picture: Callable[[Page, str], None]
) -> None:
    page = signed_in_page
    page.goto(live_server.url + url("sign", plan.patient))
    page.get_by_label("Your password again").fill("not it")
    page.get_by_role("button", name="Sign version 1").press("Enter")
    page.locator(".error-summary", has_text="This is not your password").wait_for()
    picture(page, "sign-wrong-1366")
    page.get_by_label("Your password again").fill(PASSWORD)
    page.get_by_role("button", name="Sign version 1").press("Enter")
    page.get_by_role("heading", name="Version 1 is signed").wait_for()
    picture(page, "signed-1366")


def test_a_second_version_is_laid_beside_the_first(
    plan: Plan,
    clinician: User,
    signed_in_page: Page,
    live_server: Any,
    looks_well: Callable[[Page, str], None],
) -> None:
    patient = plan.patient
    sign(plan, clinician)
    told = {"last_12_months": 2, "injury": "no", "long_lie": "no", "blackout": "no"}
    rows.answer(patient, clinician, falls=told)
    drafted(patient, clinician)
    page = signed_in_page
    for name in ("sign", "versions"):
        page.goto(live_server.url + url(name, patient))
        page.get_by_text("Refer: high fall risk").first.wait_for()
        for folded in page.locator("main summary").all():
            folded.click()
        looks_well(page, f"{name}-second")
