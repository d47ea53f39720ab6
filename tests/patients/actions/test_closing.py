"""Closing a record and opening it again: who may, what it refuses, that nothing is lost."""

import datetime as dt
from uuid import uuid4

import pytest

from patients import audit
from patients.actions.closing import close_record, open_again
from patients.actions.doubles import keep_possible
from patients.actions.patient_record import add_measured, change_patient, identity_of, save_section
from patients.actions.refusals import Refused
from patients.facts.sections import SECTIONS
from patients.models.finding import CLOSED, OPEN
from patients.models.patient import Audit, Patient, SizeRow
from patients.models.standing import WHY_CLOSED, Closing, PossibleDouble
from patients.staff.rights import Role
from patients.standing import (
    closing_in_force,
    has_died,
    in_lists,
    why_not_written,
    why_nothing_new,
)
from tests.factories import DAY, MOMENT, PatientFactory, SizeFactory, UserFactory
from tests.staff import person_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def patient():
    return PatientFactory()


def close(patient, by, **more):
    return close_record(
        **{"patient": patient, "what": "moved", "on": DAY, "by": by, "at": MOMENT} | more
    )


def again(patient, by, **more):
    return open_again(**{"patient": patient, "note": "Back", "by": by, "at": MOMENT} | more)


def state(patient):
    return Patient.objects.get(pk=patient.pk).findable.state


def test_only_a_clinician_closes_and_opens(patient, by):
    helper = person_of(Role.ASSISTANT, Role.KEEPER, username="p.lund")
    with pytest.raises(Refused, match="may not close, join or part records"):
        close(patient, helper)
    close(patient, by)
    with pytest.raises(Refused, match="The role that may: clinician"):
        again(patient, helper)
    assert state(patient) == CLOSED


@pytest.mark.parametrize("what", WHY_CLOSED)
def test_a_closing_is_kept_with_its_line(patient, by, what):
    row = close(patient, by, what=what, note="  Her daughter\u200b called ")
    assert (row.what, row.on, row.note, row.by, row.at) == (
        what, DAY, "Her daughter called", by, MOMENT,
    )  # fmt: skip
    line = Audit.objects.get()
    assert (line.action, line.object_id, line.reason) == (
        "close record", str(row.pk), "Her daughter called",
    )  # fmt: skip
    assert audit.verify_chain() is None
    assert closing_in_force(Patient.objects.get(pk=patient.pk)) == row
    assert has_died(Patient.objects.get(pk=patient.pk)) is (what == "died")


def test_who_is_closed_leaves_the_lists_and_comes_back(patient, by):
    size, listed = SizeFactory(patient=patient), Patient.objects.filter(in_lists(""))
    of_rows = SizeRow.objects.filter(in_lists())
    assert (listed.count(), of_rows.count()) == (1, 1)
    close(patient, by)
    assert (listed.count(), of_rows.count()) == (0, 0)
    again(patient, by)
    assert (listed.count(), of_rows.get()) == (1, size)
    assert [row.what for row in Closing.objects.all()] == ["moved", "opened"]
    assert closing_in_force(Patient.objects.get(pk=patient.pk)) is None
    assert has_died(Patient.objects.get(pk=patient.pk)) is False
    close(patient, by, what="died")
    assert closing_in_force(Patient.objects.get(pk=patient.pk)).what == "died"


def test_the_same_form_sent_twice_closes_once(patient, by):
    token, other = uuid4(), uuid4()
    assert close(patient, by, token=token) == close(patient, by, token=token)
    assert again(patient, by, token=other) == again(patient, by, token=other)
    assert Closing.objects.count() == Audit.objects.count() == 2


def test_the_second_of_two_sees_that_it_was_done(patient, by):
    close(patient, by)
    with pytest.raises(Refused, match="closed this record in the meantime"):
        close(patient, by, what="died")
    again(patient, by)
    with pytest.raises(Refused, match="opened this record in the meantime"):
        again(patient, by)
    assert Closing.objects.count() == 2


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"on": DAY + dt.timedelta(days=1)}, "after today"),
        ({"on": dt.date(1959, 8, 13)}, "before the date of birth"),
        ({"what": "opened"}, "Say why"),
        ({"what": ""}, "Say why"),
    ],
)
def test_what_is_refused_writes_nothing(patient, by, more, why):
    with pytest.raises(Refused, match=why):
        close(patient, by, **more)
    assert not Closing.objects.exists()
    assert state(patient) == OPEN


def test_on_the_day_of_birth_and_today_it_is_taken(by):
    for day in (DAY, dt.date(1959, 8, 14)):
        assert close(PatientFactory(), by, on=day).on == day


def test_opening_again_needs_a_reason(patient, by):
    close(patient, by)
    with pytest.raises(Refused, match="Say why"):
        again(patient, by, note=" \u200b")
    assert state(patient) == CLOSED


def test_nothing_is_entered_in_a_closed_record(patient, by):
    assert why_not_written(patient) == why_nothing_new(patient) == ""
    close(patient, by)
    assert "closed" in why_not_written(patient)
    assert "closed" in why_nothing_new(patient)
    who = {"patient": patient, "by": by, "at": MOMENT}
    part = {"section": SECTIONS["falls"], "answers": {}, "as_of": DAY, "based_on": None}
    for refused in (
        lambda: add_measured(rows=[SizeRow(date=DAY, weight_kg=60)], **who),
        lambda: save_section(**part, **who),
        lambda: change_patient(who=identity_of(patient), version=1, **who),
    ):
        with pytest.raises(Refused, match="closed"):
            refused()
    assert not SizeRow.objects.exists()


def test_a_closed_record_is_no_possible_double(by):
    one, other = PatientFactory(given_name="Ann"), PatientFactory(given_name="Ann")
    keep_possible(other)
    assert PossibleDouble.objects.count() == 1
    close(one, by)
    assert not PossibleDouble.objects.exists()
    again(one, by)
    pair = PossibleDouble.objects.get()
    assert (pair.one, pair.other) == (one, other)
