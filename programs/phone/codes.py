"""The one-use code of a phone: how it is written, typed and kept as a digest."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib

#: 128 bits: nobody comes upon one by guessing.
CODE_BYTES = 16
CODE_LASTS = dt.timedelta(hours=24)
_GROUP = 5


def written(secret: bytes) -> str:
    """Return random bytes as the code that stands in an address."""
    return base64.b32encode(secret).decode().rstrip("=").lower()


def grouped(code: str) -> str:
    """Return a code as it is typed: "abcde-fghij-..."."""
    plain = _plain(code)
    return "-".join(plain[start : start + _GROUP] for start in range(0, len(plain), _GROUP))


def digest_of(code: str) -> str:
    """Return what is kept of a code; typed with dashes or spaces, in any case, is the same."""
    return hashlib.sha256(_plain(code).encode()).hexdigest()


def _plain(code: str) -> str:
    return "".join(code.split()).replace("-", "").lower()
