"""The file of the evidence watch that is in force: the product's own, or what a clinic put in."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from programs.actions.refusals import NotDone
from programs.models.clinic import EvidenceFile
from programs.watch.file import BadFile, WatchFile, older, read
from programs.watch.resting import papers

#: The file that came with the product.
KEPT = Path(__file__).resolve().parents[1] / "watch" / "known.json"
CHANGED = (
    "Somebody else put a file in after you had opened this page. Look at what is in force now, and "
    "put yours in again if it still should take its place."
)
NOT_AS_PUT_IN = (
    "The file that the clinic put in is not as it was put in, so the product’s own is in force. "
    "Put it in again, and have the record looked over."
)
_REASON_LETTERS = 200
REASON_LONG = f"Shorten the reason to {_REASON_LETTERS} characters."


class OlderFile(NotDone):
    """Raised where a file is older, or says less, than the one there, and no reason is given."""

    def __init__(self, lines: Collection[str]) -> None:
        self.lines = tuple(lines)
        super().__init__(
            "The file is older, or says less, than the one in force. Write why it should take its "
            "place all the same."
        )


@dataclass(frozen=True, kw_only=True)
class InForce:
    """The file that counts now.

    row      as the clinic put it in; None: it is the product's own
    problem  why the clinic's does not count; nothing where it does, or there is none
    says_more   in what the product's own file is newer, or says more, than the clinic's
    """

    file: WatchFile
    row: EvidenceFile | None = None
    problem: str = ""
    says_more: tuple[str, ...] = ()


@cache
def of_the_product() -> WatchFile:
    """Return the file that came with the product."""
    return read(KEPT.read_bytes(), dt.date.max)


def in_force() -> InForce:
    """Return the file that counts now; one query."""
    own = of_the_product()
    row = EvidenceFile.objects.select_related("by").last()
    if row is None:
        return InForce(file=own)
    content = row.text.encode()
    try:
        held = read(content, dt.date.max)
    except BadFile:
        return InForce(file=own, problem=NOT_AS_PUT_IN)
    if hashlib.sha256(content).hexdigest() != row.digest:
        return InForce(file=own, problem=NOT_AS_PUT_IN)
    return InForce(file=held, row=row, says_more=older(held, own, _names()))


def newest_row() -> int:
    """Return the number of the last file that was put in; 0 where none ever was."""
    return EvidenceFile.objects.values_list("pk", flat=True).last() or 0


def looked_at(content: bytes, at: dt.datetime) -> tuple[WatchFile, tuple[str, ...]]:
    """Return what a file says, and in what it is older or says less; raises BadFile."""
    new = read(content, timezone.localdate(at))
    return new, older(new, in_force().file, _names())


def put_in(
    *,
    content: bytes,
    reason: str,
    by: User,
    at: dt.datetime,
    seen: int | None = None,
    token: UUID | None = None,
) -> WatchFile | None:
    """Put a file in the place of the one there; None where the token was used before.

    seen   the newest row when the form was shown; None where nobody had been shown any
    Raises BadFile, OlderFile for an older one without a reason, and NotDone where somebody
    else was first.
    """
    reason = reason.strip()
    if len(reason) > _REASON_LETTERS:
        raise NotDone(REASON_LONG)
    with audit.writing():
        if audit.done_before(token) is not None:
            return None
        if seen is not None and seen != newest_row():
            raise NotDone(CHANGED)
        before = in_force()
        new, lines = looked_at(content, at)
        if lines and not reason:
            raise OlderFile(lines)
        _keep(content, new, reason if lines else "", before, by, at, token)
    return new


def _keep(
    content: bytes,
    new: WatchFile,
    reason: str,
    before: InForce,
    by: User,
    at: dt.datetime,
    token: UUID | None,
) -> None:
    text = content.decode("utf-8-sig")
    told = {
        "digest": hashlib.sha256(text.encode()).hexdigest(),
        "as_of": new.as_of,
        "reason": reason,
    }
    row = EvidenceFile.objects.create(text=text, by=by, at=at, **told)
    was = before.row
    old = {"digest": was.digest, "as_of": was.as_of} if was else {"the product's own": True}
    new_told = {**told, "reason": row.reason, "drawn_up_by": new.drawn_up_by}
    audit.record(
        by=by, at=at, action="put in evidence file", on=row, old=old, new=new_told, token=token
    )


def _names() -> tuple[str, ...]:
    return tuple(paper.name for paper in papers())
