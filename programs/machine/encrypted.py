"""Files encrypted with a pass phrase, in pieces of a megabyte.

    line 1   what kind of file it is
    line 2   the head, as JSON: how the key is made, which database key it belongs to
    then     32 bytes that prove the head and the pass phrase, and the pieces

The key is made from the pass phrase by scrypt. Each piece is AES-256-GCM; its number, whether it
is the last, and the head are part of what is proven, so that a piece that was cut off, moved,
changed or taken from another file is noticed.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from programs.machine.refusals import NotPossible

MAGIC = b"Calcar copy, encrypted, format 1\n"
PIECE = 1024 * 1024
_TAG, _PROOF, _LARGEST_HEAD = 16, 32, 4096
#: 128 MB and about half a second for each guess at the pass phrase.
_SCRYPT = {"n": 2**17, "r": 8, "p": 1}
CUT = "The copy is cut off or was changed (piece {}). Nothing was taken from it."
NO_HEAD = "The copy's beginning was changed or is cut off. Nothing was taken from it."
NOT_OPENED = (
    "The pass phrase is not the one this copy was encrypted with, or its beginning was changed."
)


def is_encrypted(file: Path) -> bool:
    """Tell whether a file says that it is one of these."""
    with file.open("rb") as source:
        return source.read(len(MAGIC)) == MAGIC


def head_of(file: Path) -> dict[str, Any]:
    """Return the head as it stands there, not yet proven."""
    with file.open("rb") as source:
        return _head(source)[0]


def encrypt(plain: Path, target: Path, *, phrase: str, key: str) -> None:
    """Write an encrypted copy of a file; `key` is the fingerprint it is to name."""
    head = {"salt": os.urandom(16).hex(), "nonce": os.urandom(7).hex(), "key": key, **_SCRYPT}
    line = json.dumps(head, sort_keys=True).encode() + b"\n"
    cipher, proof = _keys(phrase, head, line)
    with plain.open("rb") as source, target.open("xb") as out:
        out.write(MAGIC + line + proof)
        for number, (piece, last) in enumerate(_pieces(source, PIECE)):
            out.write(cipher.encrypt(*_sealed(head, line, number, last, piece)))


def decrypt(file: Path, target: Path, *, phrase: str) -> None:
    """Write what is in an encrypted file, once every piece of it has been proven."""
    for _ in _plain(file, phrase):
        pass
    with target.open("xb") as out:
        for piece in _plain(file, phrase):
            out.write(piece)


def _plain(file: Path, phrase: str) -> Iterator[bytes]:
    with file.open("rb") as source:
        head, line = _head(source)
        cipher, proof = _keys(phrase, head, line)
        if not hmac.compare_digest(proof, source.read(_PROOF)):
            raise NotPossible(NOT_OPENED)
        for number, (piece, last) in enumerate(_pieces(source, PIECE + _TAG)):
            try:
                yield cipher.decrypt(*_sealed(head, line, number, last, piece))
            except (InvalidTag, ValueError) as error:
                raise NotPossible(CUT.format(number + 1)) from error


def _head(source: IO[bytes]) -> tuple[dict[str, Any], bytes]:
    if source.read(len(MAGIC)) != MAGIC:
        raise NotPossible("This is not an encrypted copy.")
    line = source.readline(_LARGEST_HEAD)
    try:
        head = json.loads(line)
        fit = len(bytes.fromhex(head["nonce"])) == 7 and len(bytes.fromhex(head["salt"])) == 16
        # Whatever else it asks for could fill this machine's memory.
        fit = fit and all(head[name] == value for name, value in _SCRYPT.items())
    except (ValueError, KeyError, TypeError) as error:
        raise NotPossible(NO_HEAD) from error
    if not fit:
        raise NotPossible(NO_HEAD)
    return head, line


def _keys(phrase: str, head: dict[str, Any], line: bytes) -> tuple[AESGCM, bytes]:
    """Return what reads and writes the pieces, and the proof of head and pass phrase."""
    made = Scrypt(salt=bytes.fromhex(head["salt"]), length=64, **_SCRYPT).derive(phrase.encode())
    return AESGCM(made[:32]), hmac.digest(made[32:], MAGIC + line, "sha256")


def _sealed(
    head: dict[str, Any], line: bytes, number: int, last: bool, piece: bytes
) -> tuple[bytes, bytes, bytes]:
    """Return nonce, piece and what is proven with it."""
    place = number.to_bytes(4, "big") + bytes([last])
    return bytes.fromhex(head["nonce"]) + place, piece, hashlib.sha256(line).digest() + place


def _pieces(source: IO[bytes], size: int) -> Iterator[tuple[bytes, bool]]:
    """Give each piece and whether it is the last; an empty file is one empty piece."""
    piece = source.read(size)
    while True:
        following = source.read(size)
        yield piece, not following
        if not following:
            return
        piece = following
