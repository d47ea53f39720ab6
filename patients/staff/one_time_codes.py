"""One-time codes at sign-in: how a secret and codes are written, and who must use them."""

from __future__ import annotations

import base64
from collections.abc import Collection, Mapping
from enum import StrEnum
from types import MappingProxyType
from urllib.parse import quote, urlencode

from patients.staff.rights import Right

ISSUER = "Calcar"
#: Of RFC 6238, as the apps on telephones take them without being told.
DIGITS, STEP_S = 6, 30
#: RFC 4226 asks for 128 bits or more and advises these.
SECRET_BYTES = 20
#: A clock may be so many steps fast or slow.
DRIFT_STEPS = 1
RECOVERY_CODES, RECOVERY_LETTERS = 10, 10


class Whom(StrEnum):
    """Of whom the clinic asks codes."""

    NOBODY = "nobody"
    SIGNERS = "signers"
    EVERYBODY = "everybody"


WHO_MUST: Mapping[Whom, str] = MappingProxyType(
    {
        Whom.NOBODY: "Whoever wants to; nobody must",
        Whom.SIGNERS: "Everyone who may sign programs or looks after the accounts must",
        Whom.EVERYBODY: "Everyone who signs in must",
    }
)
_SIGNERS = frozenset({Right.SIGN, Right.PEOPLE})


def must_use_codes(whom: Whom, rights: Collection[Right]) -> bool:
    """Tell whether somebody with these rights must use codes."""
    return whom is Whom.EVERYBODY or (whom is Whom.SIGNERS and not _SIGNERS.isdisjoint(rights))


def secret_text(secret: bytes) -> str:
    """Return a secret as it is typed into an app, in groups of four."""
    return _grouped(base64.b32encode(secret).decode().rstrip("="), 4, " ")


def address_for_apps(secret: bytes, username: str) -> str:
    """Return what the picture holds: the address that apps for such codes read."""
    told = {"secret": base64.b32encode(secret).decode().rstrip("="), "issuer": ISSUER}
    return f"otpauth://totp/{ISSUER}:{quote(username, safe='')}?{urlencode(told)}"


def recovery_text(random: bytes) -> str:
    """Return a recovery code made of random bytes, in two halves."""
    letters = base64.b32encode(random).decode()[:RECOVERY_LETTERS]
    return _grouped(letters, RECOVERY_LETTERS // 2, "-")


def plain(typed: str) -> str:
    """Return a code without what is only for the eye: case, spaces, dashes."""
    return "".join(typed.split()).replace("-", "").upper()


def as_step_code(typed: str) -> int | None:
    """Return the number of an app's code; None for what can be none."""
    code = plain(typed)
    is_one = len(code) == DIGITS and code.isascii() and code.isdecimal()
    return int(code) if is_one else None


def _grouped(letters: str, size: int, between: str) -> str:
    return between.join(letters[start : start + size] for start in range(0, len(letters), size))
