"""What is asked of doctors, as a clinician sees it: each width, the rules of access, the way."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Page, expect

from patients.models.patient import Patient
from tests.people import steady_document
from tests.programs import rows
from tests.programs.views.test_asked_doctors import BROKEN, page


@pytest.fixture
def patient(transactional_db: None, clinician: User) -> Patient:
    return rows.recorded(clinician, steady_document(fractures=BROKEN))


def test_asked_answered_and_off_the_caseload(
    live_server: Any,
    signed_in_page: Page,
    patient: Patient,
    looks_well: Callable[[Page, str], None],
) -> None:
    seen = signed_in_page
    seen.goto(live_server.url + page(patient))
    expect(seen.get_by_label("What is asked")).not_to_be_empty()
    seen.get_by_role("button", name="Save the question").click()
    expect(seen.locator(".error-summary")).to_contain_text("Say who is asked.")
    seen.get_by_label("Asked of").fill("Dr O'Vale, heart clinic")
    seen.get_by_role("button", name="Save the question").click()
    expect(seen.get_by_text("It waits on the Caseload")).to_be_visible()
    looks_well(seen, "asked")
    seen.goto(live_server.url + "/")
    seen.get_by_role("link", name="Save the answer").first.click()
    seen.get_by_label("Answer (required)", exact=True).select_option("seen to")
    looks_well(seen, "asked-answer")
    seen.get_by_role("button", name="Save the answer").click()
    expect(seen.get_by_text(f"Seen to, {timezone.localdate():%-d %b %Y}")).to_be_visible()
