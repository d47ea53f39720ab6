"""Keeping what was done with copies of the database: made, tried out, put back."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.contrib.auth.models import User

from patients import audit
from patients.actions.database_life import begin_anew
from programs.models.database_copies import RESTORED, DatabaseCopy


@dataclass(frozen=True, kw_only=True)
class Held:
    """What a copy holds: its name, the key that seals its record, and how much there is."""

    file: str
    key: str
    encrypted: bool
    lines: int
    seal: str
    people: int
    programs: int
    papers: int


def keep_copy(*, held: Held, what: str, by: User | None, at: dt.datetime) -> DatabaseCopy:
    """Keep that a copy was made, or that it was tried out and is good."""
    with audit.writing():
        row = DatabaseCopy.objects.create(**vars(held), what=what, by=by, at=at)
        new = audit.state_of(row)
        audit.record(by=by, at=at, action=f"database copy {what}", on=row, new=new)
    return row


def restore_from(*, held: Held, by: User | None, at: dt.datetime, reason: str) -> DatabaseCopy:
    """In a database that is about to be put back: begin a new life, and say where it is from."""
    with audit.writing():
        begin_anew(by=by, at=at, reason=reason)
        return keep_copy(held=held, what=RESTORED, by=by, at=at)
