"""The life of this database: the same until a restore begins another one."""

import datetime as dt

import pytest
from django.db import IntegrityError, connection, transaction

from patients import life
from patients.kept_rows import NeverChanged
from patients.models.life import DatabaseLife

AT = dt.datetime(2027, 1, 31, 2, 0, tzinfo=dt.UTC)

pytestmark = pytest.mark.database


@pytest.mark.django_db(transaction=True)
def test_an_emptied_database_gets_one_that_stays() -> None:
    mark = life.current()
    connection.close()
    assert life.current() == mark
    assert DatabaseLife.objects.get().uuid == mark


@pytest.mark.django_db
def test_lives_are_kept() -> None:
    row = DatabaseLife.objects.create(since=AT)
    with pytest.raises(NeverChanged):
        row.save()
    for sql in (
        "UPDATE patients_databaselife SET since = since",
        "DELETE FROM patients_databaselife",
    ):
        with (
            pytest.raises(IntegrityError, match="kept as they are"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(sql)
