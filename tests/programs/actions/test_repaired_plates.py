"""A plate that was repaired: what was measured before counts no more, and it is measured again."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from patients.actions.refusals import Conflict, Refused
from patients.models.patient import Audit
from programs.actions import plates as actions
from programs.models.plates import ClinicPlate
from programs.plates.measured_motion import Measurement, counts, recheck_on
from tests.patients.pages import filled, text_of
from tests.programs.sample_plates import VERTICAL

AT = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
DAY = AT.date()
REPAIR = dt.date(2026, 2, 10)


def measured(on: dt.date, mm: float = 1.1) -> Measurement:
    return Measurement(on=on, load_kg=68.0, set_hz=30.0, set_mm=1.0, mm=mm)


@pytest.fixture
def who(clinician: User) -> dict[str, Any]:
    return {"by": clinician, "at": AT}


@pytest.fixture
def row(who: dict[str, Any]) -> ClinicPlate:
    made = actions.add_plates(plates=[VERTICAL], **who)[0]
    actions.add_measurement(row=made, measured=measured(REPAIR - dt.timedelta(1)), **who)
    return made


def repaired(row: ClinicPlate, who: dict[str, Any], **more: Any) -> ClinicPlate:
    held = {"on": REPAIR, "version": row.version, "reason": "New spring"}
    return actions.repair_plate(row=row, **(held | more), **who)


def url(name: str, row: ClinicPlate) -> str:
    return reverse(f"programs:{name}", args=[row.pk])


@pytest.mark.parametrize(("days", "does"), [(-1, False), (0, True), (1, True)])
def test_what_was_measured_from_the_day_of_the_repair_on_counts(days: int, does: bool) -> None:
    one = measured(REPAIR + dt.timedelta(days))
    assert counts(one, REPAIR) == does
    assert counts(one, None)


def test_it_is_measured_again_after_a_year_or_from_the_repair_on() -> None:
    assert recheck_on([], None) is None
    assert recheck_on([], REPAIR) == REPAIR
    assert recheck_on([measured(DAY)], REPAIR) == dt.date(2027, 3, 2)


@pytest.mark.django_db
def test_the_panel_counts_until_it_is_measured_again(row: ClinicPlate, who: dict[str, Any]) -> None:
    assert actions.known(row).measured
    after = repaired(row, who)
    assert (after.version, after.repaired_on) == (2, REPAIR)
    assert actions.known(after).measured == ()
    assert actions.known(after).plate == VERTICAL
    actions.add_measurement(row=after, measured=measured(REPAIR, 1.3), **who)
    (one,) = actions.known(after).measured
    assert one.mm == 1.3
    line = Audit.objects.get(action="repair clinic plate")
    assert line.reason == "New spring"


@pytest.mark.django_db
def test_a_repair_entered_in_error_is_taken_back(row: ClinicPlate, who: dict[str, Any]) -> None:
    after = repaired(row, who)
    back = repaired(after, who, on=None, reason="Another plate")
    assert back.repaired_on is None
    assert actions.known(back).measured
    assert repaired(back, who, on=None, version=9).version == 3


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("wrong", "said"),
    [({"reason": " "}, "what was repaired"), ({"on": DAY + dt.timedelta(1)}, "after today")],
)
def test_a_repair_that_cannot_be_is_refused(
    row: ClinicPlate, who: dict[str, Any], wrong: dict[str, Any], said: str
) -> None:
    with pytest.raises(Refused, match=said):
        repaired(row, who, **wrong)
    assert ClinicPlate.objects.get().repaired_on is None


@pytest.mark.django_db
def test_an_old_version_and_a_retired_plate_are_refused(
    row: ClinicPlate, who: dict[str, Any]
) -> None:
    actions.change_plate(row=row, plate=replace(VERTICAL, price=690), version=1, **who)
    with pytest.raises(Conflict):
        repaired(row, who, version=1)
    actions.retire_plate(row=row, version=2, reason="Sold", **who)
    with pytest.raises(Refused, match="retired"):
        repaired(row, who, version=3)


@pytest.mark.django_db
def test_the_page_says_so_and_the_register_asks_for_a_measurement(
    signed_in: Client, row: ClinicPlate
) -> None:
    address = url("plate_repair", row)
    sent = filled(signed_in, address, on="10 Feb 2026", reason="New spring")
    page = text_of(signed_in.post(address, sent, follow=True))
    assert "Repaired on 10 Feb 2026" in page
    assert "Before the repair, so it no longer counts" in page
    assert "It was repaired and not measured since; due since 10 Feb 2026." in page
    register = text_of(signed_in.get(reverse("programs:plates")))
    assert "Measure again" in register
    assert "nominal only" in register


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"on": "1 Jan 2199", "reason": "New spring"}, "This is after today."),
        ({"on": "10 Feb 2026", "reason": ""}, "Say what was repaired."),
        ({"on": "10/", "reason": "New spring"}, 'value="10/"'),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(
    signed_in: Client, row: ClinicPlate, typed: dict[str, str], said: str
) -> None:
    address = url("plate_repair", row)
    answer = signed_in.post(address, filled(signed_in, address, **typed))
    assert answer.status_code == 422
    assert said in text_of(answer)


@pytest.mark.django_db
def test_somebody_elses_change_is_noticed(
    signed_in: Client, row: ClinicPlate, who: dict[str, Any]
) -> None:
    address = url("plate_repair", row)
    sent = filled(signed_in, address, on="10 Feb 2026", reason="New spring")
    actions.change_plate(row=row, plate=replace(VERTICAL, price=690), version=1, **who)
    assert signed_in.post(address, sent).status_code == 409
    assert signed_in.post(address, sent | {"version": "2"}).status_code == 302
