"""A program of an older rulebook on caseload, banner and handout, and what is newly asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from programs.models.program import SignedPlan
from tests.programs import older


@pytest.fixture
def signed(transactional_db: None, clinician: User) -> SignedPlan:
    return older.signed(clinician, timezone.localdate())


def test_each_page_fits_and_passes_axe(
    signed_in_page: Page,
    live_server: Any,
    looks_well: Callable[[Page, str], None],
    signed: SignedPlan,
) -> None:
    page, her = signed_in_page, [signed.patient_id]
    addresses = {
        "caseload": reverse("programs:caseload"),
        "release-note": reverse("programs:release_note"),
        "handout": reverse("programs:handout", args=her),
        "newly-asked": reverse("patients:newly_asked", args=her),
    }
    for name, address in addresses.items():
        page.goto(live_server.url + address)
        looks_well(page, f"older-rulebook-{name}")


def test_from_the_caseload_to_the_review(
    signed_in_page: Page, live_server: Any, signed: SignedPlan
) -> None:
    page = signed_in_page
    page.goto(live_server.url + "/")
    again = page.get_by_role("region", name="Signed under an older rulebook, look again: 1")
    expect(again.get_by_text("Resistance, weeks").first).to_be_visible()
    again.get_by_role("link", name=signed.patient.family_name).click()
    expect(page.get_by_text("was signed under rulebook 2026.2")).to_be_visible()
    assert page.url.endswith(reverse("programs:review", args=[signed.patient_id]))
