"""Whether a database has records, asked before there are settings."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.db import connection

from config.first_look import rows_are_there
from config.local import CannotStart


def in_file(path: Path) -> dict[str, Any]:
    return {"ENGINE": "django.db.backends.sqlite3", "NAME": str(path)}


def test_a_file_that_is_new_empty_or_without_accounts_has_none(tmp_path: Path) -> None:
    path = tmp_path / "calcar.sqlite3"
    assert not rows_are_there(in_file(path))
    path.touch()
    assert not rows_are_there(in_file(path))
    with closing(sqlite3.connect(path)) as held:
        held.execute("CREATE TABLE other (one)")
        assert not rows_are_there(in_file(path))
        held.execute("CREATE TABLE auth_user (id)")
        assert not rows_are_there(in_file(path))
        held.execute("INSERT INTO auth_user VALUES (1)")
        held.commit()
        assert rows_are_there(in_file(path))


def test_a_damaged_one_may_have_some(tmp_path: Path) -> None:
    path = tmp_path / "calcar.sqlite3"
    path.write_bytes(b"no database" * 100)
    assert rows_are_there(in_file(path))


def server(**other: object) -> dict[str, Any]:
    given = settings.DATABASES["default"]
    here = {name: given.get(name) or "" for name in ("USER", "PASSWORD", "HOST", "PORT")}
    name = connection.settings_dict["NAME"]
    return {"ENGINE": "django.db.backends.postgresql", "NAME": name, **here, **other}


def test_a_server_that_does_not_answer_is_told() -> None:
    with pytest.raises(CannotStart, match="cannot be asked"):
        rows_are_there(server(HOST="127.0.0.1", PORT=1, USER="calcar", NAME="calcar"))


@pytest.mark.database
@pytest.mark.django_db(transaction=True)
def test_on_a_server() -> None:
    if connection.vendor == "sqlite":
        assert not rows_are_there(in_file(Path(connection.settings_dict["NAME"])))
        User.objects.create(username="m.ferro")
        assert rows_are_there(in_file(Path(connection.settings_dict["NAME"])))
        return
    assert not rows_are_there(server())
    User.objects.create(username="m.ferro")
    assert rows_are_there(server())
    assert not rows_are_there(server(NAME="postgres"))
    assert not rows_are_there(server(NAME="none_of_this_name"))
