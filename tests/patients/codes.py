"""What a telephone does: the code of a moment, made by the few lines of RFC 6238, not by ours."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import hmac
import struct

from django.contrib.auth.models import User

from patients.actions.codes import new_secret, turn_on
from patients.actions.sealed_secret import opened

STEP = dt.timedelta(seconds=30)


def code_at(secret: bytes, at: dt.datetime, digits: int = 6) -> str:
    """Return the code that an app shows at a moment."""
    counter = struct.pack(">Q", int(at.timestamp()) // 30)
    digest = hmac.new(secret, counter, hashlib.sha1).digest()
    start = digest[-1] & 0x0F
    number = struct.unpack(">I", digest[start : start + 4])[0] & 0x7FFFFFFF
    return f"{number % 10**digits:0{digits}d}"


def secret_of(text: str) -> bytes:
    """Return a secret as it was typed from the page."""
    letters = text.replace(" ", "")
    return base64.b32decode(letters + "=" * (-len(letters) % 8))


def with_codes(user: User, at: dt.datetime) -> tuple[bytes, list[str]]:
    """Turn somebody's codes on; returns her secret and her recovery codes."""
    sealed = new_secret(user)
    secret = opened(sealed, user.pk)
    made = turn_on(user=user, sealed=sealed, code=code_at(secret, at), at=at)
    assert made is not None
    return secret, made
