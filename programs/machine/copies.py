"""Copies of the database: made while others work, looked over, encrypted, old ones removed."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType

from django.contrib.auth.models import User
from django.db import DatabaseError, connection

from patients import audit
from patients.models.patient import Patient
from patients.standing import erasure_words, erasures
from programs.actions.database_copies import Held, keep_copy
from programs.actions.record_check import look_over
from programs.machine import encrypted, folder, key, postgres, sqlite
from programs.machine.refusals import NotPossible
from programs.machine.what_failed import cause_of_error
from programs.machine.writing_files import new_file, refuse_existing
from programs.models.database_copies import MADE

#: Names that `dated` gives: no other file of a folder is ever removed.
OWN = re.compile(
    r"calcar-(?P<at>\d{8}-\d{6})-(?P<lines>\d+)-lines-key-[0-9a-f]{16}"
    r"\.(sqlite3|dump)(\.encrypted)?"
)
ENCRYPTED = ".encrypted"


@dataclass(frozen=True, kw_only=True)
class Made:
    """A copy that was written: its file, what it holds, what is not as written, who was erased."""

    file: Path
    held: Held
    broken: tuple[str, ...]
    erased: tuple[str, ...]


def kind() -> ModuleType:
    """Return the module for the kind of database in use."""
    return sqlite if connection.vendor == "sqlite" else postgres


def make(file: Path, *, phrase: str, at: dt.datetime, by: User | None = None) -> Made:
    """Copy the database to a new file and look the copy over; encrypt it with a pass phrase.

    Raises NotPossible where it cannot be written or is damaged, and leaves no file behind.
    """
    refuse_existing(file)
    with _tells(file), new_file(file) as part:
        made = _written(part, file, phrase)
    return _noted(made, by, at)


def make_dated(place: Path, *, phrase: str, at: dt.datetime, by: User | None = None) -> Made:
    """The same, under a name that tells day, lines and key."""
    passing = place / f".calcar-{at:%Y%m%d-%H%M%S}"
    with _tells(passing), new_file(passing) as part:
        made = _written(part, passing, phrase)
    file = place / dated(made.held, at=at)
    with _tells(file):
        passing.rename(file)
    named = replace(made, file=file, held=replace(made.held, file=file.name))
    return _noted(named, by, at)


def _noted(made: Made, by: User | None, at: dt.datetime) -> Made:
    if not made.broken:
        try:
            keep_copy(held=made.held, what=MADE, by=by, at=at)
        except DatabaseError as error:
            raise NotPossible(
                f"{made.file} was written and is good, but the database could not note that it "
                f"was: {error}."
            ) from error
    return made


def rub_out() -> None:
    """Let nothing that was deleted be left in the files of the database, on this disk.

    Raises NotPossible while others are in the way; what was deleted stays deleted.
    """
    try:
        kind().rub_out()
    except DatabaseError as error:
        cause = cause_of_error(error)
        raise NotPossible(f"{cause.title if cause else error}.") from error


def dated(held: Held, *, at: dt.datetime) -> str:
    """Return the name of a copy in a folder of copies."""
    name = f"calcar-{at:%Y%m%d-%H%M%S}-{held.lines}-lines-key-{held.key}.{kind().ENDING}"
    return name + ENCRYPTED * held.encrypted


def remove_old(place: Path, *, keep: int, newest: Path) -> list[str]:
    """Remove all copies of a folder but the newest; return their names.

    None goes where the newest copy holds less than an older one: it may be the wrong database.
    """
    own = sorted(path for path in place.iterdir() if OWN.fullmatch(path.name))
    most = max(own, key=lambda path: (_lines(path), path == newest))
    if _lines(most) > _lines(newest):
        raise NotPossible(
            f"{newest.name} holds less than {most.name}. No older copy was removed. "
            "Is this the right database?"
        )
    gone = own[:-keep]
    for path in gone:
        path.unlink()
    return [path.name for path in gone]


def _lines(path: Path) -> int:
    found = OWN.fullmatch(path.name)
    return int(found["lines"]) if found else 0


def _written(part: Path, file: Path, phrase: str) -> Made:
    if not phrase:
        kind().write_copy(part)
        return _looked_over(part, file, sealed=False)
    # In clear text only where the database itself is.
    plain = folder.state() / f".copying-{part.name}"
    plain.unlink(missing_ok=True)
    try:
        kind().write_copy(plain)
        made = _looked_over(plain, file, sealed=True)
        encrypted.encrypt(plain, part, phrase=phrase, key=key.fingerprint())
    finally:
        plain.unlink(missing_ok=True)
    return made


def _looked_over(copy: Path, file: Path, *, sealed: bool) -> Made:
    """Return what a copy holds, once it is whole."""
    with kind().readable(copy) as alias:
        if damage := kind().not_whole(alias):
            raise NotPossible(f"The copy is not whole, and was not kept: {damage}")
        held, broken = holds(alias, file=file.name, sealed=sealed)
        erased = erased_in(alias)
    return Made(file=file, held=held, broken=broken, erased=erased)


def holds(alias: str, *, file: str, sealed: bool) -> tuple[Held, tuple[str, ...]]:
    """Return how much a database holds, and what in it is not as it was written."""
    look = look_over(alias, anchored=False)
    held = Held(
        file=file,
        key=key.fingerprint() if audit.key_fits(alias) else "",
        encrypted=sealed,
        lines=look.lines,
        seal=look.seal,
        people=Patient.objects.using(alias).count(),
        programs=look.programs,
        papers=look.papers,
    )
    return held, look.broken


def erased_in(alias: str) -> tuple[str, ...]:
    """Return in words each record of a database that was erased by law."""
    return tuple(map(erasure_words, erasures(alias)))


@contextmanager
def _tells(file: Path) -> Iterator[None]:
    """Turn what stops a copy into a sentence."""
    try:
        yield
    except (OSError, DatabaseError) as error:
        cause = cause_of_error(error)
        more = f" {cause.title}." if cause else ""
        raise NotPossible(f"{file}: the copy could not be written: {error}.{more}") from error
