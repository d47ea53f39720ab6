"""Bringing a database up to date, and refusing a newer one."""

import os
import subprocess
import sys
from io import StringIO
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

ROOT = Path(__file__).parents[3]

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


def test_n01_of_servers_that_start_together_one_makes_the_tables(tmp_path: Path) -> None:
    """N01: they raced each other, and some ended with an error."""
    if connection.vendor != "postgresql":
        pytest.skip("several servers share a PostgreSQL alone")
    name = f"started_together_{os.getpid()}"
    with connection._nodb_cursor() as server:
        server.execute(f"CREATE DATABASE {name}")
        try:
            said = [(one.communicate()[1], one.returncode) for one in _three(name, tmp_path)]
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
    assert said == [("", 0)] * 3


def _three(name: str, folder: Path) -> list[subprocess.Popen[str]]:
    """Start three at once on one empty database, each with a folder of its own."""
    address = urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()
    served = {"DJANGO_SETTINGS_MODULE": "config.settings", "DATABASE_URL": address}
    folders = [folder / str(number) for number in range(3)]
    for one in folders:
        one.mkdir()
        (one / "secret_key").write_text("a key that all of them have, long enough to be taken")
    return [
        subprocess.Popen(
            [sys.executable, "manage.py", "migrate", "--verbosity=0"],
            cwd=ROOT,
            env=os.environ | served | {"CALCAR_STATE": str(one)},
            stderr=subprocess.PIPE,
            text=True,
        )
        for one in folders
    ]
