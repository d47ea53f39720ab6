"""Anchors: where the head of the record stood, kept in a file beside the database, and on paper.

A record by itself does not show that its end was cut off, that it was emptied, or that an older
file of the database was put in its place; an anchor kept elsewhere does. The file is only added
to, a line an anchor: number of the record's line, first digits of its seal, the time.
"""

from __future__ import annotations

import datetime as dt
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.db import DEFAULT_DB_ALIAS, transaction

from patients import audit
from patients.models.patient import Audit

DIGITS = 12
FILE = "record_anchors.txt"
_LINE = re.compile(rf"(\d+) ([0-9a-f]{{{DIGITS}}}) (\S+)")
#: Anchors looked up in one query.
_AT_ONCE = 500


@dataclass(frozen=True, kw_only=True)
class Anchor:
    """One line of the file."""

    number: int
    digits: str
    at: str


def head_words() -> str:
    """Return the head of the record as papers print it; nothing while it has no line."""
    number, seal = audit.head()
    return f"{number}-{seal[:DIGITS]}" if number else ""


def anchor_head(at: dt.datetime) -> None:
    """Add the head of the record to the file, once, so that it is there when this returns."""
    number, seal = audit.head()
    newest = [(one.number, one.digits) for one in anchors()[-1:]]
    if not number or newest == [(number, seal[:DIGITS])]:
        return
    line = f"{number} {seal[:DIGITS]} {audit.utc_text(at)}\n"
    path = _path()
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    held = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    try:
        os.write(held, line.encode("ascii"))
        os.fsync(held)
    finally:
        os.close(held)


def anchor_once_committed(at: dt.datetime) -> None:
    """Add the head to the file when the transaction has been committed.

    What is committed stays done where the file cannot be written; the next start writes it.
    """
    transaction.on_commit(lambda: anchor_head(at), robust=True)


def begin_anew(name: str, at: dt.datetime) -> None:
    """Put the file aside under a name, where the record itself is another one after a restore."""
    path = _path()
    if path.exists():
        path.rename(path.with_stem(f"{path.stem}-until-{name}"))
    anchor_head(at)


def anchors() -> list[Anchor]:
    """Return the anchors of the file, oldest first; a line that is none is left out."""
    try:
        text = _path().read_text(encoding="ascii", errors="replace")
    except FileNotFoundError:
        return []
    found = map(_LINE.fullmatch, text.splitlines())
    return [Anchor(number=int(m[1]), digits=m[2], at=m[3]) for m in found if m]


def against_anchors(using: str = DEFAULT_DB_ALIAS, *, last: int | None = None) -> Iterator[str]:
    """Yield in words what the record lacks of its anchors, the first of each kind.

    last   so many of the last anchors only
    """
    held = anchors() if last is None else anchors()[-last:]
    head = audit.head(using)[0]
    if beyond := [one for one in held if one.number > head]:
        newest = max(beyond, key=lambda one: one.number)
        ends = f"ends at line {head}" if head else "is empty"
        yield (
            f"The record {ends}, but on {newest.at} it had line {newest.number}, "
            f"{newest.digits}. Lines were cut off, or an older file of the database was put in "
            "its place."
        )
    there = [one for one in held if one.number <= head]
    for first in range(0, len(there), _AT_ONCE):
        some = there[first : first + _AT_ONCE]
        lines = Audit.objects.using(using).filter(seq__in=[one.number for one in some])
        seals = dict(lines.values_list("seq", "hash"))
        for one in some:
            if not seals.get(one.number, "").startswith(one.digits):
                yield (
                    f"Line {one.number} of the record is not the one that was anchored on "
                    f"{one.at}, {one.digits}. It was rebuilt, or this is another database."
                )
                return


def _path() -> Path:
    return Path(settings.STATE_DIR) / FILE
