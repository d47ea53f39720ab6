"""Beside the exercise, as a clinician sees it: each width, the rules of access, the way."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from patients.models.patient import Patient
from programs.actions.drafting import draft_plan
from tests.factories import PatientFactory
from tests.programs import rows


@pytest.fixture
def patient(transactional_db: None, clinician: User) -> Patient:
    return rows.recorded(clinician)


def test_a_refusal_and_the_prompts(
    live_server: Any,
    signed_in_page: Page,
    patient: Patient,
    clinician: User,
    looks_well: Callable[[Page, str], None],
) -> None:
    seen = signed_in_page
    seen.goto(live_server.url + reverse("programs:beside", args=[patient.pk]))
    looks_well(seen, "beside-empty")
    seen.get_by_label("Kind (required)", exact=True).select_option("plate")
    seen.get_by_label("does not want it").check()
    seen.get_by_role("button", name="Save what was said").click()
    expect(seen.locator(".error-summary")).to_contain_text("in the person’s own words")
    looks_well(seen, "beside-error")
    seen.get_by_label("In the person’s own words").fill(
        "It makes me feel sick, and I'd rather walk"
    )
    seen.get_by_role("button", name="Save what was said").click()
    expect(seen.get_by_text("Kept. It changes no dose.")).to_be_visible()
    seen.get_by_label("Vision", exact=True).select_option("referred")
    seen.get_by_label("Vision: referred to").fill("Dr O'Vale, eye clinic")
    seen.get_by_role("button", name="Keep the answers").click()
    referred = seen.get_by_text("Referred to Dr O'Vale, eye clinic", exact=True)
    expect(referred).to_be_visible()
    looks_well(seen, "beside")
    day, now = timezone.localdate(), timezone.now()
    draft_plan(patient=patient, as_of=day, starts_on=day, by=clinician, at=now)
    for step in ("plan", "sign"):
        seen.goto(live_server.url + reverse(f"programs:{step}", args=[patient.pk]))
        expect(seen.get_by_text("Does not want it").first).to_be_visible()
        looks_well(seen, f"refused-{step}")


def test_two_of_one_name_and_an_age_that_was_told(
    live_server: Any,
    signed_in_page: Page,
    patient: Patient,
    looks_well: Callable[[Page, str], None],
) -> None:
    PatientFactory(
        given_name=patient.given_name, family_name=patient.family_name, born=patient.born
    )
    seen = signed_in_page
    seen.goto(live_server.url + reverse("patients:facts", args=[patient.pk]))
    expect(seen.get_by_text("Another person is called")).to_be_visible()
    looks_well(seen, "namesake")
    seen.goto(live_server.url + reverse("patients:change", args=[patient.pk]))
    seen.get_by_label("Date of birth").fill("about 70")
    seen.get_by_label("Preferred name").fill("Nan O'Fee")
    seen.get_by_label("Gender, if it differs").fill("woman")
    seen.get_by_role("button", name="Save").click()
    expect(seen.locator(".error-summary")).to_contain_text("Say by which risk tables to read")
    looks_well(seen, "identity-error")
    seen.get_by_label("Risk tables").select_option("either")
    seen.get_by_role("button", name="Save").click()
    expect(seen.locator(".banner")).to_contain_text("(estimated)")
    looks_well(seen, "identity")
