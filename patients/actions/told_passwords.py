"""Whether a password is the one that the record tells of, so that none is changed beside it.

A line that sets one holds a keyed digest of what is kept of it; the first sign-in tells of one
that was set before lines did, and each sign-in of one that it hashed anew.
"""

from __future__ import annotations

import re

from django.conf import settings
from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS
from django.utils.crypto import constant_time_compare, salted_hmac

from patients import audit
from patients.models.patient import Audit

_SALT = "calcar.password"
_TOLD = re.compile(r'"password":"([0-9a-f]{64})"')


def told_password(user: User) -> dict[str, str]:
    """Return what a line of the record holds of a password that is set."""
    return {"password": _digest(user, settings.SECRET_KEY)}


def not_yet_told(user: User) -> dict[str, str] | None:
    """Return what a line is to hold of a password that no line tells of, or nothing."""
    line = _last_line(user, DEFAULT_DB_ALIAS)
    return None if line is not None and _tells_of(line, user) else told_password(user)


def why_not_as_told(user: User, using: str = DEFAULT_DB_ALIAS) -> str:
    """Return what is wrong where another password is kept than the record tells of."""
    line = _last_line(user, using)
    if line is None or (audit.is_sealed(line) and _tells_of(line, user)):
        return ""
    return (
        f"The password of {user.get_username()} was changed outside the program. It opens nothing "
        "until a new one is set: with a code from whoever manages the accounts of the clinic."
    )


def _last_line(user: User, using: str) -> Audit | None:
    lines = Audit.objects.using(using).filter(
        object_type=User._meta.label_lower, object_id=str(user.pk), new__contains='"password":"'
    )
    return lines.order_by("-seq").first()


def _tells_of(line: Audit, user: User) -> bool:
    found = _TOLD.search(line.new)
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return found is not None and any(
        constant_time_compare(found[1], _digest(user, key)) for key in keys
    )


def _digest(user: User, key: str | bytes) -> str:
    kept = f"{user.pk} {user.password}"
    return salted_hmac(_SALT, kept, secret=key, algorithm="sha256").hexdigest()
