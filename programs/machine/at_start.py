"""What is looked at before a server starts: what stops it, and what is only told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from django.db import DatabaseError, connection

from patients import audit
from patients.models.patient import Audit
from programs.machine import folder, key
from programs.machine.copies import kind
from programs.machine.health import CLOCKS_APART, LITTLE_MB
from programs.machine.migrations_known import missing, said_of_missing, said_of_unknown, unknown
from programs.machine.refusals import NotPossible
from programs.machine.what_failed import cause_of_error

#: Room on the disk below which nothing could be saved.
NO_ROOM = 5 * 1024**2


def look(*, now: dt.datetime) -> list[str]:
    """Return what is to be told; raises NotPossible with a sentence where nothing may start."""
    said = folder.tidy_rights()
    if folder.free_bytes() < NO_ROOM:
        raise NotPossible("The disk of the state folder is full. Make room, then start again.")
    try:
        for problem in _problems():
            raise NotPossible(problem)
        said += [words for words in (little_room(), clock_gone_back(now=now)) if words]
    except (DatabaseError, OSError) as error:
        raise NotPossible(str(cause_of_error(error) or error)) from error
    return said


def _problems() -> Iterator[str]:
    if damage := kind().not_whole("default", quick=True):
        yield f"The database is damaged ({damage}). {_RESTORE}"
    if names := unknown():
        yield said_of_unknown(names)
    if names := missing():
        yield said_of_missing(names)
    if connection.vendor == "sqlite":
        # Refused at once where nothing can be written.
        with connection.cursor() as cursor:
            cursor.execute("BEGIN IMMEDIATE")
            cursor.execute("ROLLBACK")
    if words := other_key():
        yield words


_RESTORE = "Keep the file as it is, and put the last good copy back: manage.py restore FILE."


def other_key() -> str:
    """Return that the secret key is not the one that sealed the record, or nothing."""
    if audit.key_fits():
        return ""
    return (
        f"The secret key ({key.fingerprint()}) is not the one that sealed the record of this "
        "database. Put the right secret_key into the state folder; several machines that serve "
        "one database all need the same."
    )


def little_room() -> str:
    """Return that the disk is nearly full, or nothing."""
    free = folder.free_bytes()
    if free >= LITTLE_MB * 1024**2:
        return ""
    return f"Only {free // 1024**2} MB are left on the disk of the state folder. Make room soon."


def clock_gone_back(*, now: dt.datetime) -> str:
    """Return that the record's last line lies after now, or nothing."""
    last = Audit.objects.order_by("-seq").values_list("at", flat=True).first()
    if last is None or last <= now + CLOCKS_APART:
        return ""
    return (
        f"The clock of this machine says {now:%Y-%m-%d %H:%M} UTC, but the last line of the record "
        f"is of {last:%Y-%m-%d %H:%M} UTC: one of the two was wrong. Set the clock right before "
        "anything is signed."
    )
