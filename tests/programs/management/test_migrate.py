"""Bringing a database up to date, and refusing a newer one."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

pytestmark = [pytest.mark.database, pytest.mark.django_db]


def test_a_database_of_today_is_left_as_it_is() -> None:
    said = StringIO()
    call_command("migrate", stdout=said)
    assert "No migrations to apply" in said.getvalue()


def test_o03_a_newer_database_is_refused() -> None:
    """O03: an older program opened a newer database, and migrate said that all was well."""
    MigrationRecorder(connection).record_applied("safety", "0999_of_next_year")
    with pytest.raises(CommandError, match=r"newer release of Calcar, which has safety\.0999"):
        call_command("migrate", stdout=StringIO())
