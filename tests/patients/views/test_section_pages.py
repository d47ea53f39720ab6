"""The pages of the sections: values come to the row of the day, and what is asked about."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client

from patients.measured.worry import ITEMS
from patients.models.patient import Assessment, FunctionTestDay, Patient
from tests.factories import PatientFactory
from tests.patients.pages import Inputs, filled, text_of, url

pytestmark = pytest.mark.django_db


@pytest.fixture
def patient() -> Patient:
    made: Patient = PatientFactory(born=dt.date(1958, 3, 14), sex="female")
    return made


def save(client: Client, patient: Patient, code: str, **typed: Any) -> Any:
    page = url("section", patient.pk, code)
    names = {f"{code}-{name}": value for name, value in typed.items()}
    return client.post(page, filled(client, page) | names)


def test_values_come_to_the_tests_of_the_day(signed_in: Client, patient: Patient) -> None:
    save(signed_in, patient, "tests", up_and_go_s="9,8 s", unable=["grip_kg"])
    again = save(signed_in, patient, "tests", standing_bp="128/76", unable=["one_leg_s"])
    assert again.status_code == 302
    held = FunctionTestDay.objects.get(withdrawn_at=None)
    assert (float(held.up_and_go_s), held.standing_bp) == (9.8, [128, 76])
    assert held.unable == ["grip_kg", "one_leg_s"]
    assert FunctionTestDay.objects.count() == 2


def test_the_same_once_more_saves_nothing(signed_in: Client, patient: Patient) -> None:
    for _ in range(2):
        save(signed_in, patient, "tests", up_and_go_s="9.8")
    assert FunctionTestDay.objects.count() == 1
    told = text_of(signed_in.get(url("facts", patient.pk)))
    assert "Nothing was changed" in told


@pytest.mark.parametrize(
    "typed, said",
    [
        ({"up_and_go_s": "10.2"}, "On record for this day: 9.8 s"),
        ({"grip_kg": "20"}, "On record for this day: attempted, not possible"),
        ({"unable": ["up_and_go_s"]}, "a result of a test that is ticked here"),
    ],
)
def test_only_a_clash_is_asked_about(
    signed_in: Client, patient: Patient, typed: dict[str, Any], said: str
) -> None:
    save(signed_in, patient, "tests", up_and_go_s="9.8", unable=["grip_kg"])
    response = save(signed_in, patient, "tests", **typed)
    assert response.status_code == 422
    assert said in text_of(response)
    assert FunctionTestDay.objects.count() == 1


def test_another_worry_scale_of_the_day_is_asked_about(signed_in: Client, patient: Patient) -> None:
    page, names = url("section", patient.pk, "tests"), [f"worry-{code}" for code in ITEMS]
    signed_in.post(page, filled(signed_in, page) | dict.fromkeys(names, "1"))
    other = signed_in.post(page, filled(signed_in, page) | dict.fromkeys(names, "2"))
    assert "On record for this day: the worry scale" in text_of(other)


def test_not_done_today_goes_on(signed_in: Client, patient: Patient) -> None:
    response = save(signed_in, patient, "tests", not_done="on")
    assert response.status_code == 302
    assert not FunctionTestDay.objects.exists()
    both = save(signed_in, patient, "tests", not_done="on", up_and_go_s="9.8")
    assert "Untick this, or clear it" in text_of(both)
    none = save(signed_in, patient, "tests")
    assert "tick “Not done today”" in text_of(none)


def test_no_fall_settles_how_it_ended(signed_in: Client, patient: Patient) -> None:
    how = {"injury": "no", "long_lie": "no", "blackout": "yes"}
    save(signed_in, patient, "falls", last_12_months="0", **how)
    assert Assessment.objects.get().answers["falls"] == {"last_12_months": 0, "blackout": "yes"}


def test_a_marker_off_through_its_unit_is_asked_about(signed_in: Client, patient: Patient) -> None:
    page = url("section", patient.pk, "scans")
    value = {"marker-ctx__value": "0.52", "marker-ctx__unit": "ng/L"}
    signed_in.post(page, filled(signed_in, page) | {"marker-date": "2 Feb 2026"} | value)
    told = text_of(signed_in.get(url("facts", patient.pk)))
    assert "Did you mean ng/mL?" in told


def test_nothing_ticked_of_the_tools_stays_not_recorded_on_a_refused_page(
    signed_in: Client, patient: Patient
) -> None:
    page = url("section", patient.pk, "aims")
    sent = filled(signed_in, page) | {"resources-minutes_per_day": "many"}
    refused = text_of(signed_in.post(page, sent))
    assert "not a whole number" in refused
    assert "resources-equipment" in refused
    assert "resources-equipment" not in Inputs(refused).sent
