"""The record of who did what, sealed line by line; every action of every app writes to it.

Each line's seal is an HMAC-SHA-256 over the line and the seal before it, with a key made
from SECRET_KEY: a changed, missing, moved or forged line breaks the chain. A cut tail
shows only against a seal kept elsewhere, so the head is printed and backed up. After a new
SECRET_KEY the old one belongs in SECRET_KEY_FALLBACKS, or old lines no longer verify.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib.auth.models import User
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction
from django.utils.crypto import constant_time_compare, salted_hmac

from patients.models import Audit

#: Where the request came from; set for each request by the middleware.
source_address: ContextVar[str] = ContextVar("source_address", default="")

_SALT = "calcar.audit"
_FIRST = "0" * 64


@dataclass(frozen=True, kw_only=True)
class Broken:
    """The first line at which the chain does not hold."""

    seq: int
    why: str


@contextmanager
def writing() -> Iterator[None]:
    """Hold one transaction in which nobody else writes, so that the chain has one tail.

    SQLite takes its write lock when the transaction begins (IMMEDIATE); elsewhere all who
    write queue for the first line.
    """
    with transaction.atomic():
        Audit.objects.select_for_update().filter(seq=1).first()
        yield


def record(
    *,
    by: User | None,
    at: dt.datetime,
    action: str,
    on: models.Model,
    old: Mapping[str, Any] | None = None,
    new: Mapping[str, Any] | None = None,
    reason: str = "",
    token: UUID | None = None,
) -> Audit:
    """Write one line about a saved object, inside writing(); None for `by` is the system.

    Raises IntegrityError where the token was used before: ask `done_before` first.
    """
    last = Audit.objects.order_by("-seq").values_list("seq", "hash").first() or (0, _FIRST)
    line = Audit(
        seq=last[0] + 1,
        at=at,
        actor=by,
        actor_name=printed_name(by),
        action=action,
        object_type=on._meta.label_lower,
        object_id=str(on.pk),
        object_version=getattr(on, "version", None),
        old=canonical(old),
        new=canonical(new),
        reason=reason,
        source_address=source_address.get(),
        token=token,
        prev_hash=last[1],
    )
    line.hash = _seal(line, settings.SECRET_KEY)
    line.save(force_insert=True)
    return line


def done_before(token: UUID | None) -> Audit | None:
    """Return the line of the action that this form's token has already led to."""
    return None if token is None else Audit.objects.filter(token=token).first()


def verify_chain() -> Broken | None:
    """Return where the chain is broken, or None where every line holds."""
    seal = _FIRST
    for seq, line in enumerate(Audit.objects.order_by("seq").iterator(), start=1):
        if line.seq != seq:
            return Broken(seq=line.seq, why=f"line {seq} is missing")
        if line.prev_hash != seal:
            return Broken(seq=seq, why="does not follow the line before")
        if not _sealed_by_us(line):
            return Broken(seq=seq, why="is not as it was written")
        seal = line.hash
    return None


def head() -> tuple[int, str]:
    """Return number and seal of the last line, to be kept outside the database."""
    last = Audit.objects.order_by("-seq").values_list("seq", "hash").first()
    return last or (0, _FIRST)


def state_of(row: models.Model) -> dict[str, Any]:
    """Return what a row holds, by column, for the record."""
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def canonical(value: Mapping[str, Any] | None) -> str:
    """Return one text for one value, whatever the order of its keys."""
    return json.dumps(
        value, cls=DjangoJSONEncoder, sort_keys=True, ensure_ascii=False, separators=(",", ":")
    )


def printed_name(by: User | None) -> str:
    """Return the name that stands in the record, as it is today."""
    return "the system" if by is None else by.get_full_name() or by.get_username()


def _sealed_by_us(line: Audit) -> bool:
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return any(constant_time_compare(line.hash, _seal(line, key)) for key in keys)


def _seal(line: Audit, key: str | bytes) -> str:
    sealed = {name: value for name, value in state_of(line).items() if name != "hash"}
    sealed["at"] = line.at.astimezone(dt.UTC).isoformat()
    return salted_hmac(_SALT, canonical(sealed), secret=key, algorithm="sha256").hexdigest()
