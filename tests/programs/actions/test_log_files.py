"""Files of the log taken in: cases G01, G03 and G11, the same file twice, another person's."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from patients.actions.refusals import Refused
from patients.actions.scanners import park
from patients.actions.withdrawing import withdraw
from patients.files.columns import Unfit
from patients.files.rows import Choices
from patients.models.patient import Audit
from patients.models.scanners import ParkedFile
from programs.actions.log_files import Knows, Looked, look, take
from programs.log.day import all_columns
from programs.models.program import SessionLog, SignedPlan
from safety.findings import Modality
from tests.programs import rows
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.django_db
KINDS = tuple(Modality)
KNOWS = Knows(kinds=KINDS, columns=all_columns(KINDS, ("leg_press",)), plates=("at home",))
FIVE = {str(DAY - dt.timedelta(days=n)): {"balance.done": "A", "day.pain": "1"} for n in range(5)}


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    start = DAY - dt.timedelta(days=14)
    plan = rows.plan(rows.patient(clinician), clinician, starts_on=start)
    return rows.signed(plan, clinician)


@pytest.fixture(autouse=True)
def on_day() -> Any:
    with mock.patch.object(timezone, "now", return_value=AT):
        yield


def carried(signed: SignedPlan, days: dict[str, Any], file: str = "f1") -> bytes:
    told = {"format": "calcar-log/1", "file": file, "patient": signed.patient_id, "days": days}
    return json.dumps(told).encode()


def parked(content: bytes, by: User) -> ParkedFile:
    return park(name="log.json", content=content, by=by, at=AT)


def looked(file: ParkedFile, signed: SignedPlan, **choices: str) -> Looked:
    return look(file, signed.patient, KNOWS, Choices(**choices))


def taken(file: ParkedFile, signed: SignedPlan, by: User, expected: int) -> int:
    held: dict[str, Any] = {"patient": signed.patient, "knows": KNOWS, "choices": Choices()}
    return take(parked=file, expected=expected, by=by, at=AT, **held)


def test_g01_the_same_log_brought_back_twice_adds_nothing(
    signed: SignedPlan, clinician: User
) -> None:
    content = carried(signed, FIVE)
    assert taken(parked(content, clinician), signed, clinician, 10) == 10
    again = parked(content, clinician)
    found = looked(again, signed)
    assert found.before
    assert found.found is not None
    assert (len(found.found.new), len(found.found.known)) == (0, 10)
    with pytest.raises(Refused):
        taken(again, signed, clinician, 10)
    assert SessionLog.objects.count() == 10


def test_what_of_a_file_could_not_be_taken_then_can_be_taken_later(
    signed: SignedPlan, clinician: User
) -> None:
    """A day that lay after today; the very same file is brought again on that day."""
    table = b"date,pain\n2026-03-02,1\n2026-03-03,2\n"
    assert taken(parked(table, clinician), signed, clinician, 1) == 1
    tomorrow = AT + dt.timedelta(days=1)
    with mock.patch.object(timezone, "now", return_value=tomorrow):
        again = parked(table, clinician)
        found = looked(again, signed)
        assert found.before
        assert found.found is not None
        assert [entry.on for _, entry in found.found.new] == [DAY + dt.timedelta(days=1)]
        told: dict[str, Any] = {"patient": signed.patient, "knows": KNOWS, "choices": Choices()}
        assert take(parked=again, expected=1, by=clinician, at=tomorrow, **told) == 1
    assert Audit.objects.filter(action="take log file").count() == 2


def test_g01_the_same_days_in_another_file_add_nothing(signed: SignedPlan, clinician: User) -> None:
    taken(parked(carried(signed, FIVE), clinician), signed, clinician, 10)
    other = looked(parked(carried(signed, FIVE, file="f2"), clinician), signed)
    assert not other.before
    assert other.found is not None
    assert (len(other.found.new), len(other.found.known)) == (0, 10)


def test_a_log_that_went_on_brings_only_what_is_new(signed: SignedPlan, clinician: User) -> None:
    some = dict(list(FIVE.items())[2:])
    assert taken(parked(carried(signed, some), clinician), signed, clinician, 6) == 6
    assert taken(parked(carried(signed, FIVE), clinician), signed, clinician, 4) == 4
    assert SessionLog.objects.count() == 10


def test_g03_days_outside_the_program_are_refused_with_the_reason(
    signed: SignedPlan, clinician: User
) -> None:
    """The clinic's own day decides, whatever the device believed."""
    days = {"2026-02-15": {"day.pain": "1"}, "2026-03-03": {"day.pain": "1"}}
    found = looked(parked(carried(signed, days), clinician), signed).found
    assert found is not None
    assert not found.new
    assert "before the first program" in found.bad[0].text
    assert "lies after today" in found.bad[1].text


def test_g11_two_devices_that_tell_a_day_otherwise_are_noticed(
    signed: SignedPlan, clinician: User
) -> None:
    taken(parked(carried(signed, FIVE), clinician), signed, clinician, 10)
    other = {str(DAY): {"balance.done": "P", "day.pain": "1"}}
    found = looked(parked(carried(signed, other, file="f2"), clinician), signed).found
    assert found is not None
    assert [one.text.partition(":")[0] for one in found.bad] == ["Balance on 2 Mar 2026"]
    assert (len(found.new), len(found.known)) == (0, 1)


def test_what_was_struck_out_does_not_come_back(signed: SignedPlan, clinician: User) -> None:
    table = b"date,pain\n2026-03-02,5\n"
    taken(parked(table, clinician), signed, clinician, 1)
    withdraw(row=SessionLog.objects.get(), reason="Another person's", by=clinician, at=AT)
    found = looked(parked(b"date,pain\n2026-03-02,5\n\n", clinician), signed).found
    assert found is not None
    assert "struck out" in found.bad[0].text


def test_a_table_is_taken_once(signed: SignedPlan, clinician: User) -> None:
    table = b"date,plate done,plate watched,pain\n2026-03-02,A,Y,4\n"
    assert taken(parked(table, clinician), signed, clinician, 2) == 2
    again = parked(table, clinician)
    assert looked(again, signed).before
    line = Audit.objects.get(action="take log file")
    assert '"entries":2' in line.new
    assert {row.whole_day for row in SessionLog.objects.all()} == {True, False}


def test_what_a_file_asks_comes_first(signed: SignedPlan, clinician: User) -> None:
    written = "date,note\n2026-03-02,Müller\n".encode("cp1252")
    assert looked(parked(written, clinician), signed).encoding
    dates = parked(b"date,pain\n02/03/2026,1\n", clinician)
    assert looked(dates, signed).order
    read = looked(dates, signed, order="day_first").found
    assert read is not None
    assert [entry.on for _, entry in read.new] == [DAY]
    with pytest.raises(Refused):
        taken(dates, signed, clinician, 1)


def test_another_persons_log_is_refused(signed: SignedPlan, clinician: User) -> None:
    other = rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)
    with pytest.raises(Unfit, match="another patient"):
        looked(parked(carried(other, FIVE), clinician), signed)


def test_a_log_that_changed_meanwhile_is_looked_at_again(
    signed: SignedPlan, clinician: User
) -> None:
    file = parked(carried(signed, FIVE), clinician)
    rows.session(signed, clinician)
    with pytest.raises(Refused, match="changed in the meantime"):
        taken(file, signed, clinician, 10)
    assert SessionLog.objects.count() == 1
    nothing = parked(carried(signed, {}), clinician)
    with pytest.raises(Refused, match="changed in the meantime"):
        taken(nothing, signed, clinician, 0)
