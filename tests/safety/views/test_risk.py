"""The Risk page: every criterion, its state, and whose it is."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from django.test import Client
from django.urls import reverse

from patients.models.patient import Patient
from tests.factories import AssessmentFactory, PatientFactory, SizeFactory
from tests.patients.pages import text_of
from tests.people import fracture, scan
from tests.safety.rows import known_patient

pytestmark = pytest.mark.django_db
TODAY = dt.date(2026, 3, 2)


@pytest.fixture(autouse=True)
def on_that_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("safety.views.risk.today", lambda: TODAY)
    monkeypatch.setattr("patients.views.common.today", lambda: TODAY)


def page(client: Client, patient: Patient) -> str:
    return text_of(client.get(reverse("safety:risk", args=[patient.pk])))


def rows(html: str) -> dict[str, str]:
    """Return the state of each criterion by its words."""
    found = re.findall(r'<th scope="row">(.*?)</th>.*?class="level [^"]*">(.*?)<', html, re.DOTALL)
    return {re.sub(r"<.*?>.*", "", text): state for text, state in found}


def test_what_decides_what_is_met_and_whose_it_is(signed_in: Client) -> None:
    patient = known_patient(
        scans=[scan("total_hip", bmd_g_cm2=0.56, t=-3.1)],
        fractures=[fracture("rib", "2015-01-01")],
    )
    html = page(signed_in, patient)
    assert "Fracture risk: very high" in html
    found = rows(html)
    assert found["T-score −3.0 or lower"] == "decides"
    assert found["T-score −2.5 or lower"] == "met as well"
    assert found["An earlier low-trauma fracture"] == "met as well"
    assert found["Two or more vertebral fractures"] == "not met"
    assert found["Ten-year probability of major fracture 20 % or more"] == "not recorded"
    assert "World Health Organization" in html


def test_what_is_nearly_met_with_the_number_on_record(signed_in: Client) -> None:
    patient = known_patient(scans=[scan("total_hip", bmd_g_cm2=0.65, t=-2.4)])
    html = page(signed_in, patient)
    assert rows(html)["T-score −2.5 or lower"] == "nearly met"
    assert "on record: T-score −2.4" in html


def test_what_is_not_recorded_says_where_it_is_asked(signed_in: Client) -> None:
    patient = PatientFactory(born=dt.date(1950, 1, 1))
    html = page(signed_in, patient)
    assert "Fracture risk: not known, drafted as high" in html
    assert "Fall risk: not known, drafted as intermediate" in html
    for code in ("fractures", "scans", "medicines", "falls", "tests"):
        assert reverse("patients:section", args=[patient.pk, code]) in html


def test_each_criterion_stands_once(signed_in: Client) -> None:
    html = page(signed_in, known_patient())
    assert html.count('<th scope="row">') == len(rows(html)) == 24


def test_facts_that_do_not_fit_together_are_named(signed_in: Client) -> None:
    patient = SizeFactory(date=TODAY, height_cm="170.0").patient
    AssessmentFactory(patient=patient, answers={"person": {"tallest_height_cm": 160}})
    assert "do not fit together" in page(signed_in, patient)


def test_only_the_sections_that_lack_something_are_named(signed_in: Client) -> None:
    patient = known_patient(medicines={"otherwise": "no"}, probability_10y=None)
    html = page(signed_in, patient)
    asked = html.partition("Not all is recorded.")[2].partition("</p>")[0]
    assert reverse("patients:section", args=[patient.pk, "fractures"]) in asked
    assert reverse("patients:section", args=[patient.pk, "medicines"]) not in asked
    assert reverse("patients:section", args=[patient.pk, "scans"]) not in asked


@pytest.mark.parametrize("name", ["safety:risk", "safety:screen"])
@pytest.mark.parametrize(("t", "asked"), [(2.0, True), (-2.0, False)])
def test_a_score_that_looks_mistyped_is_asked_about(
    signed_in: Client, name: str, t: float, asked: bool
) -> None:
    patient = known_patient(scans=[scan("femoral_neck", bmd_g_cm2=0.620, t=t)])
    html = text_of(signed_in.get(reverse(name, args=[patient.pk])))
    assert ("Is its minus sign missing?" in html) is asked
