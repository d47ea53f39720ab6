"""Closing the record of somebody who moved, died or was discharged, and opening it again."""

from __future__ import annotations

import datetime as dt
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.doubles import keep_possible
from patients.actions.refusals import Refused
from patients.facts.units import clean_text
from patients.may import may_join
from patients.models.finding import CLOSED, JOINED, OPEN, Findable
from patients.models.patient import Patient
from patients.models.standing import OPENED, WHY_CLOSED, Closing
from patients.staff.rights import Right, why_not


def close_record(
    *,
    patient: Patient,
    what: str,
    on: dt.date,
    by: User,
    at: dt.datetime,
    note: str = "",
    token: UUID | None = None,
) -> Closing:
    """Close a record: it leaves the lists and is kept as it is.

    The same token gives the closing that it gave before. Raises Refused where somebody closed
    it meanwhile, where it stands under another record, for a day after today or before the
    first on which she can be born.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Closing)
        if not may_join(by):
            raise Refused(why_not(Right.JOIN))
        if what not in WHY_CLOSED:
            raise Refused("Say why the record is closed.")
        if on > timezone.localdate(at):
            raise Refused("This day lies after today.")
        if on < patient.born:
            raise Refused("This day lies before the date of birth.")
        _refuse_unless(patient, OPEN)
        return _kept(patient, what, on, note, "close record", by, at, token)


def open_again(
    *, patient: Patient, note: str, by: User, at: dt.datetime, token: UUID | None = None
) -> Closing:
    """Open a closed record again by a later row. Raises Refused without a reason in the note."""
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Closing)
        if not may_join(by):
            raise Refused(why_not(Right.JOIN))
        if not clean_text(note):
            raise Refused("Say why it is opened again.")
        _refuse_unless(patient, CLOSED)
        return _kept(
            patient, OPENED, timezone.localdate(at), note, "open record again", by, at, token
        )


def _refuse_unless(patient: Patient, state: str) -> None:
    stands = Findable.objects.select_for_update().get(patient=patient).state
    if stands == state:
        return
    raise Refused(
        {
            OPEN: "Somebody opened this record in the meantime. Look at it again.",
            CLOSED: "Somebody closed this record in the meantime. Look at it again.",
            JOINED: "This record is joined to another one of the same person.",
        }[stands]
    )


def _kept(
    patient: Patient,
    what: str,
    on: dt.date,
    note: str,
    action: str,
    by: User,
    at: dt.datetime,
    token: UUID | None,
) -> Closing:
    told = clean_text(note)[:200]
    row = Closing.objects.create(patient=patient, what=what, on=on, note=told, by=by, at=at)
    audit.record(
        by=by, at=at, action=action, on=row, new=audit.state_of(row), reason=told, token=token
    )
    stands = Findable.objects.get(patient=patient)
    stands.state = OPEN if what == OPENED else CLOSED
    stands.save(update_fields=["state"])
    patient.findable = stands
    keep_possible(patient)
    return row
