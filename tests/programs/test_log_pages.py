"""The Log pages: a week at once, typed data kept on error, once only, struck out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from patients.models import Patient
from programs.actions.sessions import session_of
from programs.adherence import Planned
from programs.models import SessionLog, SignedPlan
from programs.snapshot import read
from safety.findings import Modality
from tests.patients.pages import filled, text_of
from tests.people import steady_document
from tests.programs import reviews, rows
from tests.programs.reviews import after, log_weeks
from tests.programs.rows import DAY

pytestmark = pytest.mark.django_db
TRANSACTION = ("BEGIN", "COMMIT", "SAVEPOINT", "RELEASE")


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


def send(client: Client, signed: SignedPlan, week: int, **typed: Any) -> HttpResponse:
    page = url("log", signed.patient)
    return client.post(page, filled(client, f"{page}?week={week}", **typed))


def test_nothing_to_log_without_a_signed_program(signed_in: Client, clinician: User) -> None:
    patient = rows.patient(clinician)
    assert "nothing to log" in text_of(signed_in.get(url("log", patient)))
    assert "nothing to review" in text_of(signed_in.get(url("review", patient)))
    assert signed_in.get(url("log_add", patient)).url == url("log", patient)
    marks = {"patient": patient.pk}
    assert signed_in.post(url("log", patient), marks).status_code == 200


def test_not_before_it_starts(signed_in: Client, signed: SignedPlan) -> None:
    with mock.patch.object(timezone, "now", return_value=after(-1)):
        assert "starts on Mon 2 Mar 2026" in text_of(signed_in.get(url("log", signed.patient)))


@pytest.mark.usefixtures("second_week")
def test_a_whole_week_is_logged_in_one_form(signed_in: Client, signed: SignedPlan) -> None:
    response = send(
        signed_in,
        signed,
        1,
        **{
            "2026-03-02_plate__done": "part",
            "2026-03-02_plate__effort": "6",
            "2026-03-02_plate__pain": "4",
            "2026-03-02_plate__pain_settled": "yes",
            "2026-03-02_plate__note": "calf",
            "2026-03-04_balance__done": "none",
            "2026-03-04_balance__fell": "yes",
            "2026-03-06_posture__pain": "0",
            "rest_done": "on",
            "rest_pain": "2",
            "no_fall": "on",
        },
    )
    assert response.url == url("log", signed.patient) + "?week=2"
    kept = {(row.on.day, row.modality): session_of(row) for row in SessionLog.objects.all()}
    slots = [
        (day.day, str(m))
        for m in reviews.planned(signed).modalities
        for day in reviews.planned(signed).days(1, m)
    ]
    assert sorted(kept) == sorted(slots)
    plate = kept[2, "plate"]
    assert (plate.done, plate.effort, plate.pain, plate.pain_settled) == ("part", 6, 4, True)
    assert (plate.note, plate.fell) == ("calf", False)
    missed = kept[4, "balance"]
    assert (missed.done, missed.pain, missed.fell) == ("none", None, True)
    assert kept[6, "posture"].pain == 0
    rest = kept[4, "posture"]
    assert (rest.done, rest.pain, rest.effort, rest.fell) == ("all", 2, None, False)
    assert "Fall" in text_of(signed_in.get(url("log", signed.patient)))


def test_blank_days_of_what_has_days_to_spare_are_not_logged(
    signed_in: Client, clinician: User
) -> None:
    """Six days may hold posture and two do: nobody knows which were free."""
    signed = reviews.signed(clinician, steady_document(resources={"minutes_per_day": 46}))
    with mock.patch.object(timezone, "now", return_value=after(11)):
        page = text_of(signed_in.get(url("log", signed.patient) + "?week=11"))
        assert "Posture: 2 sessions on any of 6 days." in page
        assert "But posture: more days than sessions" in page
        send(signed_in, signed, 11, rest_done="on", **{"2026-05-12_posture__done": "part"})
    logged = SessionLog.objects.filter(modality="posture")
    assert [(row.on.day, row.done) for row in logged] == [(12, "part")]
    assert SessionLog.objects.filter(modality="resistance", done="all").count() == 2


def test_a_day_more_of_impact_is_added_and_none_is_moved(clinician: User) -> None:
    """Three days from week 1 and a fourth from week 7: the first three stay."""
    signed = reviews.signed(clinician, steady_document())
    planned = Planned.of(read(signed.body))
    three, four = planned.days(1, Modality.IMPACT), planned.days(7, Modality.IMPACT)
    assert len(three) == 3
    assert {day.weekday() for day in three} < {day.weekday() for day in four}
    assert len(four) == 4


@pytest.mark.usefixtures("second_week")
def test_only_what_is_filled_in_is_logged_and_unknown_stays_unknown(
    signed_in: Client, signed: SignedPlan
) -> None:
    send(signed_in, signed, 1, **{"2026-03-02_plate__done": "all", "red_flag": "chest pain"})
    (row,) = SessionLog.objects.all()
    assert (row.pain, row.effort, row.fell, row.pain_settled) == (None, None, None, None)
    assert row.red_flag == "chest pain"


@pytest.mark.usefixtures("second_week")
def test_days_come_from_the_timetable_and_not_from_the_future(
    signed_in: Client, signed: SignedPlan
) -> None:
    page = text_of(signed_in.get(url("log", signed.patient) + "?week=2"))
    assert "Mon 9 Mar" in page
    assert "2026-03-11_balance__done" in page
    assert "2026-03-13_balance__done" not in page
    assert "2026-03-10_balance__done" not in page
    later = text_of(signed_in.get(url("log", signed.patient) + "?week=9"))
    assert "Week 2: Mon 9 Mar" in later
    nonsense = signed_in.get(url("log", signed.patient) + "?week=0x")
    assert "Week 1: Mon 2 Mar" in text_of(nonsense)


def test_the_first_empty_week_is_offered(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    log_weeks(signed, clinician, 1, 3)
    with mock.patch.object(timezone, "now", return_value=after(4)):
        assert "Week 2: Mon 9 Mar" in text_of(signed_in.get(url("log", signed.patient)))
        logged = text_of(signed_in.get(url("log", signed.patient) + "?week=3"))
    assert "Every session of this week is logged" in logged


@pytest.mark.usefixtures("second_week")
@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ({"2026-03-02_plate__pain": "11"}, "Write a number from 0 to 10"),
        ({"2026-03-02_plate__effort": "-1"}, "0 to 10"),
        ({"2026-03-02_plate__pain": "many"}, "2026-03-02_plate__pain_error"),
        ({"2026-03-02_plate__pain": "5"}, "Say how much was done"),
        ({"2026-03-02_plate__fell": "yes"}, "Say how much was done"),
        ({}, "Fill in at least one row"),
        ({"red_flag": "fever"}, "Fill in at least one row"),
    ],
)
def test_what_was_typed_is_kept_on_error(
    signed_in: Client, signed: SignedPlan, typed: dict[str, str], error: str
) -> None:
    response = send(signed_in, signed, 1, **typed, **{"2026-03-04_posture__note": "late"})
    if not typed or "red_flag" in typed:
        response = send(signed_in, signed, 1, **typed)
    page = text_of(response)
    assert response.status_code == 422
    assert error in page
    assert all(f'value="{value}"' in page for value in typed.values())
    assert not SessionLog.objects.exists()


@pytest.mark.usefixtures("second_week")
def test_sent_twice_is_logged_once(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log", signed.patient)
    form = filled(signed_in, f"{page}?week=1", **{"2026-03-02_plate__done": "all"})
    assert signed_in.post(page, form).url == signed_in.post(page, form).url
    assert SessionLog.objects.count() == 1


@pytest.mark.usefixtures("second_week")
def test_what_somebody_logged_meanwhile_is_not_logged_again(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    page = url("log", signed.patient)
    form = filled(signed_in, f"{page}?week=1", **{"2026-03-02_plate__done": "all", "no_fall": "on"})
    log_weeks(signed, clinician, 1)
    response = signed_in.post(page, form)
    assert response.status_code == 422
    assert "Plate on 2 Mar 2026 is logged already" in text_of(response)


@pytest.mark.usefixtures("second_week")
def test_a_form_of_another_patient_is_refused(signed_in: Client, signed: SignedPlan) -> None:
    assert send(signed_in, signed, 1, patient="99").status_code == 409
    for name, args in (("log_add", ()), ("review_decide", ())):
        response = signed_in.post(url(name, signed.patient, *args), {"patient": "99"})
        assert response.status_code == 409


# --- One session ----------------------------------------------------------------------------


def add(client: Client, signed: SignedPlan, **typed: Any) -> HttpResponse:
    page = url("log_add", signed.patient)
    told = {"on": "2026-03-03", "modality": "balance", "done": "all"}
    return client.post(page, filled(client, page, **told | typed))


@pytest.mark.usefixtures("second_week")
def test_one_session_on_any_day(signed_in: Client, signed: SignedPlan) -> None:
    response = add(signed_in, signed, minutes="15", pain="3", fell="no", red_flag="cough")
    assert response.url == url("log", signed.patient)
    (row,) = SessionLog.objects.all()
    assert (row.on, row.minutes, row.pain, row.fell) == (dt.date(2026, 3, 3), 15, 3, False)
    assert row.red_flag == "cough"


@pytest.mark.usefixtures("second_week")
@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ({"on": ""}, "This is needed"),
        ({"done": ""}, "This is needed"),
        ({"modality": ""}, "This is needed"),
        ({"minutes": "241"}, "Check the number"),
        ({"on": "2026-03-12"}, "lies after today"),
        ({"on": "2026-03-01"}, "starts on 2 Mar 2026"),
        ({"pain": "12"}, "0 to 10"),
    ],
)
def test_one_session_that_cannot_be(
    signed_in: Client, signed: SignedPlan, typed: dict[str, str], error: str
) -> None:
    response = add(signed_in, signed, note="kept", **typed)
    assert response.status_code == 422
    assert error in text_of(response)
    assert 'value="kept"' in text_of(response)
    assert not SessionLog.objects.exists()


@pytest.mark.usefixtures("second_week")
def test_240_minutes_can_be(signed_in: Client, signed: SignedPlan) -> None:
    assert add(signed_in, signed, minutes="240").status_code == 302


def test_today_just_after_midnight_is_accepted(signed_in: Client, signed: SignedPlan) -> None:
    """00:30 on 3 March in a zone 5 h 30 min ahead; Greenwich still has the 2nd."""
    half_past = dt.datetime(2026, 3, 2, 19, 0, tzinfo=dt.UTC)
    with (
        timezone.override("Asia/Kolkata"),
        mock.patch.object(timezone, "now", return_value=half_past),
    ):
        page = url("log_add", signed.patient)
        form = filled(signed_in, page, modality="balance", done="all")
        assert form["on"] == ["2026-03-03"]
        assert signed_in.post(page, form).status_code == 302
    assert SessionLog.objects.get().on == dt.date(2026, 3, 3)


@pytest.mark.usefixtures("second_week")
def test_one_session_sent_twice_is_logged_once(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log_add", signed.patient)
    form = filled(signed_in, page, on="2026-03-03", modality="balance", done="all")
    assert signed_in.post(page, form).status_code == 302
    assert signed_in.post(page, form).status_code == 302
    assert SessionLog.objects.count() == 1


# --- Struck out -----------------------------------------------------------------------------


@pytest.mark.usefixtures("second_week")
def test_an_entry_is_struck_out_and_stays_readable(signed_in: Client, signed: SignedPlan) -> None:
    add(signed_in, signed, fell="yes")
    row = SessionLog.objects.get()
    page = url("log_withdraw", signed.patient, row.pk)
    assert signed_in.post(page, filled(signed_in, page, patient="99")).status_code == 409
    assert signed_in.post(page, filled(signed_in, page)).status_code == 422
    response = signed_in.post(page, filled(signed_in, page, reason="Wrong person"))
    assert response.url == url("log", signed.patient)
    row.refresh_from_db()
    assert row.withdrawn_reason == "Wrong person"
    shown = text_of(signed_in.get(url("log", signed.patient) + "?week=1"))
    assert "Look at this first" not in shown
    assert "<del>balance</del>" in shown
    assert "struck out already" in text_of(signed_in.get(page))


@pytest.mark.usefixtures("second_week")
def test_another_patients_entry_is_not_found(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    add(signed_in, signed)
    other = rows.patient(clinician)
    page = url("log_withdraw", other, SessionLog.objects.get().pk)
    assert signed_in.get(page).status_code == 404


def test_a_page_takes_few_queries(signed_in: Client, signed: SignedPlan, clinician: User) -> None:
    log_weeks(signed, clinician, 1, 2, 3, 4)
    with mock.patch.object(timezone, "now", return_value=after(4)):
        for name in ("log", "log_add", "review"):
            with CaptureQueriesContext(connection) as captured:
                assert signed_in.get(url(name, signed.patient)).status_code == 200
            asked = [q["sql"] for q in captured if q["sql"].split()[0] not in TRANSACTION]
            assert len(asked) <= 12, (name, [q.split("FROM")[1][:30] for q in asked])
            assert all(q.startswith("SELECT") or "django_session" in q for q in asked)
    assert SessionLog.objects.filter(on=DAY).exists()
