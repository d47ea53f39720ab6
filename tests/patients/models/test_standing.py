"""Rows of a record's standing stay as they were written; trigrams follow each change."""

import pytest
from django.db import IntegrityError, connection, transaction

from patients.models.finding import Findable, holding
from patients.models.standing import Closing, Join, LookedThrough, TwoPeople
from tests.factories import DAY, MOMENT, PatientFactory, UserFactory

pytestmark = pytest.mark.django_db
KEPT = [Closing, Join, LookedThrough, TwoPeople]


@pytest.fixture
def kept():
    """One row of each kind."""
    by, one, other = UserFactory(), PatientFactory(), PatientFactory()
    said = {"by": by, "at": MOMENT}
    join = Join.objects.create(double=one, into=other, reason="Same", **said)
    return {
        Closing: Closing.objects.create(patient=one, what="moved", on=DAY, **said),
        Join: join,
        LookedThrough: LookedThrough.objects.create(join=join, **said),
        TwoPeople: TwoPeople.objects.create(one=one, other=other, reason="Twins", **said),
    }


@pytest.mark.parametrize("model", KEPT)
def test_the_database_refuses_change_and_deletion(model, kept):
    table, pk = model._meta.db_table, kept[model].pk
    for sql in (f"UPDATE {table} SET at = at WHERE id = %s", f"DELETE FROM {table} WHERE id = %s"):
        with (
            pytest.raises(IntegrityError, match="kept as they are"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(sql, [pk])
    assert model._default_manager.filter(pk=pk).exists()


def test_no_record_is_joined_to_itself():
    one = PatientFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        Join.objects.create(double=one, into=one, reason="x", by=UserFactory(), at=MOMENT)


def test_trigrams_follow_whatever_becomes_of_a_row():
    """On SQLite by triggers, which a rebuilt table would have lost."""
    row = PatientFactory(family_name="Before").findable
    held = Findable.objects.filter(holding((("efor",),)))
    assert held.get() == row
    row.words = " after "
    row.save()
    assert not held.exists()
    assert Findable.objects.get(holding((("fte",),))) == row
    Findable.objects.all().delete()
    assert not Findable.objects.filter(holding((("fte",),))).exists()
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            # Raises where the table of trigrams does not hold what the rows say.
            cursor.execute(
                "INSERT INTO patients_trigrams(patients_trigrams, rank) "
                "VALUES ('integrity-check', 1)"
            )
