"""What the keyed seal of a signed program covers: who, what, when, and a commitment to its content.

The commitment is an HMAC of the content under a salt of its own. Content and salt stand beside
the chain and not in it, so that both can be erased: the seals still hold, and without the salt
nobody can try contents against what is left.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterable
from dataclasses import asdict, dataclass

from programs.signed.snapshot import Broken, canonical

#: What the first seal of all names as the one before it.
FIRST_SEAL = "0" * 64


@dataclass(frozen=True, kw_only=True)
class Sealed:
    """All that a seal covers.

    row, plan, patient, signer   their numbers in the database
    signed_at                    UTC, ISO 8601
    digest                       plain SHA-256 of the content, as it was printed
    """

    number: int
    row: int
    plan: int
    patient: int
    version: int
    signer: int
    signed_name: str
    meaning: str
    signed_at: str
    rulebook: str
    format: int
    digest: str
    commitment: str
    previous_seal: str

    @property
    def text(self) -> str:
        """Return the one text that is sealed."""
        return canonical(asdict(self))


@dataclass(frozen=True, kw_only=True)
class Link:
    """A seal in the chain: its place, its row, what it says and what it should say."""

    number: int
    row: int
    previous_seal: str
    seal: str
    holds: bool


def commitment_of(body: str, salt: str) -> str:
    """Return what binds a seal to a content without telling it."""
    return hmac.new(bytes.fromhex(salt), body.encode(), hashlib.sha256).hexdigest()


def check_seals(links: Iterable[Link]) -> Broken | None:
    """Return the first of all seals, by number, that does not hold, or None."""
    before = FIRST_SEAL
    for number, link in enumerate(links, start=1):
        if link.number != number:
            return Broken(row=link.row, why=f"Keyed seal {number} is missing before its own.")
        if link.previous_seal != before:
            return Broken(row=link.row, why="Its keyed seal does not follow the one before it.")
        if not link.holds:
            return Broken(row=link.row, why="Its keyed seal does not hold.")
        before = link.seal
    return None
