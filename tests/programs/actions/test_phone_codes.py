"""Codes for her phone: spent once, dead after a day, withdrawn with the program."""

from __future__ import annotations

import datetime as dt
from concurrent.futures import ThreadPoolExecutor
from unittest import mock
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.utils import timezone

from patients import audit
from patients.models.patient import Audit
from programs.actions import phone_codes
from programs.actions.phone_codes import (
    NoCode,
    code_shown,
    codes_of,
    end_code,
    is_unspent,
    make_code,
    note_slip,
    open_week,
    opened_by,
    why_no_code,
)
from programs.actions.program_state import stop_program
from programs.actions.record_check import look_over
from programs.actions.refusals import NotDone
from programs.actions.sessions import log_session
from programs.models.phone import PhoneCode, PhoneEnd, PhoneOpening
from programs.models.program import SignedPlan
from programs.phone.codes import CODE_LASTS, digest_of
from programs.review.adherence import Session
from safety.findings import Modality
from tests.programs import reviews
from tests.programs.reviews import after
from tests.programs.rows import AT

pytestmark = [pytest.mark.long, pytest.mark.database]
SECOND = dt.timedelta(seconds=1)
PHONE_A, PHONE_B = "a" * 32, "b" * 32


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


def made(signed: SignedPlan, by: User, at: dt.datetime = AT) -> str:
    return make_code(signed=signed, language="en", by=by, at=at)[1]


def opens(code: str, nonce: str = PHONE_A, at: dt.datetime = AT) -> bool:
    try:
        open_week(code=code, nonce=nonce, at=at)
    except NoCode:
        return False
    return True


def stop(signed: SignedPlan, by: User, modality: Modality | None = None) -> None:
    stop_program(signed=signed, modality=modality, why="Chest pain", by=by, at=AT)


@pytest.mark.counted
def test_h01_a_code_opens_one_phone_and_no_second_one(signed: SignedPlan, clinician: User) -> None:
    """H01: a code worked again for all of its minutes."""
    code = made(signed, clinician)
    opened = open_week(code=code, nonce=PHONE_A, at=AT)
    assert not opens(code, PHONE_B)
    assert not opens(code, PHONE_B, AT + SECOND)
    assert PhoneOpening.objects.count() == 1
    found = opened_by(opened.token, AT + SECOND)
    assert found is not None
    assert (found.code.signed_id, found.week) == (signed.pk, 1)


def test_h01_the_record_names_the_row_and_never_the_code(
    signed: SignedPlan, clinician: User
) -> None:
    row, code = make_code(signed=signed, language="es", by=clinician, at=AT)
    opened = open_week(code=code, nonce=PHONE_A, at=AT)
    end_code(code=row, by=None, at=AT)
    told = "\n".join(
        " ".join(map(str, line)) for line in Audit.objects.values_list("action", "old", "new")
    )
    for secret in (code, code.upper(), digest_of(code), opened.token, digest_of(opened.token)):
        assert secret not in told
    lines = Audit.objects.filter(action__contains="phone").order_by("seq")
    assert [(line.action, line.actor_name) for line in lines] == [
        ("make phone code", "Marta Ferro"),
        ("open week by phone", f"the patient by phone, code {row.pk}"),
        ("end phone code", f"the patient by phone, code {row.pk}"),
    ]
    assert {line.patient_id for line in lines} == {signed.patient_id}
    assert look_over().broken == ()
    assert {row.digest} == {digest_of(code)}


@pytest.mark.django_db(transaction=True)
def test_h01_of_two_phones_at_once_one_wins(clinician: User) -> None:
    code = made(reviews.signed(clinician), clinician)

    def press(nonce: str) -> bool:
        try:
            return opens(code, nonce)
        finally:
            connection.close()

    with ThreadPoolExecutor(6) as phones:
        won = list(phones.map(press, [f"{n:032x}" for n in range(6)]))
    assert sum(won) == 1
    assert PhoneOpening.objects.count() == 1
    assert audit.verify_chain() is None


@pytest.mark.counted
def test_a_second_touch_of_the_button_is_the_same_phone(
    signed: SignedPlan, clinician: User
) -> None:
    code = made(signed, clinician)
    first = open_week(code=code, nonce=PHONE_A, at=AT)
    again = open_week(code=code, nonce=PHONE_A, at=AT + CODE_LASTS)
    assert (again.opening, again.token) == (first.opening, first.token)


def test_what_a_phone_is_known_by_is_not_what_it_was_given_before(
    signed: SignedPlan, clinician: User
) -> None:
    opened = open_week(code=made(signed, clinician), nonce=PHONE_A, at=AT)
    assert opened_by(PHONE_A, AT) is None
    assert opened_by(opened.opening.digest, AT) is None


def test_a_code_is_dead_after_a_day(signed: SignedPlan, clinician: User) -> None:
    code = made(signed, clinician)
    row = PhoneCode.objects.get()
    assert is_unspent(row, AT + CODE_LASTS - SECOND)
    assert not is_unspent(row, AT + CODE_LASTS)
    assert code_shown(signed.patient, code, AT + CODE_LASTS) is None
    assert not opens(code, at=AT + CODE_LASTS)
    assert opens(code, at=AT + CODE_LASTS - SECOND)
    assert not is_unspent(codes_of(signed.patient).get(), AT)


@pytest.mark.counted
def test_another_code_ends_the_one_that_nobody_used(signed: SignedPlan, clinician: User) -> None:
    first, second = made(signed, clinician), made(signed, clinician)
    assert not opens(first)
    assert opens(second)
    made(signed, clinician)
    assert PhoneEnd.objects.get().why == PhoneEnd.ANOTHER
    assert code_shown(signed.patient, "nothing", AT) is None


@pytest.mark.counted
def test_a_form_sent_again_makes_no_second_code(signed: SignedPlan, clinician: User) -> None:
    form = uuid4()
    make_code(signed=signed, language="en", by=clinician, at=AT, token=form)
    with pytest.raises(NotDone, match="shown once"):
        make_code(signed=signed, language="en", by=clinician, at=AT, token=form)
    assert PhoneCode.objects.count() == 1


@pytest.mark.parametrize("kind", [None, Modality.BALANCE])
def test_with_the_program_code_and_phone_are_withdrawn(
    kind: Modality | None, signed: SignedPlan, clinician: User
) -> None:
    phone = open_week(code=made(signed, clinician), nonce=PHONE_A, at=AT)
    waiting = made(signed, clinician)
    stop(signed, clinician, kind)
    assert opened_by(phone.token, AT) is None
    assert not opens(waiting)
    assert "Chest pain" in why_no_code(signed, AT)
    with pytest.raises(NotDone, match="Chest pain"):
        made(signed, clinician)


def test_what_keeps_back_every_paper_closes_her_phone(signed: SignedPlan, clinician: User) -> None:
    phone = open_week(code=made(signed, clinician), nonce=PHONE_A, at=AT)
    assert opened_by(phone.token, AT)
    fell = Session(on=AT.date(), modality=Modality.BALANCE, done="none", fell=True)
    with mock.patch.object(timezone, "now", return_value=AT):
        log_session(patient=signed.patient, session=fell, by=clinician, at=AT + SECOND)
    assert opened_by(phone.token, AT) is None


@pytest.mark.counted
def test_a_program_that_does_not_verify_shows_nothing(
    signed: SignedPlan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = open_week(code=made(signed, clinician), nonce=PHONE_A, at=AT)

    def refuse(*_: object) -> None:
        raise NotDone("It is not as it was signed.")

    monkeypatch.setattr(phone_codes, "standing_of", refuse)
    assert opened_by(phone.token, AT) is None


def test_a_phone_shows_its_week_to_one_day_after_its_last(
    signed: SignedPlan, clinician: User
) -> None:
    at = after(1) + dt.timedelta(days=3)
    opened = open_week(code=made(signed, clinician, at), nonce=PHONE_A, at=at)
    assert opened.opening.week == 2
    midnight = dt.datetime(2026, 3, 17, tzinfo=dt.UTC)
    assert opened.opening.until == midnight
    assert opened_by(opened.token, midnight - SECOND)
    assert opened_by(opened.token, midnight) is None


@pytest.mark.counted
def test_where_the_weeks_are_over_there_is_no_week_to_show(
    signed: SignedPlan, clinician: User
) -> None:
    last_evening = after(26) - dt.timedelta(hours=12)
    assert opens(made(signed, clinician, last_evening), at=last_evening)
    later = made(signed, clinician, last_evening)
    assert not opens(later, PHONE_B, after(26))
    assert why_no_code(signed, after(26)) == phone_codes.WEEKS_OVER


@pytest.mark.counted
def test_an_ended_phone_is_closed_and_ended_once(signed: SignedPlan, clinician: User) -> None:
    code = made(signed, clinician)
    phone = open_week(code=code, nonce=PHONE_A, at=AT)
    row = PhoneCode.objects.get()
    end_code(code=row, by=clinician, at=AT)
    end_code(code=row, by=None, at=AT)
    assert opened_by(phone.token, AT) is None
    assert not opens(code)
    assert (PhoneEnd.objects.get().why, PhoneEnd.objects.get().by) == (PhoneEnd.CLINIC, clinician)


def test_that_the_slip_was_printed_is_written_down(signed: SignedPlan, clinician: User) -> None:
    code = made(signed, clinician)
    row = code_shown(signed.patient, code.upper(), AT)
    assert row is not None
    note_slip(code=row, by=clinician, at=AT)
    line = Audit.objects.get(action="print phone slip")
    assert (line.object_id, line.actor) == (str(row.pk), clinician)
    assert look_over().broken == ()
