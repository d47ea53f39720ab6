"""Saving at once: row D11 of the complaints, on the database that the tests run on."""

from __future__ import annotations

import datetime as dt
import time
from concurrent.futures import ThreadPoolExecutor
from threading import Event

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.utils import timezone

from patients.actions.patient_record import Identity, add_patient
from patients.audit import verify_chain, writing
from patients.models.patient import Audit, Patient

pytestmark = pytest.mark.database

SAVES = 20


def add(number: int, by: User) -> int:
    try:
        who = Identity(
            given_name=f"Nelda{number}",
            family_name=f"Thornwick{number}",
            born=dt.date(1950, 1, 1) + dt.timedelta(days=number),
            sex="female",
        )
        return add_patient(who=who, by=by, at=timezone.now()).pk
    finally:
        connection.close()


@pytest.mark.django_db(transaction=True)
def test_d11_twenty_people_saving_at_once_all_are_kept(clinician: User) -> None:
    """D11: "database is locked" although a long time-out was set; each save reads, then writes."""
    with ThreadPoolExecutor(SAVES) as people:
        kept = list(people.map(lambda number: add(number, clinician), range(SAVES)))
    assert len(set(kept)) == Patient.objects.count() == SAVES
    assert Audit.objects.count() == SAVES
    assert verify_chain() is None


@pytest.mark.django_db(transaction=True)
def test_whoever_writes_to_an_empty_record_waits_for_who_was_first(clinician: User) -> None:
    begun = Event()

    def hold() -> float:
        try:
            with writing():
                begun.set()
                time.sleep(0.3)
                return time.monotonic()
        finally:
            connection.close()

    with ThreadPoolExecutor(1) as other:
        first = other.submit(hold)
        begun.wait()
        with writing():
            entered = time.monotonic()
        assert entered > first.result()
