"""The keyed seals of signed programs: made at signing, looked at whenever one is read.

The key is made from SECRET_KEY, as the record's is, with a salt of its own.
"""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Iterator
from functools import partial

from django.conf import settings
from django.db import DEFAULT_DB_ALIAS
from django.utils.crypto import constant_time_compare, salted_hmac

from programs.models.program import SignedPlan
from programs.models.seal import SignedSeal
from programs.signed.seal import FIRST_SEAL, Link, Sealed, check_seals, commitment_of
from programs.signed.snapshot import Broken

_SALT = "calcar.signed"
#: Seals held in memory while their chain is walked.
_AT_ONCE = 200


def make_seal(signed: SignedPlan, at: dt.datetime) -> SignedSeal:
    """Seal a signed program as the last of all, inside writing(); its line is the caller's."""
    last = SignedSeal.objects.order_by("-number").first()
    salt = secrets.token_hex(32)
    row = SignedSeal(
        signed=signed,
        number=last.number + 1 if last else 1,
        salt=salt,
        commitment=commitment_of(signed.body, salt),
        previous_seal=last.seal if last else FIRST_SEAL,
        sealed_at=at,
    )
    row.seal = _seal_of(sealed_of(row, signed), settings.SECRET_KEY)
    row.save(force_insert=True)
    return row


def told_of(seal: SignedSeal) -> dict[str, object]:
    """Return what the record's line holds of a seal."""
    return {"seal_number": seal.number, "commitment": seal.commitment, "seal": seal.seal}


def sealed_of(row: SignedSeal, signed: SignedPlan) -> Sealed:
    """Return what a seal covers, as the rows have it now."""
    return Sealed(
        number=row.number,
        row=signed.pk,
        plan=signed.plan_id,
        patient=signed.patient_id,
        version=signed.version,
        signer=signed.signed_by_id,
        signed_name=signed.signed_name,
        meaning=signed.meaning,
        signed_at=signed.signed_at.astimezone(dt.UTC).isoformat(),
        rulebook=signed.rulebook,
        format=signed.format,
        digest=signed.digest,
        commitment=row.commitment,
        previous_seal=row.previous_seal,
    )


def is_sealed(row: SignedSeal, signed: SignedPlan) -> bool:
    """Tell whether a seal is ours and is of this row, whatever its content."""
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    made = map(partial(_seal_of, sealed_of(row, signed)), keys)
    return any(constant_time_compare(row.seal, seal) for seal in made)


def _seal_of(sealed: Sealed, key: str | bytes) -> str:
    return salted_hmac(_SALT, sealed.text, secret=key, algorithm="sha256").hexdigest()


def seals_break(using: str = DEFAULT_DB_ALIAS) -> Broken | None:
    """Return the first signed program whose keyed seal is out of its chain, or None."""
    return check_seals(_links(using))


def _links(using: str) -> Iterator[Link]:
    rows = SignedSeal.objects.using(using).select_related("signed").defer("signed__body")
    for row in rows.order_by("number").iterator(chunk_size=_AT_ONCE):
        yield Link(
            number=row.number,
            row=row.signed_id,
            previous_seal=row.previous_seal,
            seal=row.seal,
            holds=is_sealed(row, row.signed),
        )
