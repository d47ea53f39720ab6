"""Copy the database to a new file while Calcar runs, and look the copy over."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import OperationalError, connection


class Command(BaseCommand):
    help = "Copy the database to a new file, also while Calcar runs. Nothing is overwritten."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        if connection.vendor != "sqlite":
            raise CommandError("The database is a PostgreSQL: back it up with pg_dump.")
        if file.exists():
            raise CommandError(f"{file} is there already. Name a new file.")
        copy_to(file)
        lines, seal = looked_over(file)
        self.stdout.write(f"{file}: whole, {lines} lines in the record of who did what.")
        self.stdout.write(f"Seal of the last one, to be kept elsewhere: {seal}")


def copy_to(file: Path) -> None:
    """Write the database as it is at this moment, readable by its owner only.

    SQLite reads it in one transaction (VACUUM INTO), so what others write meanwhile is either
    in the copy as a whole or not at all.
    """
    before = os.umask(0o077)
    try:
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(file)])
    except OperationalError as error:
        raise CommandError(f"The copy could not be written: {error}.") from error
    finally:
        os.umask(before)


def looked_over(file: Path) -> tuple[int, str]:
    """Return how many lines the copy's record has and the last one's seal, once it is whole."""
    with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as copy:
        (verdict,) = copy.execute("PRAGMA integrity_check").fetchone()
        if verdict != "ok":
            raise CommandError(f"The copy is not whole, do not rely on it: {verdict}")
        last = "SELECT seq, hash FROM patients_audit ORDER BY seq DESC LIMIT 1"
        found: tuple[int, str] = copy.execute(last).fetchone() or (0, "none")
        return found
