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

from patients.models.patient import Patient
from programs.actions.sessions import session_of
from programs.models.program import SessionLog, SignedPlan
from programs.review.adherence import Planned, Session
from programs.signed.snapshot import program_in
from safety.findings import Modality
from tests.patients.pages import Inputs, filled, text_of
from tests.people import steady_document
from tests.programs import reviews, rows
from tests.programs.reviews import after, log_weeks
from tests.programs.rows import DAY

pytestmark = [pytest.mark.django_db, pytest.mark.long]
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
    return client.post(page, filled(client, f"{page}?week={week}&weeks=1", **typed))


def kept() -> dict[tuple[int, str], Session]:
    """Return what stands, by day and kind; the day as a whole under its own name."""
    found = SessionLog.objects.filter(withdrawn_at=None)
    kinds = {row: "day" if row.whole_day else row.modality for row in found}
    return {(row.on.day, kind): session_of(row) for row, kind in kinds.items()}


def test_nothing_to_log_without_a_signed_program(signed_in: Client, clinician: User) -> None:
    patient = rows.patient(clinician)
    assert "nothing to log" in text_of(signed_in.get(url("log", patient)))
    assert "nothing to review" in text_of(signed_in.get(url("review", patient)))
    for name in ("log_day", "log_files", "log_table", "log_carry"):
        assert signed_in.get(url(name, patient)).url == url("log", patient)
    marks = {"patient": patient.pk}
    assert signed_in.post(url("log", patient), marks).status_code == 200


def test_not_before_it_starts(signed_in: Client, signed: SignedPlan) -> None:
    with mock.patch.object(timezone, "now", return_value=after(-1)):
        assert "starts on Mon 2 Mar 2026" in text_of(signed_in.get(url("log", signed.patient)))
        assert signed_in.get(url("log_day", signed.patient)).url == url("log", signed.patient)


@pytest.mark.usefixtures("second_week")
def test_a_whole_week_is_logged_in_one_form(signed_in: Client, signed: SignedPlan) -> None:
    slots = [
        (day.day, str(m))
        for m in reviews.planned(signed).modalities
        for day in reviews.planned(signed).days(1, m)
    ]
    response = send(
        signed_in,
        signed,
        1,
        **{
            "2026-03-02.plate.done": "p",
            "2026-03-02.plate.effort": "X",
            "2026-03-02.plate.watched": "Y",
            "2026-03-02.day.pain": "4",
            "2026-03-02.day.pain_settled": "Y",
            "2026-03-02.day.note": "calf",
            "2026-03-04.balance.done": "N",
            "2026-03-04.day.fell": "Y",
            "2026-03-03.day.ill": "Y",
            "week1.planned": "on",
            "week1.falls": "Y",
        },
    )
    assert response.url == url("log", signed.patient) + "?week=2"
    found = kept()
    assert {key for key in found if key[1] != "day"} == set(slots)
    plate = found[2, "plate"]
    assert (plate.done, plate.effort, plate.watched) == ("part", 10, True)
    day = found[2, "day"]
    assert (day.pain, day.pain_settled, day.note, day.fell) == (4, True, "calf", None)
    assert found[4, "balance"].done == "none"
    assert found[4, "day"].fell is True
    assert found[3, "day"].ill is True
    page = text_of(signed_in.get(url("log", signed.patient) + "?week=1"))
    assert "Look at this first" in page
    assert "Fall" in page


@pytest.mark.usefixtures("second_week")
def test_several_weeks_are_one_form(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log", signed.patient)
    shown = text_of(signed_in.get(page))
    assert "Weeks 1 to 2: Mon 2 Mar to Sun 15 Mar 2026" in shown
    assert "2026-03-11.balance.done" in shown
    assert "2026-03-12.balance.done" not in shown
    said = {"all.planned": "on", "week1.falls": "N", "week2.falls": "U"}
    assert signed_in.post(page, filled(signed_in, page, **said)).status_code == 302
    found = kept()
    assert {one.done for key, one in found.items() if key[1] != "day"} == {"all"}
    assert {one.fell for key, one in found.items() if key[1] == "day"} == {False}
    assert (9, "day") not in found


@pytest.mark.usefixtures("second_week")
def test_falls_are_asked_in_any_case(signed_in: Client, signed: SignedPlan) -> None:
    response = send(signed_in, signed, 1, **{"week1.planned": "on"})
    assert response.status_code == 422
    page = text_of(response)
    assert "Was there a fall? Write N, Y, or U where nobody asked." in page
    assert 'href="#week1.falls"' in page
    assert page.count('value="A"') == len(
        [day for m in Modality for day in reviews.planned(signed).days(1, m)]
    )
    assert not SessionLog.objects.exists()


@pytest.mark.usefixtures("second_week")
def test_what_is_not_filled_in_stays_unknown(signed_in: Client, signed: SignedPlan) -> None:
    said = {"2026-03-02.plate.done": "A", "2026-03-02.day.red_flag": "chest pain"}
    send(signed_in, signed, 1, **said, **{"week1.falls": "U"})
    found = kept()
    plate = found[2, "plate"]
    assert (plate.pain, plate.effort, plate.fell, plate.watched) == (None, None, None, None)
    assert found[2, "day"].red_flag == "chest pain"
    assert len(found) == 2


def test_a_plate_that_is_not_there_is_not_asked_for(signed_in: Client, clinician: User) -> None:
    gone = reviews.signed(clinician, steady_document(resources={"plates": []}))
    with mock.patch.object(timezone, "now", return_value=after(2)):
        pages = [url("log", gone.patient) + "?week=1", url("log_day", gone.patient)]
        assert all(".plate." not in text_of(signed_in.get(page)) for page in pages)


def test_blank_days_of_what_has_days_to_spare_are_not_logged(
    signed_in: Client, clinician: User
) -> None:
    """Three days may hold balance and one does: nobody knows which were free."""
    signed = reviews.signed(clinician, steady_document(resources={"minutes_per_day": 20}))
    planned = reviews.planned(signed)
    first, lifted = planned.days(1, Modality.BALANCE)[0], planned.days(1, Modality.RESISTANCE)
    with mock.patch.object(timezone, "now", return_value=after(1)):
        page = text_of(signed_in.get(url("log", signed.patient) + "?week=1"))
        assert "more days than sessions: balance" in page
        typed = {f"{first}.balance.done": "P", "week1.planned": "on", "week1.falls": "N"}
        send(signed_in, signed, 1, **typed)
    logged = SessionLog.objects.filter(modality="balance", whole_day=False)
    assert [(row.on, row.done) for row in logged] == [(first, "part")]
    assert SessionLog.objects.filter(modality="resistance", done="all").count() == len(lifted)


def test_a_day_more_of_impact_is_added_and_none_is_moved(clinician: User) -> None:
    """Three days from week 1 and a fourth later: the first three stay."""
    signed = reviews.signed(clinician, steady_document())
    planned = Planned.of(program_in(signed.body))
    later = next(w for w in range(2, 27) if len(planned.days(w, Modality.IMPACT)) == 4)
    three, four = planned.days(1, Modality.IMPACT), planned.days(later, Modality.IMPACT)
    assert len(three) == 3
    assert {day.weekday() for day in three} < {day.weekday() for day in four}
    assert len(four) == 4


@pytest.mark.usefixtures("second_week")
def test_weeks_are_within_the_program_and_today(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log", signed.patient)
    assert "Week 2: Mon 9 Mar" in text_of(signed_in.get(f"{page}?week=9"))
    for nonsense in ("0x", "²", "99999"):
        assert "Weeks 1 to 2: Mon 2 Mar" in text_of(signed_in.get(f"{page}?week={nonsense}"))
    assert "Week 1: Mon 2 Mar" in text_of(signed_in.get(f"{page}?week=1&weeks=1"))


def test_the_first_empty_week_is_offered(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    log_weeks(signed, clinician, 1, 3)
    with mock.patch.object(timezone, "now", return_value=after(4)):
        assert "Weeks 2 to 5: Mon 9 Mar" in text_of(signed_in.get(url("log", signed.patient)))


@pytest.mark.usefixtures("second_week")
@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ({"2026-03-02.day.pain": "11"}, "Write 0 to 9, or X for 10"),
        ({"2026-03-02.plate.effort": "-1"}, "Write 0 to 9, or X for 10"),
        ({"2026-03-02.day.pain": "many"}, "2026-03-02.day.pain_error"),
        ({"2026-03-02.plate.effort": "5"}, "Say how much was done"),
        ({"2026-03-02.plate.done": "Q"}, "Write A, P or N"),
        ({"2026-03-02.resistance.kg:leg_press": "1,234"}, "can be read two ways"),
        ({"2026-03-02.plate.plate": "7"}, "Write 1 or 0"),
    ],
)
def test_what_was_typed_is_kept_on_error(
    signed_in: Client, signed: SignedPlan, typed: dict[str, str], error: str
) -> None:
    more = {"2026-03-04.day.note": "O'Hara's step", "week1.falls": "N"}
    response = send(signed_in, signed, 1, **typed, **more)
    page = text_of(response)
    assert response.status_code == 422
    assert error in page
    assert all(f'value="{value}"' in page for value in (*typed.values(), "O'Hara's step"))
    assert not SessionLog.objects.exists()


@pytest.mark.usefixtures("second_week")
def test_sent_twice_is_logged_once(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log", signed.patient)
    typed = {"2026-03-02.plate.done": "A", "week1.falls": "N"}
    form = filled(signed_in, f"{page}?week=1&weeks=1", **typed)
    assert signed_in.post(page, form).url == signed_in.post(page, form).url
    assert SessionLog.objects.count() == 2


@pytest.mark.usefixtures("second_week")
def test_a_form_that_came_back_keeps_its_token(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log", signed.patient)
    form = filled(signed_in, f"{page}?week=1&weeks=1", **{"2026-03-02.plate.done": "Q"})
    back = text_of(signed_in.post(page, form))
    assert f'name="token" value="{form["token"][0]}"' in back


@pytest.mark.usefixtures("second_week")
def test_what_somebody_logged_meanwhile_is_shown_and_not_lost(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    page = url("log", signed.patient)
    typed = {"2026-03-02.plate.done": "P", "week1.falls": "N"}
    form = filled(signed_in, f"{page}?week=1&weeks=1", **typed)
    log_weeks(signed, clinician, 1)
    response = signed_in.post(page, form)
    shown = text_of(response)
    assert response.status_code == 409
    assert "Somebody logged this in the meantime" in shown
    assert "Plate on 2 Mar 2026: all; effort 5." in shown
    assert 'value="P"' in shown
    again = Inputs(response.content.decode()).sent
    assert signed_in.post(page, again).status_code == 422
    assert signed_in.post(page, again | {"reason": "Misread"}).status_code == 302
    assert kept()[2, "plate"].done == "part"


@pytest.mark.usefixtures("second_week")
def test_a_correction_asks_why_and_leaves_the_old_value(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    log_weeks(signed, clinician, 1)
    changed = {"2026-03-02.plate.effort": "7"}
    refused = send(signed_in, signed, 1, **changed)
    assert refused.status_code == 422
    assert "Say why what was logged is changed." in text_of(refused)
    assert 'value="7"' in text_of(refused)
    assert send(signed_in, signed, 1, **changed, reason="Misread the 1").status_code == 302
    page = text_of(signed_in.get(url("log", signed.patient) + "?week=1&weeks=1"))
    assert "Misread the 1" in page
    found = kept()
    assert (found[2, "plate"].effort, found[2, "day"].pain) == (7, 1)
    assert found[4, "plate"].pain == 1


@pytest.mark.usefixtures("second_week")
def test_g09_a_day_corrected_twice_stays_the_same_day(
    signed_in: Client, signed: SignedPlan
) -> None:
    with timezone.override("America/New_York"):
        send(signed_in, signed, 1, **{"2026-03-02.plate.done": "A", "week1.falls": "N"})
        for effort in ("3", "4"):
            typed = {"2026-03-02.plate.effort": effort, "reason": "Misread"}
            assert send(signed_in, signed, 1, **typed).status_code == 302
    assert {row.on for row in SessionLog.objects.all()} == {DAY}
    assert kept()[2, "plate"].effort == 4


@pytest.mark.usefixtures("second_week")
def test_a_form_of_another_patient_is_refused(signed_in: Client, signed: SignedPlan) -> None:
    another = str(signed.patient_id + 1)
    assert send(signed_in, signed, 1, patient=another).status_code == 409
    for name in ("log_day", "log_files", "review_decide"):
        response = signed_in.post(url(name, signed.patient), {"patient": another})
        assert response.status_code == 409


@pytest.mark.usefixtures("second_week")
def test_a_lapsed_session_keeps_what_was_typed(
    client: Client, signed_in: Client, signed: SignedPlan
) -> None:
    page = url("log", signed.patient)
    form = filled(signed_in, f"{page}?week=1&weeks=1", **{"2026-03-02.day.note": "wet tiles"})
    signed_in.logout()
    response = client.post(page, form, headers={"origin": "http://testserver"})
    assert response.status_code == 401
    assert "wet tiles" in text_of(response)


def test_eight_weeks_are_not_too_many_fields(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log", signed.patient)
    with mock.patch.object(timezone, "now", return_value=after(8)):
        form = filled(signed_in, f"{page}?week=1&weeks=99", **{"all.planned": "on"})
        form |= {f"week{n}.falls": "N" for n in range(1, 9)}
        assert len(form) > 1000
        assert signed_in.post(page, form).status_code == 302
    assert {row.on for row in SessionLog.objects.all()} >= {DAY, DAY + dt.timedelta(days=49)}


def test_a_page_takes_few_queries(signed_in: Client, signed: SignedPlan, clinician: User) -> None:
    log_weeks(signed, clinician, 1, 2, 3, 4)
    with mock.patch.object(timezone, "now", return_value=after(4)):
        # Each page screens her anew, so that it says where nothing may be handed out, and asks
        # for the record's lines of the program that it reads, and what the account may do. The
        # log asks for what she wrote by phone as well.
        for name, most in (("log", 25), ("log_day", 24), ("log_files", 24), ("review", 28)):
            with CaptureQueriesContext(connection) as captured:
                assert signed_in.get(url(name, signed.patient)).status_code == 200
            asked = [q["sql"] for q in captured if q["sql"].split()[0] not in TRANSACTION]
            asked = [sql for sql in asked if "patients_look" not in sql]
            assert len(asked) <= most, (name, asked)
            assert all(q.startswith("SELECT") or "django_session" in q for q in asked)
    assert SessionLog.objects.filter(on=DAY).exists()
