"""The secret key: told apart by its fingerprint, which gives nothing of the key away."""

from __future__ import annotations

from django.conf import settings
from django.utils.crypto import salted_hmac

_SALT = "calcar.key.fingerprint"
_DIGITS = 16


def fingerprint() -> str:
    """Return sixteen digits that are the same for the same key."""
    made = salted_hmac(_SALT, "", secret=settings.SECRET_KEY, algorithm="sha256")
    return made.hexdigest()[:_DIGITS]
