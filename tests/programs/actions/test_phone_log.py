"""What she writes by phone: hers until a colleague takes it; what does not wait is marked."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.actions.refusals import Refused
from patients.models.patient import Audit
from programs.actions.may_hand_out import standing_of
from programs.actions.phone_codes import make_code, open_week, opened_by
from programs.actions.phone_log import (
    days_of,
    leave_day,
    take_days,
    waiting,
    write_day,
    written_in,
)
from programs.actions.record_check import look_over
from programs.actions.sessions import events_of
from programs.models.phone import PhoneDecision, PhoneEntry, PhoneOpening
from programs.models.program import SessionLog, SignedPlan
from safety.findings import Modality
from tests.programs import reviews, rows
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.long, pytest.mark.counted]
NOON = AT + dt.timedelta(days=2)
SECOND = dt.timedelta(seconds=1)


@pytest.fixture(scope="module")
def signed_once(clinician_of_this_file: User) -> int:
    return reviews.signed(clinician_of_this_file).pk


@pytest.fixture
def clinician(db: None, clinician_of_this_file: User) -> User:
    """Whoever signed it, in place of somebody of this name for each test."""
    return User.objects.get(pk=clinician_of_this_file.pk)


@pytest.fixture
def signed(db: None, signed_once: int) -> SignedPlan:
    return reviews.read_anew(signed_once)


@pytest.fixture
def opening(signed: SignedPlan, clinician: User) -> PhoneOpening:
    _, code = make_code(signed=signed, language="en", by=clinician, at=AT)
    found = opened_by(open_week(code=code, nonce="n", at=AT).token, AT)
    assert found is not None
    return found


def write(
    opening: PhoneOpening, on: dt.date = DAY, at: dt.datetime = NOON, token: Any = None, **told: str
) -> PhoneEntry | None:
    texts = {name.replace("__", "."): text for name, text in told.items()}
    return write_day(opening=opening, on=on, texts=texts, at=at, token=token)


def test_what_she_writes_is_hers_and_nothing_reads_it(opening: PhoneOpening) -> None:
    row = write(opening, balance__done="A", day__fell="Y", unknown__x="1", day__note="  ")
    assert row is not None
    assert row.told == {"balance.done": "A", "day.fell": "Y"}
    assert row.does_not_wait
    signed = opening.code.signed
    assert SessionLog.objects.count() == 0
    assert not events_of(signed.patient).exists()
    assert standing_of(signed, NOON).why == ()
    line = Audit.objects.latest("seq")
    assert (line.action, line.actor) == ("write day by phone", None)
    assert line.actor_name == f"the patient by phone, code {opening.code_id}"
    assert look_over().broken == ()


@pytest.mark.parametrize(
    ("told", "waits"),
    [
        ({"day__fell": "Y"}, False),
        ({"day__red_flag": "chest pain"}, False),
        ({"day__broke": "wrist"}, False),
        ({"day__pain": "6", "day__pain_settled": "Y"}, False),
        ({"day__pain": "5"}, False),
        ({"day__pain": "5", "day__pain_settled": "Y"}, True),
        ({"day__pain": "3"}, True),
        ({"day__near_fall": "Y", "day__fell": "N", "balance__done": "P"}, True),
    ],
)
def test_what_does_not_wait(told: dict[str, str], waits: bool, opening: PhoneOpening) -> None:
    row = write(opening, **told)
    assert row is not None
    assert row.does_not_wait is not waits


def test_only_days_of_the_week_up_to_today(opening: PhoneOpening) -> None:
    assert days_of(opening, NOON) == [DAY + dt.timedelta(days=n) for n in range(3)]
    for day in (DAY - dt.timedelta(days=1), DAY + dt.timedelta(days=3)):
        with pytest.raises(Refused, match="not one of the week"):
            write(opening, day, day__pain="1")
    later = AT + dt.timedelta(days=7)
    assert len(days_of(opening, later)) == 7
    with pytest.raises(Refused):
        write(opening, DAY + dt.timedelta(days=7), later, day__pain="1")


def test_what_cannot_be_read_is_not_kept(opening: PhoneOpening) -> None:
    with pytest.raises(Refused, match="0 to 9"):
        write(opening, day__pain="11")
    assert PhoneEntry.objects.count() == 0


def test_sent_again_it_is_not_written_twice(opening: PhoneOpening) -> None:
    form = uuid4()
    first = write(opening, token=form, day__pain="1")
    assert write(opening, token=form, day__pain="1") == first
    assert write(opening, day__pain="1") == first
    newer = write(opening, token=form, day__pain="2")
    assert newer != first
    assert write(opening, token=form, day__pain="1") == newer
    assert PhoneEntry.objects.count() == 2
    assert write(opening, DAY + dt.timedelta(days=1)) is None
    assert written_in(opening) == {DAY: newer}


def test_a_token_of_another_form_loses_nothing(opening: PhoneOpening, clinician: User) -> None:
    form, signed = uuid4(), opening.code.signed
    make_code(signed=signed, language="en", by=clinician, at=NOON, token=form)
    row = write(opening, token=form, day__pain="1")
    assert written_in(opening) == {DAY: row}


def test_a_later_code_of_the_same_week_shows_what_she_wrote(
    opening: PhoneOpening, clinician: User
) -> None:
    row = write(opening, day__pain="1")
    _, code = make_code(signed=opening.code.signed, language="en", by=clinician, at=NOON)
    again = open_week(code=code, nonce="m", at=NOON).opening
    assert written_in(again) == {DAY: row}


def test_a_colleague_takes_it_into_the_log(opening: PhoneOpening, clinician: User) -> None:
    patient, form = opening.code.signed.patient, uuid4()
    first = write(opening, balance__done="A", balance__effort="4", day__fell="N", day__pain="X")
    second = write(opening, DAY + dt.timedelta(days=1), balance__done="P")
    assert first is not None
    assert second is not None
    numbers = [first.pk, second.pk]
    given: Any = {"patient": patient, "by": clinician, "at": NOON, "token": form}
    assert take_days(numbers=numbers, **given) == 3
    assert take_days(numbers=numbers, **given) == 0
    held = SessionLog.objects.filter(entered_by=clinician).order_by("on", "whole_day")
    assert [(row.modality, row.done, row.pain) for row in held if not row.whole_day] == [
        ("balance", "all", None),
        ("balance", "part", None),
    ]
    assert held.get(whole_day=True).pain == 10
    assert waiting(patient) == []
    assert {(row.taken, row.by) for row in PhoneDecision.objects.all()} == {(True, clinician)}
    assert look_over().broken == ()


def test_what_the_log_has_already_is_taken_and_what_it_has_otherwise_is_not(
    opening: PhoneOpening, clinician: User
) -> None:
    signed = opening.code.signed
    rows.session(signed, clinician, modality="balance", done="all", on=DAY)
    same = write(opening, balance__done="A")
    assert same is not None
    given: Any = {"patient": signed.patient, "by": clinician, "at": NOON}
    assert take_days(numbers=[same.pk], **given) == 0
    other = write(opening, balance__done="P")
    assert other is not None
    with pytest.raises(Refused, match="logged otherwise already"):
        take_days(numbers=[other.pk], **given)
    assert [day.entry for day in waiting(signed.patient)] == [other]


def test_a_day_written_anew_meanwhile_is_looked_at_again(
    opening: PhoneOpening, clinician: User
) -> None:
    patient = opening.code.signed.patient
    fell, again = write(opening, day__fell="Y"), write(opening, day__fell="N")
    assert fell is not None
    assert again is not None
    given: Any = {"patient": patient, "by": clinician, "at": NOON}
    for numbers in ([fell.pk], [again.pk, 987654], []):
        with pytest.raises(Refused, match="in the meantime"):
            take_days(numbers=numbers, **given)
    (day,) = waiting(patient)
    assert day.does_not_wait
    assert [one.words for one in day.earlier] == ["fall: yes"]
    assert day.lines == ["the day: fall: no"]
    take_days(numbers=[again.pk], **given)
    decided = PhoneDecision.objects.order_by("pk").values_list("entry", "taken", "reason")
    assert list(decided) == [(fell.pk, False, "She rewrote this day."), (again.pk, True, "")]


def test_not_taken_says_why(opening: PhoneOpening, clinician: User) -> None:
    patient = opening.code.signed.patient
    row = write(opening, balance__done="N", day__note="Not me")
    assert row is not None
    given: Any = {"patient": patient, "number": row.pk, "by": clinician, "at": NOON}
    with pytest.raises(Refused, match="Say why"):
        leave_day(reason=" ", **given)
    leave_day(reason="Her grandson tried it", **given)
    assert PhoneDecision.objects.get().reason == "Her grandson tried it"
    assert (waiting(patient), SessionLog.objects.count()) == ([], 0)
    with pytest.raises(Refused, match="in the meantime"):
        leave_day(reason="Again", **given)


def test_a_day_that_she_emptied_says_so(opening: PhoneOpening, clinician: User) -> None:
    patient = opening.code.signed.patient
    write(opening, day__note="Tired")
    empty = write(opening)
    assert empty is not None
    (day,) = waiting(patient)
    assert day.lines == ["nothing: she emptied it"]
    assert not day.does_not_wait
    assert take_days(patient=patient, numbers=[empty.pk], by=clinician, at=NOON) == 0


def test_kinds_of_the_program_alone(opening: PhoneOpening) -> None:
    row = write(opening, resistance__done="A", **{"resistance__kg:nothing_such": "4"})
    assert row is not None
    assert set(row.told) <= {f"{Modality.RESISTANCE}.done"}
