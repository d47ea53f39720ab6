"""Beginning a new life of the database, after it was put back to an earlier state."""

from __future__ import annotations

import datetime as dt

from django.contrib.auth.models import User

from patients import audit
from patients.models.life import DatabaseLife


def begin_anew(*, by: User | None, at: dt.datetime, reason: str) -> DatabaseLife:
    """Give the database a new mark, so that forms opened before it are refused."""
    with audit.writing():
        row = DatabaseLife.objects.create(since=at)
        new = audit.state_of(row)
        audit.record(by=by, at=at, action="restore database", on=row, new=new, reason=reason)
    return row
