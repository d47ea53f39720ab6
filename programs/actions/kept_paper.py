"""A kept paper as it is read back: its bytes, once they are those that the record tells of."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from django.db import DEFAULT_DB_ALIAS

from patients import audit
from patients.models.patient import Audit
from programs.actions.refusals import NotDone
from programs.models.program import Handout, SignedPlan

#: What the record calls the making of a paper; the line holds its SHA-256.
MAKE_PAPER = "make paper"


def kept_bytes(row: Handout) -> bytes:
    """Return a kept paper, byte by byte as it was made. Raises NotDone where it is not that.

    Its digest is compared with the line of the record that tells of its making, by an index.
    """
    held = bytes(row.pdf)
    if hashlib.sha256(held).hexdigest() != row.sha256:
        raise NotDone("The kept paper is not the one that was made. It is not shown.")
    if why := _why_not_as_recorded(row):
        raise NotDone(f"{why} It is not shown.")
    return held


def kept_before(
    signed: SignedPlan,
    options: Mapping[str, Any],
    *,
    bears: Mapping[str, Mapping[str, str]],
    old: Mapping[str, Mapping[str, str]],
) -> Handout | None:
    """Return the paper that was made with the same options and bears the same.

    bears   what a paper made now would bear that is of its day: the numbers of the clinic and of
            an emergency ("clinic"), her names ("names")
    old     the same of the signed text, which papers bore before the record told of it
    """
    rows = Handout.objects.filter(signed=signed, **options).defer("pdf").order_by("-pk")
    return next((row for row in rows if _borne_by(row, old) == bears), None)


def _borne_by(
    row: Handout, old: Mapping[str, Mapping[str, str]]
) -> Mapping[str, Mapping[str, str]]:
    line = _line_of(row)
    told = json.loads(line.new or "{}") if line else {}
    return {name: told.get(name) or held for name, held in old.items()}


def _line_of(row: Handout) -> Audit | None:
    """Return the line of the record that tells of the making of a paper."""
    lines = Audit.objects.using(row._state.db or DEFAULT_DB_ALIAS).filter(
        object_type=Handout._meta.label_lower, object_id=str(row.pk), action=MAKE_PAPER
    )
    return lines.first()


def _why_not_as_recorded(row: Handout) -> str:
    line = _line_of(row)
    if line is None:
        return "No line of the record tells of the making of this paper."
    if not audit.is_sealed(line):
        return f"Line {line.seq} of the record, of this paper, is not as it was written."
    told = json.loads(line.new or "{}")
    columns = ("kind", "language", "paper", "type_pt", "sha256")
    held = {"signed": row.signed_id, **{name: getattr(row, name) for name in columns}}
    other = [name for name, value in held.items() if told.get(name) != value]
    return f"Line {line.seq} of the record has another {other[0]} of this paper." if other else ""
