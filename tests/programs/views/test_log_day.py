"""The page of one day of the log, near-falls on the review, and striking an entry out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Patient
from programs.actions.sessions import session_of
from programs.models.program import SessionLog, SignedPlan
from programs.review.adherence import Session
from safety.findings import Modality
from tests.patients.pages import filled, text_of
from tests.programs import reviews, rows
from tests.programs.reviews import after

pytestmark = [pytest.mark.django_db, pytest.mark.long]


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


@pytest.fixture
def second_week() -> Iterator[None]:
    """It is Wednesday of the second week."""
    with mock.patch.object(timezone, "now", return_value=after(1) + dt.timedelta(days=2)):
        yield


def url(name: str, patient: Patient, *args: Any) -> str:
    return reverse(f"programs:{name}", args=[patient.pk, *args])


def kept() -> dict[tuple[int, str], Session]:
    """Return what stands, by day and kind; the day as a whole under its own name."""
    found = SessionLog.objects.filter(withdrawn_at=None)
    kinds = {row: "day" if row.whole_day else row.modality for row in found}
    return {(row.on.day, kind): session_of(row) for row, kind in kinds.items()}


def one_day(
    client: Client, signed: SignedPlan, on: str = "2026-03-03", **typed: Any
) -> HttpResponse:
    page = url("log_day", signed.patient)
    told = {f"{on}.balance.done": "A", "week1.falls": "N"}
    return client.post(page, filled(client, f"{page}?on={on}", **told | typed))


@pytest.mark.usefixtures("second_week")
def test_one_day_has_all_that_can_be_told(signed_in: Client, signed: SignedPlan) -> None:
    typed = {
        "2026-03-03.resistance.done": "P",
        "2026-03-03.resistance.left:leg_press": "X",
        "2026-03-03.day.pain": "3",
        "2026-03-03.day.pain_with": "L",
        "2026-03-03.day.near_fall": "Y",
    }
    response = one_day(signed_in, signed, **typed)
    assert response.url == url("log", signed.patient)
    found = kept()
    assert found[3, "resistance"].sets[0].left == 10
    day = found[3, "day"]
    assert (day.pain, day.pain_with, day.near_fall) == (3, (Modality.RESISTANCE,), True)
    assert day.fell is False
    page = text_of(signed_in.get(url("log_day", signed.patient) + "?on=2026-03-03"))
    assert '<option value="P" selected>part</option>' in page


@pytest.mark.usefixtures("second_week")
def test_one_day_that_cannot_be(signed_in: Client, signed: SignedPlan) -> None:
    response = one_day(signed_in, signed, **{"2026-03-03.day.pain": "12", "week1.falls": ""})
    page = text_of(response)
    assert response.status_code == 422
    assert "Write 0 to 9, or X for 10" in page
    assert "<option selected>12</option>" in page
    assert "Was there a fall?" in page
    assert not SessionLog.objects.exists()


@pytest.mark.usefixtures("second_week")
@pytest.mark.parametrize(
    ("on", "said"), [("2026-03-12", "lies after today"), ("2026-02-30", "The calendar has")]
)
def test_a_day_that_is_none(signed_in: Client, signed: SignedPlan, on: str, said: str) -> None:
    response = signed_in.get(url("log_day", signed.patient) + f"?on={on}")
    assert response.status_code == 422
    assert said in text_of(response)


@pytest.mark.usefixtures("second_week")
def test_a_day_before_the_first_program_goes_back(signed_in: Client, signed: SignedPlan) -> None:
    response = signed_in.get(url("log_day", signed.patient) + "?on=2026-03-01", follow=True)
    assert "No program had started on 1 Mar 2026." in text_of(response)


def test_today_just_after_midnight_is_accepted(signed_in: Client, signed: SignedPlan) -> None:
    """00:30 on 3 March in a zone 5 h 30 min ahead; Greenwich still has the 2nd."""
    half_past = dt.datetime(2026, 3, 2, 19, 0, tzinfo=dt.UTC)
    with (
        timezone.override("Asia/Kolkata"),
        mock.patch.object(timezone, "now", return_value=half_past),
    ):
        assert one_day(signed_in, signed).status_code == 302
    assert {row.on for row in SessionLog.objects.all()} == {dt.date(2026, 3, 3)}


@pytest.mark.usefixtures("second_week")
def test_near_falls_and_illness_reach_the_review(signed_in: Client, signed: SignedPlan) -> None:
    one_day(signed_in, signed, **{"2026-03-03.day.near_fall": "Y", "2026-03-03.day.ill": "Y"})
    page = text_of(signed_in.get(url("review", signed.patient)))
    assert "Near-falls, no fall: 1 day (3 Mar 2026)." in page
    assert "Ill: 1 day (3 Mar 2026)." in page


# --- Struck out -----------------------------------------------------------------------------


@pytest.mark.usefixtures("second_week")
def test_an_entry_is_struck_out_and_stays_readable(signed_in: Client, signed: SignedPlan) -> None:
    one_day(signed_in, signed, **{"2026-03-03.day.fell": "Y", "week1.falls": "Y"})
    row = SessionLog.objects.get(whole_day=True)
    page = url("log_withdraw", signed.patient, row.pk)
    another = filled(signed_in, page, patient=str(signed.patient_id + 1))
    assert signed_in.post(page, another).status_code == 409
    assert signed_in.post(page, filled(signed_in, page)).status_code == 422
    response = signed_in.post(page, filled(signed_in, page, reason="Wrong person"))
    assert response.url == url("log", signed.patient)
    row.refresh_from_db()
    assert row.withdrawn_reason == "Wrong person"
    shown = text_of(signed_in.get(url("log", signed.patient) + "?week=1"))
    assert "Look at this first" not in shown
    assert "<del>the day</del>" in shown
    assert "struck out already" in text_of(signed_in.get(page))


@pytest.mark.usefixtures("second_week")
def test_another_patients_entry_is_not_found(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    one_day(signed_in, signed)
    other = rows.patient(clinician)
    page = url("log_withdraw", other, SessionLog.objects.earliest("pk").pk)
    assert signed_in.get(page).status_code == 404
