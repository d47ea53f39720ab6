"""A secret kept in the database so that the database alone does not give it away.

AES-256-GCM under a key made from SECRET_KEY, which stands outside the database; whose secret it is
is part of what is proven, so that it cannot be moved to somebody else's row.
"""

from __future__ import annotations

import base64
import os

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from django.conf import settings
from django.utils.crypto import salted_hmac

_SALT = "calcar.one-time-codes.secret"
_NONCE_BYTES = 12


class NotOpened(Exception):
    """What is kept was not sealed with this key, or not for this person or purpose."""


def seal(secret: bytes, who: int) -> str:
    """Return what is kept of somebody's secret."""
    return base64.b64encode(sealed(secret, salt=_SALT, proves=str(who))).decode()


def opened(kept: str, who: int) -> bytes:
    """Return somebody's secret; also by a key from before. Raises NotOpened."""
    try:
        held = base64.b64decode(kept, validate=True)
    except ValueError as error:
        raise NotOpened from error
    return unsealed(held, salt=_SALT, proves=str(who))


def sealed(content: bytes, *, salt: str, proves: str) -> bytes:
    """Return some content, sealed.

    salt     what kind of content it is: another kind has another key
    proves   what it belongs to; it is opened for nothing else
    """
    nonce = os.urandom(_NONCE_BYTES)
    return nonce + _cipher(settings.SECRET_KEY, salt).encrypt(nonce, content, proves.encode())


def unsealed(held: bytes, *, salt: str, proves: str) -> bytes:
    """Return what was sealed; also by a key from before. Raises NotOpened."""
    nonce, content = held[:_NONCE_BYTES], held[_NONCE_BYTES:]
    for key in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS):
        try:
            return _cipher(key, salt).decrypt(nonce, content, proves.encode())
        except (InvalidTag, ValueError):
            continue
    raise NotOpened


def _cipher(key: str | bytes, salt: str) -> AESGCM:
    return AESGCM(salted_hmac(salt, "", secret=key, algorithm="sha256").digest())
