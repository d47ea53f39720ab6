"""Help as somebody new sees it: an empty clinic, the tour put away, terms and the glossary."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib.auth.models import User
from django.urls import reverse
from playwright.sync_api import Page, expect

from tests.programs import rows


def test_an_empty_clinic_its_tour_and_the_glossary(
    live_server: Any,
    signed_in_page: Page,
    clinician: User,
    looks_well: Callable[[Page, str], None],
) -> None:
    seen = signed_in_page
    seen.goto(live_server.url + "/")
    expect(seen.get_by_role("heading", name="what to set first")).to_be_visible()
    looks_well(seen, "empty-clinic")
    seen.get_by_role("button", name="Put this away").click()
    expect(seen.get_by_role("heading", name="Caseload")).to_be_visible()
    expect(seen.get_by_role("note", name="Tour of this page")).to_have_count(0)
    her = rows.recorded(clinician)
    seen.goto(live_server.url + reverse("patients:section", args=[her.pk, "falls"]))
    seen.get_by_text("Terms on this page").click()
    looks_well(seen, "terms")
    seen.get_by_role("link", name="Long lie").click()
    expect(seen.get_by_text("An hour or more on the floor after a fall.")).to_be_in_viewport()
    looks_well(seen, "glossary")
