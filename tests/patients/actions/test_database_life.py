"""Beginning a new life of the database."""

import datetime as dt

import pytest
from django.contrib.auth.models import User
from django.db import connection

from patients import life
from patients.actions.database_life import begin_anew
from patients.models.patient import Audit

pytestmark = pytest.mark.database

AT = dt.datetime(2027, 1, 31, 2, 0, tzinfo=dt.UTC)


@pytest.mark.django_db(transaction=True)
def test_a_new_life_holds_from_the_next_connection_on(clinician: User) -> None:
    before = life.current()
    row = begin_anew(by=clinician, at=AT, reason="from copy.sqlite3")
    connection.close()
    assert life.current() == row.uuid != before
    line = Audit.objects.get()
    assert (line.action, line.reason) == ("restore database", "from copy.sqlite3")
    assert str(row.uuid) in line.new
