"""Striking a row out as entered in error: who, when and why, once for every kind of row."""

from __future__ import annotations

import datetime as dt

from django.contrib.auth.models import User

from patients import audit
from patients.actions.refusals import Refused
from patients.facts.units import clean_text
from patients.kept_rows import Withdrawable


def withdraw(*, row: Withdrawable, reason: str, by: User, at: dt.datetime) -> None:
    """Strike a row out; it stays readable. What is struck out already keeps its first reason.

    The row that was handed in is as it stands now afterwards. Raises Refused without a reason.
    """
    why = clean_text(reason)[:200]
    if not why:
        raise Refused("Say why this was wrong.")
    with audit.writing():
        row.refresh_from_db(from_queryset=type(row)._default_manager.select_for_update())
        if row.withdrawn_at is not None:
            return
        old = audit.state_of(row)
        row.withdrawn_by, row.withdrawn_at, row.withdrawn_reason = by, at, why
        row.save(update_fields=["withdrawn_by", "withdrawn_at", "withdrawn_reason"])
        audit.record(
            by=by,
            at=at,
            action=f"withdraw {row.KIND}",
            on=row,
            old=old,
            new=audit.state_of(row),
            reason=why,
        )
