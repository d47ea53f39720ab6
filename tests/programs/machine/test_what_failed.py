"""Failures as the database itself raises them, told apart from mistakes of the program."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import Error, connection, connections

from programs.machine import causes, what_failed
from programs.machine.connections import opened
from programs.machine.what_failed import cause_of_error

ROOM = 10**9


@pytest.fixture(autouse=True)
def state(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    settings.STATE_DIR = tmp_path
    monkeypatch.setattr(what_failed.folder, "free_bytes", lambda: ROOM)
    return tmp_path


@contextmanager
def database(file: Path, *statements: str) -> Iterator[str]:
    """Open a file of SQLite, whatever database the tests run on."""
    engine = "django.db.backends.sqlite3"
    with opened(str(file)) as alias:
        held = connections.create_connection("default")
        held = type(held)({**held.settings_dict, "NAME": str(file), "OPTIONS": {}}, alias)
        assert held.settings_dict["ENGINE"] == engine
        connections[alias] = held
        with held.cursor() as cursor:
            for statement in statements:
                cursor.execute(statement)
        yield alias
        held.close()


def failing(alias: str, statement: str) -> Error:
    with pytest.raises(Error) as raised, connections[alias].cursor() as cursor:
        cursor.execute(statement)
    return raised.value


FILLS = "INSERT INTO big SELECT zeroblob(1000000)"
BREAKS = {
    "full": (["CREATE TABLE big (one)", "PRAGMA max_page_count=10"], FILLS, causes.FULL),
    "read only": (["CREATE TABLE big (one)", "PRAGMA query_only=1"], FILLS, causes.READ_ONLY),
    "no table": ([], "SELECT * FROM patients_patient", causes.BEHIND),
    "no column": (["CREATE TABLE big (one)"], "SELECT two FROM big", causes.BEHIND),
    "not unique": (
        ["CREATE TABLE one (two UNIQUE)", "INSERT INTO one VALUES (1)"],
        "INSERT INTO one VALUES (1)",
        None,
    ),
    "no sense": ([], "SELEC", None),
}


@pytest.mark.django_db
@pytest.mark.parametrize("what", BREAKS)
def test_what_sqlite_raises(what: str, tmp_path: Path) -> None:
    if connection.vendor != "sqlite":
        assert cause_of_error(Error("database is locked")) is causes.BUSY
        return
    before, statement, cause = BREAKS[what]
    with database(tmp_path / "one.sqlite3", *before) as alias:
        assert cause_of_error(failing(alias, statement)) is cause


@pytest.mark.database
@pytest.mark.django_db
def test_what_the_database_of_the_tests_raises() -> None:
    assert cause_of_error(failing("default", "SELECT * FROM none_of_this_name")) is causes.BEHIND


@pytest.mark.parametrize(
    ("error", "cause"),
    [
        (OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)), causes.FULL),
        (OSError(errno.EROFS, os.strerror(errno.EROFS)), causes.READ_ONLY),
        (OSError(errno.EDQUOT, os.strerror(errno.EDQUOT)), causes.FULL),
        (ImproperlyConfigured("Error loading psycopg2 or psycopg module"), causes.NO_DRIVER),
        (ZeroDivisionError("connection"), None),
        (FileNotFoundError("nothing"), None),
        (None, None),
    ],
)
def test_what_others_raise(error: Exception | None, cause: causes.Cause | None) -> None:
    assert cause_of_error(error) is cause


def test_a_folder_that_is_gone_hides_no_cause(
    settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.undo()
    settings.STATE_DIR = Path("/nowhere")
    assert cause_of_error(Error("database is locked")) is causes.BUSY
