"""Whether somebody wants the keys of the pages (WCAG 2.2, 2.1.4: they can be turned off)."""

from __future__ import annotations

import datetime as dt

from django.contrib.auth.models import User

from patients import audit
from patients.models.unfinished import KeysChoice


def wants_keys(user: User) -> bool:
    """Tell whether somebody has not turned them off."""
    row = KeysChoice.objects.filter(who=user).first()
    return row is None or row.on


def set_keys(*, on: bool, by: User, at: dt.datetime) -> None:
    """Turn one's own keys on or off. Nothing happens where it is so already."""
    with audit.writing():
        before = wants_keys(by)
        if before == on:
            return
        row, _ = KeysChoice.objects.update_or_create(who=by, defaults={"on": on})
        audit.record(by=by, at=at, action="set keys", on=row, old={"on": before}, new={"on": on})
