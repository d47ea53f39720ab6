"""The clinic's figures and the list of who changed: wide and narrow, and by rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Page, expect

from programs.actions.rescreening import rescreen_all
from tests.programs import rows
from tests.programs.outcomes.simulated import Clinic


@pytest.fixture
def simulated(transactional_db: None, clinician: User) -> None:
    Clinic(clinician, timezone.localdate(), people=30)
    long = "Dr O'Neill & partners, heart clinic of a town with a name that goes on and on"
    change = {"rule": "r", "about": "plate", "text": "A clot", "before": 0, "after": 5}
    decided = [f"Cleared by {long}, until 2 May 2027: Pacemaker, for vibration plate."]
    rows.rescreen(rows.patient(clinician), changes=[change], rank=1, decided=decided)
    list(rescreen_all(at=timezone.now(), at_once=50))


@pytest.mark.usefixtures("simulated")
def test_figures_fit_and_pass_axe(
    signed_in_page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    page = signed_in_page
    for name, path in (("figures", "/clinic/figures/"), ("changed", "/caseload/changed/")):
        page.goto(live_server.url + path)
        looks_well(page, name)
    expect(page.get_by_text("Now left out, vibration plate: A clot.")).to_be_visible()
