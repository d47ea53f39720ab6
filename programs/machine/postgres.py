"""A database on a PostgreSQL: dumped, loaded beside, put in the place of the present one.

pg_dump and pg_restore are asked by their environment, so that no password stands on a command
line, where everybody on the machine could read it.
"""

from __future__ import annotations

import os
import secrets
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.db import DatabaseError, connection, connections

from programs.machine.causes import DAMAGED
from programs.machine.connections import led_to, opened
from programs.machine.refusals import NotPossible
from programs.machine.what_failed import cause_of_error

KIND, ENDING = "postgresql", "dump"
#: The database that every PostgreSQL has, from which others are made and named.
_ANY = "postgres"
_BEGINS = b"PGDMP"
_OPTIONS = {"sslmode": "PGSSLMODE", "sslrootcert": "PGSSLROOTCERT", "sslcert": "PGSSLCERT"}
_SETTINGS = {"HOST": "PGHOST", "PORT": "PGPORT", "USER": "PGUSER", "PASSWORD": "PGPASSWORD"}
_LONGEST_NAME = 63
#: How long others are waited for: PostgreSQL itself waits five seconds before it renames.
_TRIES, _BETWEEN_S = 20, 0.25


def write_copy(file: Path) -> None:
    """Write the database as it is at this moment, as pg_dump's custom format."""
    _call("pg_dump", "--format=custom", "--no-owner", "--no-privileges", f"--file={file}")


@contextmanager
def readable(file: Path) -> Iterator[str]:
    """Load a copy into a database made for it, give its alias, and drop it again."""
    name = stage(file)
    try:
        with opened(name) as alias:
            yield alias
    finally:
        throw_away(name)


def not_whole(alias: str, *, quick: bool = False) -> str:
    """Return what is damaged, or nothing: whatever was loaded was whole."""
    try:
        connections[alias].ensure_connection()
    except DatabaseError as error:
        if cause_of_error(error) is not DAMAGED:
            raise
        return str(error)
    return ""


def rub_out() -> None:
    """Write the tables anew without what was deleted, which else stands in their files."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM (FULL)")


def present() -> str:
    """Return the name of the database in use."""
    return str(connection.settings_dict["NAME"])


def is_there() -> bool:
    """Tell whether there is a present database: without one there is no connection."""
    return True


def stage(file: Path) -> str:
    """Load a copy into a new database beside the one in use; return its name."""
    with file.open("rb") as source:
        if source.read(len(_BEGINS)) != _BEGINS:
            raise NotPossible(f"{file} is not a copy that pg_dump made in its custom format.")
    name = f"{present()[:40]}_restoring_{secrets.token_hex(4)}"
    _on_server(f"CREATE DATABASE {_quoted(name)} TEMPLATE template0 ENCODING 'UTF8'")
    try:
        _call(
            "pg_restore",
            *("--exit-on-error", "--single-transaction", "--no-owner", "--no-privileges"),
            f"--dbname={name}",
            str(file),
        )
    except BaseException:
        throw_away(name)
        raise
    return name


def throw_away(staged: str) -> None:
    """Drop what was staged."""
    _on_server(f"DROP DATABASE IF EXISTS {_quoted(staged)}")


def name_to_keep(stamp: str) -> str:
    """Return under which name the present database is kept."""
    suffix = "_before_restore_" + stamp.replace("-", "_").lower()
    return present()[: _LONGEST_NAME - len(suffix)] + suffix


def refuse_others() -> None:
    """Refuse while another program is connected to the database."""
    for _ in range(_TRIES):
        if not (others := _others()):
            connection.close()
            return
        # One that has just been closed is still counted for a moment.
        time.sleep(_BETWEEN_S)
    connection.close()
    raise NotPossible(
        f"{others} other connection(s) to the database are open. Stop each Calcar and whatever "
        "else reads it, then restore."
    )


def _others() -> int:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            " AND coalesce(backend_type, 'client backend') = 'client backend'"
        )
        others: int = cursor.fetchone()[0]
    return others


def put_in_place(staged: str, kept: str) -> None:
    """Keep the present database under another name, and let the staged one take its name.

    Both in one transaction, which PostgreSQL refuses while anybody is connected to either.
    """
    here = present()
    _on_server(
        "BEGIN",
        f"ALTER DATABASE {_quoted(here)} RENAME TO {_quoted(kept)}",
        f"ALTER DATABASE {_quoted(staged)} RENAME TO {_quoted(here)}",
        "COMMIT",
    )


def _on_server(*statements: str) -> None:
    with led_to(_ANY):
        try:
            with connection.cursor() as cursor:
                for statement in statements:
                    cursor.execute(statement)
        except DatabaseError as error:
            raise NotPossible(
                f"PostgreSQL refused: {str(error).strip()}\nTo look a copy over and to restore, "
                "the user of the database must own it, be allowed to make databases (ALTER USER "
                f"... CREATEDB) and to connect to the database {_ANY}; for a restore nobody else "
                "may be connected."
            ) from error


def _quoted(name: str) -> str:
    return connection.ops.quote_name(name)


def _call(program: str, *arguments: str) -> None:
    if not shutil.which(program):
        raise NotPossible(
            f"{program} is not here. Install PostgreSQL's client programs, of the server's "
            "version or newer (on Debian: postgresql-client)."
        )
    done = subprocess.run(
        [program, "--no-password", *arguments],
        env=_environment(),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    if done.returncode:
        raise NotPossible(f"{program} did not do it: {done.stderr.strip()}")


def _environment() -> dict[str, str]:
    given = connection.settings_dict
    options = given.get("OPTIONS", {})
    named = {"PGDATABASE": present()}
    named |= {name: str(given[key]) for key, name in _SETTINGS.items() if given.get(key)}
    named |= {name: str(options[key]) for key, name in _OPTIONS.items() if options.get(key)}
    return os.environ | named
