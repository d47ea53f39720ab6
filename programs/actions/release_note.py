"""Who has read what the newest rulebook changed."""

from __future__ import annotations

import datetime as dt
from uuid import UUID

from django.contrib.auth.models import User

from patients import audit
from patients.models.patient import Audit
from safety.rules.all_rules import RULEBOOK

#: What the record calls it.
READ_NOTE = "read what changed"


def has_read(by: User) -> bool:
    """Tell whether this person has read what today's rulebook changed."""
    lines = Audit.objects.filter(actor=by, action=READ_NOTE)
    return lines.filter(new=audit.canonical(_told())).exists()


def note_read(*, by: User, at: dt.datetime, token: UUID | None = None) -> None:
    """Write down that this person has read it; once."""
    with audit.writing():
        if audit.done_before(token) is None and not has_read(by):
            audit.record(by=by, at=at, action=READ_NOTE, on=by, new=_told(), token=token)


def _told() -> dict[str, str]:
    return {"rulebook": RULEBOOK}
