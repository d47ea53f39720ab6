"""Whom to call: set on its page, asked for when something is signed, told where it is missing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from playwright.sync_api import Page, expect

from programs.actions.emergency_numbers import Emergency, set_emergencies
from programs.models.program import Plan
from tests.programs import rows
from tests.programs.rows import AT
from tests.programs.views.test_plan import document, drafted

Looks = Callable[[Page, str], None]


@pytest.fixture
def plan(transactional_db: None, clinician: User) -> Plan:
    """An open draft at a clinic that has no number for papers in Spanish."""
    made = drafted(rows.recorded(clinician, document()), clinician)
    set_emergencies(given=[Emergency(language="es")], by=clinician, at=AT)
    return made


@pytest.mark.usefixtures("plan")
def test_a_number_is_set(signed_in_page: Page, live_server: Any, looks_well: Looks) -> None:
    page = signed_in_page
    page.goto(live_server.url + "/clinic/emergency/")
    number = page.get_by_label("Emergency number, for papers in Spanish")
    number.fill("0123 456 789 or 0123 456 780")
    page.get_by_label("Own words beside it, in Spanish").fill("De día y de noche")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#div_id_number_es").get_by_text("Too long")).to_be_visible()
    expect(page.get_by_label("Own words beside it, in Spanish")).to_have_value("De día y de noche")
    looks_well(page, "clinic-emergency")
    number.fill("112")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("112, De día y de noche", exact=True)).to_be_visible()
    looks_well(page, "clinic-numbers")


def test_signing_asks_for_a_reason(
    signed_in_page: Page, live_server: Any, looks_well: Looks, plan: Plan
) -> None:
    page = signed_in_page
    page.goto(f"{live_server.url}/patients/{plan.patient_id}/sign/")
    page.get_by_label("Your password again").fill("wrong")
    page.get_by_role("button", name="Sign version 1").click()
    beside = page.locator("#div_id_without_number")
    expect(beside.get_by_text("Set it on the clinic's page")).to_be_visible()
    looks_well(page, "sign-without-number")


@pytest.mark.usefixtures("plan")
def test_the_caseload_says_what_is_missing(
    signed_in_page: Page, live_server: Any, looks_well: Looks
) -> None:
    page = signed_in_page
    page.goto(live_server.url + "/")
    expect(page.get_by_text("the emergency number for papers in Spanish")).to_be_visible()
    looks_well(page, "caseload-missing-number")
