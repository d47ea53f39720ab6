"""Days of the log saved: corrections leave the old value, two editors notice, once only."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.actions.refusals import Refused
from patients.models.patient import Audit
from programs.actions.log_days import (
    Meanwhile,
    ReasonNeeded,
    Saved,
    TypedDay,
    entries_of,
    rows_of_days,
    save_days,
)
from programs.actions.sessions import (
    carrier_of,
    events_of,
    in_order,
    log_as_read,
    log_session,
    session_of,
    whole_log,
)
from programs.models.program import SessionLog, SignedPlan
from programs.review.adherence import LiftedSet, Session
from programs.review.logged_days import entries_of_day
from safety.findings import Modality
from tests.programs import rows
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.django_db
KINDS = (Modality.PLATE, Modality.RESISTANCE, Modality.BALANCE)
DONE = Session(on=DAY, modality=Modality.BALANCE, done="all", effort=4)
WHOLE = Session(on=DAY, modality=Modality.PLATE, done="none", whole_day=True, pain=5, fell=False)


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)


def day(*sessions: Session, was: tuple[int, ...] = (), on: dt.date = DAY) -> TypedDay:
    return TypedDay(on=on, was=was, entries=entries_of_day(sessions), kinds=KINDS)


def save(signed: SignedPlan, by: User, *days: TypedDay, **more: Any) -> Saved:
    held = {"patient": signed.patient, "days": days, "reason": "", "by": by, "at": AT}
    return save_days(**held | more)


def standing(signed: SignedPlan) -> list[SessionLog]:
    return rows_of_days(signed.patient, [DAY])[DAY]


def numbers(signed: SignedPlan) -> tuple[int, ...]:
    return tuple(row.pk for row in standing(signed))


def test_a_day_is_kept_as_it_was_typed(signed: SignedPlan, clinician: User) -> None:
    sets = (LiftedSet(lift="leg_press", kg=46.5, left=10), LiftedSet(lift="squat", left=0))
    lifted = Session(on=DAY, modality=Modality.RESISTANCE, done="part", sets=sets)
    more = {"watched": True, "plate": "Clinic O'Hara", "broken_off": False}
    plate = Session(on=DAY, modality=Modality.PLATE, done="all", **more)
    whole = replace(
        WHOLE,
        pain_with=(Modality.BALANCE,),
        pain_where="knee",
        near_fall=True,
        ill=False,
        red_flag="dizzy",
        broke="toe",
        note="Ünal's dog",
        pain_settled=False,
    )
    typed = day(DONE, lifted, plate, whole)
    assert save(signed, clinician, typed) == Saved(added=4, struck=0)
    assert entries_of(standing(signed)) == typed.entries
    assert [row.whole_day for row in standing(signed)] == [False, False, False, True]
    line = Audit.objects.latest("seq")
    assert (line.action, line.object_id) == ("log days", str(signed.patient_id))


def test_what_is_told_of_a_day_counts_for_its_sessions(signed: SignedPlan, clinician: User) -> None:
    save(signed, clinician, day(DONE, WHOLE))
    (read,) = log_as_read(whole_log(signed.patient))
    assert (read.modality, read.pain, read.fell) == (Modality.BALANCE, 5, False)


def test_events_of_a_day_are_found(signed: SignedPlan, clinician: User) -> None:
    save(signed, clinician, day(replace(WHOLE, broke="wrist")))
    assert [one.broke for one in in_order(events_of(signed.patient))] == ["wrist"]


def test_a_correction_strikes_the_old_out_and_says_why(signed: SignedPlan, clinician: User) -> None:
    save(signed, clinician, day(DONE, WHOLE))
    was = numbers(signed)
    changed = day(replace(DONE, effort=6), WHOLE, was=was)
    with pytest.raises(ReasonNeeded):
        save(signed, clinician, changed, reason="  ")
    assert numbers(signed) == was
    assert save(signed, clinician, changed, reason="Misread") == Saved(added=1, struck=1)
    old = SessionLog.objects.get(effort=4)
    assert (old.withdrawn_reason, old.withdrawn_by) == ("Misread", clinician)
    assert sorted(row.effort or 0 for row in standing(signed)) == [0, 6]


def test_minutes_that_earlier_forms_asked_for_are_kept(signed: SignedPlan, clinician: User) -> None:
    row = log_session(patient=signed.patient, session=DONE, minutes=12, by=clinician, at=AT)
    save(signed, clinician, day(replace(DONE, effort=6), was=(row.pk,)), reason="Misread")
    assert [(one.effort, one.minutes) for one in standing(signed)] == [(6, 12)]


def test_a_day_cleared_is_struck_out(signed: SignedPlan, clinician: User) -> None:
    save(signed, clinician, day(DONE))
    found = save(signed, clinician, day(was=numbers(signed)), reason="Another person's")
    assert found == Saved(added=0, struck=1)
    assert not standing(signed)


def test_nothing_changed_writes_nothing(signed: SignedPlan, clinician: User) -> None:
    save(signed, clinician, day(DONE))
    before = Audit.objects.count()
    assert save(signed, clinician, day(DONE, was=numbers(signed))) == Saved(added=0, struck=0)
    assert save(signed, clinician, day(DONE)) == Saved(added=0, struck=0)
    assert Audit.objects.count() == before


def test_sent_twice_is_written_once(signed: SignedPlan, clinician: User) -> None:
    token = uuid4()
    assert save(signed, clinician, day(DONE), token=token).added == 1
    assert save(signed, clinician, day(DONE), token=token).added == 0
    assert SessionLog.objects.count() == 1


def test_two_editors_notice_each_other(signed: SignedPlan, clinician: User) -> None:
    log_session(patient=signed.patient, session=DONE, by=clinician, at=AT)
    mine = day(replace(DONE, effort=9))
    with pytest.raises(Meanwhile) as refused:
        save(signed, clinician, mine, reason="Mine")
    assert refused.value.days == (DAY,)
    assert [row.effort for row in standing(signed)] == [4]
    assert save(signed, clinician, replace(mine, was=numbers(signed)), reason="Mine").added == 1


def test_a_day_that_somebody_else_changed_and_i_did_not_stays(
    signed: SignedPlan, clinician: User
) -> None:
    save(signed, clinician, day(DONE))
    was = numbers(signed)
    save(signed, clinician, day(replace(DONE, effort=8), was=was), reason="Misread")
    assert save(signed, clinician, day(DONE, was=was)) == Saved(added=0, struck=0)
    assert [row.effort for row in standing(signed)] == [8]


def test_rows_of_other_days_and_people_are_not_touched(signed: SignedPlan, clinician: User) -> None:
    other = rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)
    theirs = log_session(patient=other.patient, session=DONE, by=clinician, at=AT)
    later = replace(DONE, on=DAY + dt.timedelta(days=1))
    at = AT + dt.timedelta(days=1)
    mine = log_session(patient=signed.patient, session=later, by=clinician, at=at)
    typed = day(was=(theirs.pk, mine.pk))
    assert save(signed, clinician, typed, reason="x") == Saved(added=0, struck=0)
    assert not SessionLog.objects.exclude(withdrawn_at=None).exists()


def test_all_or_none(signed: SignedPlan, clinician: User) -> None:
    tomorrow = DAY + dt.timedelta(days=1)
    late = day(replace(DONE, on=tomorrow), on=tomorrow)
    with pytest.raises(Refused, match="lies after today"):
        save(signed, clinician, day(DONE), late)
    assert not SessionLog.objects.exists()


def test_a_whole_day_is_kept_once(signed: SignedPlan, clinician: User) -> None:
    """It stands beside a session of the kind that carries it, never twice."""
    plate = Session(on=DAY, modality=Modality.PLATE, done="all")
    for one in (plate, WHOLE):
        log_session(patient=signed.patient, session=one, by=clinician, at=AT)
    with pytest.raises(Refused, match=r"The day on 2 Mar 2026 is logged already"):
        log_session(patient=signed.patient, session=WHOLE, by=clinician, at=AT)
    assert [session_of(row).whole_day for row in standing(signed)] == [False, True]


def test_a_day_has_a_kind_to_be_kept_under() -> None:
    assert carrier_of(KINDS) is Modality.PLATE
    assert carrier_of(()) is Modality.BALANCE
