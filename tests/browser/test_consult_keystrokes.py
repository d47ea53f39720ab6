"""How long the hands need for a first consult; benchmarks/consult_keystrokes.py says how."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page

from benchmarks.consult_keystrokes import CONSULTS, Consult, Hands
from patients.rows_to_facts import facts_of
from programs.models.program import Plan
from tests.factories import PatientFactory


@pytest.fixture(autouse=True)
def on_a_day(on_the_first_day: None) -> None:
    """On the day that the invented people are asked."""


@pytest.mark.parametrize("consult", CONSULTS, ids=lambda consult: consult.who)
def test_a_first_consult_is_in_hand_in_so_many_seconds(
    transactional_db: None,
    live_server: Any,
    signed_in_page: Page,
    output: Path,
    consult: Consult,
) -> None:
    page, born = signed_in_page, dt.date.fromisoformat(consult.born)
    patient = PatientFactory(given_name="Tess", family_name="Counted", born=born, sex=consult.sex)
    page.set_viewport_size({"width": 1366, "height": 768})
    page.goto(live_server.url + reverse("programs:consult", args=[patient.pk]))
    hands = Hands(page)
    consult.asked(hands)
    page.wait_for_url(f"**{reverse('programs:plan', args=[patient.pk])}")
    said = hands.told(consult.who)
    name = f"consult-keystrokes-{CONSULTS.index(consult)}.txt"
    (output / name).write_text(f"{said}\n")
    plan = Plan.objects.get(patient=patient)
    facts = facts_of(patient, plan.as_of)
    assert plan.proposed["issuable"]
    assert facts.tests is not None
    assert facts.tests[0].resting_bp is not None
    assert facts.aims
    assert facts.resources is not None
    assert facts.resources.plates is not None
    assert hands.seconds <= consult.most_s, said
    assert hands.clicks <= consult.most_clicks, said
