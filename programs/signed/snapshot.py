"""What is signed: one text that holds all of a program, and the digest that seals it.

The digest is the SHA-256 of the text. The text names the digest of the program signed
before it, so a missing, moved or changed signature breaks the chain. A digest shows that a
text has changed; it is no proof against someone who may rewrite the whole database, so the
newest one is printed and backed up.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from programs.signed import format_1, format_2
from programs.signed.program import SignedProgram

FORMAT = 2
#: What the first program of all names as the one before it.
FIRST_DIGEST = "0" * 64

Document = dict[str, Any]


class Unreadable(ValueError):
    """Raised for a text that is no snapshot, or of a format that is not known."""


@dataclass(frozen=True, kw_only=True)
class Frozen:
    """A snapshot's text, canonical JSON, and its SHA-256 in hexadecimal."""

    body: str
    digest: str


@dataclass(frozen=True, kw_only=True)
class Signed:
    """A signed program as its row holds it: the text and what stands beside it.

    The text must say the same as what stands beside it. `erased` is one whose text was taken
    away by law: only its place in the chain is left to look at.
    """

    row: int
    body: str
    digest: str
    previous_digest: str
    patient_id: int
    version: int
    signed_name: str
    meaning: str
    signed_at: str
    rulebook: str
    format: int
    erased: bool = False


@dataclass(frozen=True, kw_only=True)
class Broken:
    """The first signed program that does not hold, and why."""

    row: int
    why: str


def freeze(
    *,
    patient: Mapping[str, Any],
    version: int,
    replaces: int | None,
    starts_on: str,
    facts: Mapping[str, Any],
    draft: Mapping[str, Any],
    edits: Sequence[Mapping[str, Any]],
    left_out: Mapping[str, str],
    weeks: Sequence[Mapping[str, Any]],
    timetable: Mapping[str, Sequence[str]],
    signer: Mapping[str, str],
    clinic: Mapping[str, str],
    previous_digest: str,
) -> Frozen:
    """Return the text of a program to be signed, and its digest.

    draft      the draft/1 document as proposed; findings, reviews and rulebook are taken
               from it
    edits      the changes that stand, each with seq, week_from, week_to, path, old, new,
               reason, limit_passed, by and at
    weeks, timetable   as signed, the changes applied
    signer     username, name, at (UTC, ISO 8601 with its offset) and meaning
    Raises ValueError for a value that JSON cannot hold.
    """
    body = canonical(
        {
            "format": FORMAT,
            "patient": patient,
            "version": version,
            "replaces": replaces,
            "starts_on": starts_on,
            "facts": facts,
            "draft": draft,
            "findings": draft["findings"],
            "edits": edits,
            "left_out": left_out,
            "weeks": weeks,
            "timetable": timetable,
            "reviews": draft["reviews"],
            "rulebook": draft["rulebook"],
            "signer": signer,
            "clinic": clinic,
            "previous_digest": previous_digest,
        }
    )
    return Frozen(body=body, digest=digest_of(body))


def canonical(value: object) -> str:
    """Return one text for one value: keys sorted, no white space, letters composed (NFC).

    Raises ValueError for what JSON cannot hold: a number that is none, a lone surrogate.
    """
    text = json.dumps(
        _composed(value),
        sort_keys=True,
        separators=(",", ":"),
        ensure_ascii=False,
        allow_nan=False,
    )
    text.encode()
    return text


def _composed(value: object) -> object:
    match value:
        case str():
            return unicodedata.normalize("NFC", value)
        case Mapping():
            return {_composed(str(key)): _composed(held) for key, held in value.items()}
        case list() | tuple():
            return [_composed(item) for item in value]
        case float() if value.is_integer():
            # 25 and 25.0 are one dose; a database may give back either.
            return int(value)
        case _:
            return value


def digest_of(body: str) -> str:
    """Return the SHA-256 of a text, in hexadecimal."""
    return hashlib.sha256(body.encode()).hexdigest()


def verify(body: str, digest: str) -> bool:
    """Tell whether a text is, to the byte, the one that was sealed with this digest."""
    return hmac.compare_digest(digest_of(body).encode(), digest.encode())


def read(body: str) -> Document:
    """Return the snapshot in a text as plain data, whichever format it was written in.

    Raises Unreadable. Does not verify: an old text is read even where its seal is broken.
    """
    try:
        document = json.loads(body)
    except ValueError as error:
        raise Unreadable("This is not a JSON text.") from error
    written = document.get("format") if isinstance(document, dict) else None
    if not isinstance(written, int) or written not in _KEYS:
        raise Unreadable(f"The format {written!r} is not known.")
    missing = sorted(_KEYS[written] - document.keys())
    if missing:
        raise Unreadable(f"The snapshot lacks {', '.join(missing)}.")
    return dict(document)


def program_in(body: str) -> SignedProgram:
    """Return the program in a text, whichever format it was written in; see read.

    Raises Unreadable, also for a text that is a snapshot but holds no whole program.
    """
    document = read(body)
    try:
        return _READERS[document["format"]](document)
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        raise Unreadable(f"The program in the snapshot cannot be read: {error!r}.") from error


#: Each format that was ever written, read for ever.
_KEYS: Mapping[int, frozenset[str]] = {1: format_1.KEYS, 2: format_2.KEYS}
_READERS: Mapping[int, Callable[[Document], SignedProgram]] = {
    1: format_1.program,
    2: format_2.program,
}


def check_chain(signed: Iterable[Signed]) -> Broken | None:
    """Return the first of all signed programs, oldest first, that does not hold, or None."""
    before = FIRST_DIGEST
    for one in signed:
        why = ("" if one.erased else wrong_with(one)) or _out_of_chain(one, before)
        if why:
            return Broken(row=one.row, why=why)
        before = one.digest
    return None


def wrong_with(one: Signed) -> str:
    """Return what does not hold of one signed program by itself, or nothing."""
    if not verify(one.body, one.digest):
        return "The text is not the one that was signed."
    try:
        told = read(one.body)
    except Unreadable as error:
        return str(error)
    said = (
        told["previous_digest"],
        told["patient"]["id"],
        told["version"],
        told["signer"]["name"],
        told["signer"]["meaning"],
        told["signer"]["at"],
        told["rulebook"],
        told["format"],
    )
    held = (
        one.previous_digest,
        one.patient_id,
        one.version,
        *(unicodedata.normalize("NFC", text) for text in (one.signed_name, one.meaning)),
        one.signed_at,
        one.rulebook,
        one.format,
    )
    return "" if said == held else "The signature stands beside another text than its own."


def _out_of_chain(one: Signed, before: str) -> str:
    return "" if one.previous_digest == before else "It does not follow the one before it."
