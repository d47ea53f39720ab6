"""A database in a file: copied, looked at, put in the place of the present one."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from django.db import DatabaseError, connection, connections

from programs.machine.causes import DAMAGED
from programs.machine.connections import opened
from programs.machine.folder import for_owner_only
from programs.machine.refusals import NotPossible
from programs.machine.what_failed import cause_of_error
from programs.machine.writing_files import keep_on_disk

KIND, ENDING = "sqlite", "sqlite3"
#: The log of what was written last, and the table of who reads how much of it.
BESIDE = ("-wal", "-shm")
_BEGINS = b"SQLite format 3\0"
_IN_USE = "Another program has the database open. Stop it first, then restore."


def write_copy(file: Path) -> None:
    """Write the database as it is at this moment.

    SQLite reads it in one transaction (VACUUM INTO), so what others write meanwhile is either
    in the copy as a whole or not at all.
    """
    with connection.cursor() as cursor:
        cursor.execute("VACUUM INTO %s", [str(file)])


@contextmanager
def readable(file: Path) -> Iterator[str]:
    """Open a copy to be read only; give its alias."""
    with opened(f"{file.resolve().as_uri()}?mode=ro", OPTIONS={}) as alias:
        yield alias


def not_whole(alias: str, *, quick: bool = False) -> str:
    """Return what is damaged in a database, or nothing; `quick` leaves out the indexes."""
    check = "quick_check" if quick else "integrity_check"
    try:
        with connections[alias].cursor() as cursor:
            (verdict,) = cursor.execute(f"PRAGMA {check}(1)").fetchone()
    except DatabaseError as error:
        if cause_of_error(error) is not DAMAGED:
            raise
        return str(error)
    return "" if verdict == "ok" else str(verdict)


def rub_out() -> None:
    """Write the file anew without what was deleted, which else stands in its free pages."""
    with connection.cursor() as cursor:
        # Its index keeps what was deleted until parts of it are put together.
        cursor.execute("INSERT INTO patients_trigrams(patients_trigrams) VALUES ('rebuild')")
        cursor.execute("VACUUM")
        (busy, *_) = cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    if busy:
        raise NotPossible("Others are reading the database. Stop Calcar, then run it again.")


def present() -> Path:
    """Return the file of the database in use."""
    return Path(connection.settings_dict["NAME"])


def is_there() -> bool:
    """Tell whether there is a present database."""
    return present().exists()


def stage(file: Path) -> str:
    """Copy a copy beside the database in use, where it can be looked at and brought up to date."""
    with file.open("rb") as source:
        if source.read(len(_BEGINS)) != _BEGINS:
            raise NotPossible(f"{file} is not a copy of a database.")
    staged = present().with_name(f".{present().name}.restoring")
    throw_away(str(staged))
    try:
        with for_owner_only():
            shutil.copyfile(file, staged)
    except BaseException:
        throw_away(str(staged))
        raise
    return str(staged)


def throw_away(staged: str) -> None:
    """Remove what was staged."""
    for ending in ("", *BESIDE):
        Path(staged + ending).unlink(missing_ok=True)


def name_to_keep(stamp: str) -> str:
    """Return under which name the present database is kept."""
    return str(present().with_name(f"{present().stem}-before-restore-{stamp}.{ENDING}"))


def refuse_others() -> None:
    """Refuse while another program has the database open; its log is written into the file."""
    connection.close()
    if is_there():
        with closing(sqlite3.connect(present(), timeout=0)) as held:
            _alone(held)


def put_in_place(staged: str, kept: str) -> None:
    """Keep the present database under another name, and let the staged one take its place.

    At no moment is there no database. A damaged one is kept together with its log, as it was.
    """
    connection.close()
    new, old = Path(staged), present()
    if Path(f"{staged}-wal").exists():
        raise NotPossible("The loaded copy is still open somewhere. Try again.")
    keep_on_disk(new)
    if not old.exists():
        new.rename(old)
        return
    with closing(sqlite3.connect(old, timeout=0)) as held:
        # Held until the new one is in place, so that nobody begins to write to the old one.
        _alone(held)
        for ending in ("", *BESIDE):
            _keep(Path(f"{old}{ending}"), Path(kept + ending))
        for ending in BESIDE:
            Path(f"{old}{ending}").unlink(missing_ok=True)
        new.replace(old)
    keep_on_disk(old.parent)


def _alone(held: sqlite3.Connection) -> None:
    """Fold the log into the file and lock it, which only a program that is alone can."""
    try:
        held.execute("PRAGMA journal_mode=DELETE")
        held.execute("BEGIN EXCLUSIVE")
    except sqlite3.OperationalError as error:
        if "locked" in str(error):
            raise NotPossible(_IN_USE) from error
    except sqlite3.DatabaseError:
        # A damaged file is what a restore is for.
        return


def _keep(path: Path, kept: Path) -> None:
    if path.exists():
        try:
            os.link(path, kept)
        except OSError:
            # Some disks know no second name for a file.
            shutil.copy2(path, kept)
