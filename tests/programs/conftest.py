"""What tests of programs that commit need: rows that are kept have to go after the test."""

from collections.abc import Iterator

import pytest
from django.db import connection


@pytest.fixture
def triggers_after(django_db_setup: None, django_db_blocker: object) -> Iterator[list[str]]:
    """Make the triggers again once the test's rows are gone."""
    taken: list[str] = []
    yield taken
    with django_db_blocker.unblock(), connection.cursor() as cursor:  # type: ignore[attr-defined]
        for made in taken:
            cursor.execute(made)


@pytest.fixture
def committed(triggers_after: list[str], transactional_db: None) -> Iterator[None]:
    """A database in which the test commits; SQLite empties it by deleting, so triggers go."""
    yield
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        for name, made in cursor.fetchall():
            triggers_after.append(made)
            cursor.execute(f"DROP TRIGGER {name}")
