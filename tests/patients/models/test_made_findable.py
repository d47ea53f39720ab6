"""Who was on record before is made findable by the migration, and asked about as a double."""

import datetime as dt
from importlib import import_module

import pytest
from django.apps import apps
from django.core.management.base import CommandError
from django.db import DatabaseError, connection

from patients import trigrams
from patients.asked_for import asked_for
from patients.models.finding import Findable, WordKey
from patients.models.patient import Patient
from patients.models.standing import PossibleDouble
from patients.search import found
from tests.factories import MOMENT, UserFactory

MIGRATION = import_module("patients.migrations.0008_people_made_findable")


def before(given: str, family: str, number: str, **born: object) -> Patient:
    """Put somebody on record as an older release did, her keys folded as they were then."""
    who = {"given_name": given, "family_name": family, "record_number": number, "sex": "female"}
    made = Patient.objects.create(
        **who, **{"born": dt.date(1950, 3, 14), **born}, created_by=UserFactory(),
        created_at=MOMENT,
    )  # fmt: skip
    Patient.objects.filter(pk=made.pk).update(search_key="old", given_key="old", record_key="old")
    return made


@pytest.mark.django_db
def test_everybody_is_found_and_doubles_are_proposed() -> None:
    one, like = before("Ann", "Iğdır-Woman", "A1"), before("Anne", "Iğdır Woman", "B2")
    year = before("Ann", "Other", "C3", born=dt.date(1950, 1, 1), born_is="year")
    numbered = before("Bea", "Wholly", "c-3", born=dt.date(1930, 1, 1))
    before("Cleo", "Alone", "", born=dt.date(1931, 1, 1))
    before("Dora", "Lonely", "", born=dt.date(1932, 1, 1))
    assert not Findable.objects.exists()
    MIGRATION.fill(apps, connection.schema_editor())
    assert Findable.objects.count() == Patient.objects.count() == 6
    assert set(found(asked_for("igdir")).numbers) == {one.pk, like.pk}
    assert found(asked_for("wolly")).numbers == (numbered.pk,)
    assert Findable.objects.filter(state="open").count() == 6
    assert WordKey.objects.filter(word="woman").exists()
    one.refresh_from_db()
    assert (one.search_key, one.record_key) == ("igdir woman ann a1", "a1")
    assert {(pair.one_id, pair.other_id) for pair in PossibleDouble.objects.all()} == {
        (one.pk, like.pk),
        (one.pk, year.pk),
    }


@pytest.mark.django_db
def test_an_empty_database_is_left_empty() -> None:
    MIGRATION.fill(apps, connection.schema_editor())
    assert not Findable.objects.exists()


def test_a_postgres_that_refuses_the_extension_is_told_of_in_a_sentence() -> None:
    class Refusing:
        def execute(self, sql: str, params: None) -> None:
            raise DatabaseError("permission denied to create extension\nHINT: be somebody else")

    with pytest.raises(CommandError) as refused:
        trigrams._make_extension(Refusing())
    said = str(refused.value)
    assert "permission denied to create extension)" in said
    assert "CREATE EXTENSION pg_trgm" in said
    assert "HINT" not in said
