"""The Plan, its change form, Sign and Caseload in a browser: what is seen, what a keyboard does."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Page

from programs.actions.editing import edit_plan
from programs.models import Plan
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
    page.get_by_label("Minutes").fill("60")
    page.keyboard.press("Tab")
    page.get_by_role("heading", name="What it would do").wait_for()
    picture(page, "plan-edit-preview-1366")
    assert "60 min a week" in page.locator("#preview").inner_text()
    page.get_by_label("Minutes").fill("500")
    page.get_by_role("button", name="Save the change").press("Enter")
    page.get_by_text("Not changed.").wait_for()
    picture(page, "plan-edit-refused-1366")
    page.get_by_label("Minutes").fill("60")
    page.get_by_role("button", name="Save the change").press("Enter")
    page.get_by_text("Changed: balance.").wait_for()


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
