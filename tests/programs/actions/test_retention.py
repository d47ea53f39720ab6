"""How long records are kept: what is set, whose time is over, and that nothing is deleted."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import DatabaseError, connection, transaction
from django.test.utils import CaptureQueriesContext

from patients.actions.closing import close_record, open_again
from patients.models.finding import JOINED, Findable
from patients.models.patient import Audit, Patient, SizeRow
from patients.models.standing import Join
from programs.actions.refusals import NotDone
from programs.actions.retention import ENTRIES, people_over, set_years_kept, years_in_force
from programs.models.clinic import YearsKept
from tests.programs import rows

AT = dt.datetime(2018, 3, 2, 9, 30, tzinfo=dt.UTC)
CLOSED_ON = dt.date(2018, 3, 1)
#: The first day on which eight years are over, and the last on which they are not.
OVER, NOT_YET = dt.date(2026, 3, 2), dt.date(2026, 3, 1)


def closed(by: User, *, on: dt.date = CLOSED_ON, at: dt.datetime = AT, **who: Any) -> Patient:
    of = rows.patient(by, **who)
    close_record(patient=of, what="discharged", on=on, by=by, at=at)
    return of


def entered(of: Patient, by: User, at: dt.datetime) -> None:
    SizeRow.objects.create(patient=of, date=at.date(), weight_kg=60, entered_by=by, entered_at=at)


def names(years: int, day: dt.date) -> list[Patient]:
    return [one.patient for one in people_over(years, day)]


# --- Setting -----------------------------------------------------------------------------------


def test_no_time_is_set_until_the_clinic_sets_one(db: None) -> None:
    assert years_in_force() is None


def test_what_was_set_last_holds_and_is_in_the_record(clinician: User) -> None:
    set_years_kept(years=8, by=clinician, at=AT)
    set_years_kept(years=None, by=clinician, at=AT)
    set_years_kept(years=10, by=clinician, at=AT)
    held = years_in_force()
    assert held is not None
    assert (held.years, held.by, held.at) == (10, clinician, AT)
    lines = Audit.objects.filter(action="set years kept").values_list("old", "new")
    assert [*lines] == [
        ('{"years":null}', '{"years":8}'),
        ('{"years":8}', '{"years":null}'),
        ('{"years":null}', '{"years":10}'),
    ]


def test_the_same_again_and_a_form_sent_twice_write_nothing(clinician: User) -> None:
    token = uuid4()
    set_years_kept(years=None, by=clinician, at=AT)
    set_years_kept(years=8, by=clinician, at=AT, token=token)
    set_years_kept(years=9, by=clinician, at=AT, token=token)
    set_years_kept(years=8, by=clinician, at=AT)
    assert [row.years for row in YearsKept.objects.all()] == [8]


@pytest.mark.parametrize("years", [0, 101])
def test_a_time_that_nobody_means_is_refused(clinician: User, years: int) -> None:
    with pytest.raises(NotDone, match="1 to 100 years"):
        set_years_kept(years=years, by=clinician, at=AT)
    assert years_in_force() is None


@pytest.mark.parametrize(
    "sql", ["UPDATE programs_yearskept SET years = 1", "DELETE FROM programs_yearskept"]
)
def test_the_database_keeps_what_was_set(clinician: User, sql: str) -> None:
    set_years_kept(years=8, by=clinician, at=AT)
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql)


# --- Retention period ended -----------------------------------------------------------------------


def test_a_closed_record_is_over_the_day_after_its_years(clinician: User) -> None:
    of = closed(clinician)
    assert names(8, NOT_YET) == []
    (one,) = people_over(8, OVER)
    assert (one.patient, one.last, one.since) == (of, CLOSED_ON, OVER)
    assert one.closing.what == "discharged"


def test_an_open_record_is_never_over(clinician: User) -> None:
    entered(rows.patient(clinician), clinician, AT)
    reopened = closed(clinician)
    open_again(patient=reopened, note="Came back", by=clinician, at=AT)
    assert names(8, OVER.replace(year=2080)) == []


def test_a_later_entry_counts(clinician: User) -> None:
    of = rows.patient(clinician)
    entered(of, clinician, AT + dt.timedelta(days=9))
    close_record(patient=of, what="moved", on=CLOSED_ON, by=clinician, at=AT.replace(year=2019))
    assert names(8, OVER + dt.timedelta(days=9)) == []
    (one,) = people_over(8, OVER + dt.timedelta(days=10))
    assert one.last == CLOSED_ON + dt.timedelta(days=10)


def test_what_was_entered_under_a_joined_record_counts(clinician: User) -> None:
    of, double = closed(clinician), rows.patient(clinician)
    entered(double, clinician, AT.replace(year=2020))
    assert names(8, OVER) == [of]
    Join.objects.create(double=double, into=of, reason="Same", by=clinician, at=AT)
    Findable.objects.filter(patient=double).update(state=JOINED)
    assert names(8, OVER) == []
    assert names(8, OVER.replace(year=2029)) == [of]


def test_the_longest_over_first_and_nothing_is_deleted(clinician: User) -> None:
    newer = closed(clinician)
    older = closed(clinician, on=CLOSED_ON.replace(year=2010))
    before = Patient.objects.count()
    assert names(8, OVER) == [older, newer]
    assert Patient.objects.count() == before


def test_it_takes_as_many_queries_for_one_as_for_many(clinician: User) -> None:
    closed(clinician)
    with CaptureQueriesContext(connection) as one:
        people_over(8, OVER)
    for _ in range(4):
        entered(closed(clinician), clinician, AT)
    with CaptureQueriesContext(connection) as many:
        assert len(people_over(8, dt.date(2030, 1, 1))) == 5
    assert len(one) == len(many)


def test_everything_that_somebody_enters_of_a_person_is_an_entry() -> None:
    """A table with a person, and with who wrote the row, tells of a contact, unless named here."""
    no_contact = {
        *("patients.patient", "patients.closing", "patients.twopeople", "patients.join"),
        "patients.personerasure",
        # Typed and not saved: nothing that was entered.
        "patients.unfinishedform",
        # A screen is made whenever somebody opens her page.
        "safety.screening",
    }
    found = set()
    for model in apps.get_models():
        related = {one.name: one.related_model for one in model._meta.concrete_fields}
        if Patient in related.values() and User in related.values():
            found.add(model._meta.label_lower)
    assert found - no_contact == {model._meta.label_lower for model in ENTRIES}
