"""Signed programs from before there were keyed seals, sealed by a command and on the record."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS

from patients import audit
from programs.actions.as_signed import why_not_as_signed
from programs.actions.sealing import make_seal, told_of
from programs.models.program import SignedPlan

#: What the record calls the sealing of an older signature; the line holds the seal.
SEAL_OLDER = "seal signed program"
#: What is told of signed programs without a keyed seal.
SEAL_THEM = "(manage.py seal_signed seals them)."


@dataclass(frozen=True, kw_only=True)
class SealedOlder:
    """What the command did: how many it sealed, and what kept it from sealing the next."""

    sealed: int
    refused: str


def unsealed(using: str = DEFAULT_DB_ALIAS) -> int:
    """Return how many signed programs have no keyed seal."""
    return SignedPlan.objects.using(using).filter(seal=None, erasure=None).count()


def seal_older(*, by: User | None, at: dt.datetime) -> SealedOlder:
    """Seal every signed program that has no keyed seal, oldest first; nothing of it is rewritten.

    Each is sealed only where it is as its own line of the record tells. The first that is not,
    or whose seal the record tells of though it is gone, ends the work; the ones before it stay
    sealed, and a second run goes on from there.
    """
    made = 0
    older = SignedPlan.objects.filter(seal=None, erasure=None).order_by("pk")
    for pk in list(older.values_list("pk", flat=True)):
        with audit.writing():
            signed = older.select_related("plan").filter(pk=pk).first()
            if signed is None:
                continue
            if why := why_not_as_signed(signed):
                return SealedOlder(sealed=made, refused=f"Signed program {pk}: {why}")
            seal = make_seal(signed, at)
            audit.record(by=by, at=at, action=SEAL_OLDER, on=signed, new=told_of(seal))
        made += 1
    return SealedOlder(sealed=made, refused="")
