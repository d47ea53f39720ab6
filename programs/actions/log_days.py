"""Days of the log as they were typed: what is new is added, what was changed struck out first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.models import User

from patients import audit
from patients.actions.refusals import Refused
from patients.actions.withdrawing import withdraw
from patients.models.patient import Patient
from programs.actions.sessions import carrier_of, log_sessions, session_of
from programs.log.entries import Entry
from programs.models.program import SessionLog
from programs.review.logged_days import (
    Changes,
    Row,
    changes,
    entries_of_day,
    session_of_entry,
)
from safety.findings import Modality

DayEntries = Mapping[Modality | None, Entry]


@dataclass(frozen=True, kw_only=True)
class TypedDay:
    """A day as it was typed.

    was      the rows that stood when the page was opened
    kinds    of the program that held on it
    """

    on: dt.date
    was: tuple[int, ...]
    entries: DayEntries
    kinds: tuple[Modality, ...]


@dataclass(frozen=True, kw_only=True)
class Saved:
    """How many entries were added, and how many of them in the place of one struck out."""

    added: int
    struck: int


class ReasonNeeded(Refused):
    """Something that was logged is changed, and nobody said why."""

    def __init__(self) -> None:
        super().__init__("Say why what was logged is changed.")


class Meanwhile(Refused):
    """Days were logged otherwise after the page had been opened."""

    def __init__(self, days: Sequence[dt.date]) -> None:
        self.days = tuple(days)
        super().__init__(
            "Somebody logged this in the meantime. Look at what is on record now, and save again."
        )


def save_days(
    *,
    patient: Patient,
    days: Sequence[TypedDay],
    reason: str,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> Saved:
    """Write what was typed: all of it or none; a day that was not touched stays.

    The same token writes nothing more. Raises Meanwhile for a day that somebody else changed in
    another way, ReasonNeeded, and Refused as log_sessions does.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            return Saved(added=0, struck=0)
        now = rows_of_days(patient, [day.on for day in days])
        before = _rows_before(patient, days)
        touched = [day for day in days if entries_of(before[day.on]) != day.entries]
        found = [(day, _change(now[day.on], day)) for day in touched]
        found = [(day, change) for day, change in found if change.struck or change.entries]
        _refuse_meanwhile(now, [day for day, _ in found])
        struck = [pk for _, change in found for pk in change.struck]
        if struck and not reason.strip():
            raise ReasonNeeded
        minutes = _struck_out(struck, reason, by, at)
        entries = [(day, entry) for day, change in found for entry in change.entries]
        log_sessions(
            patient=patient,
            sessions=[session_of_entry(entry, carrier_of(day.kinds)) for day, entry in entries],
            minutes=[minutes.get((entry.on, str(entry.kind))) for _, entry in entries],
            by=by,
            at=at,
        )
        saved = Saved(added=len(entries), struck=len(struck))
        if entries or struck:
            new = {"days": [day.on for day, _ in found], **vars(saved)}
            audit.record(by=by, at=at, action="log days", on=patient, new=new, token=token)
    return saved


def rows_of_days(patient: Patient, days: Sequence[dt.date]) -> dict[dt.date, list[SessionLog]]:
    """Return the rows of some days that stand, by day."""
    found: dict[dt.date, list[SessionLog]] = {day: [] for day in days}
    rows = SessionLog.objects.filter(patient=patient, on__in=days, withdrawn_at=None)
    for row in rows.order_by("id"):
        found[row.on].append(row)
    return found


def entries_of(rows: Sequence[SessionLog]) -> DayEntries:
    """Return what the rows of one day tell."""
    return entries_of_day([session_of(row) for row in rows])


def _rows_before(patient: Patient, days: Sequence[TypedDay]) -> dict[dt.date, list[SessionLog]]:
    """Return the rows that stood when the page was opened, by day."""
    found: dict[dt.date, list[SessionLog]] = {day.on: [] for day in days}
    numbers = [pk for day in days for pk in day.was]
    for row in SessionLog.objects.filter(patient=patient, pk__in=numbers).order_by("id"):
        if row.on in found:
            found[row.on].append(row)
    return found


def _change(now: Sequence[SessionLog], day: TypedDay) -> Changes:
    rows = [Row(pk=row.pk, session=session_of(row)) for row in now]
    return changes(rows, day.entries)


def _refuse_meanwhile(
    now: Mapping[dt.date, Sequence[SessionLog]], days: Sequence[TypedDay]
) -> None:
    other = [day.on for day in days if {row.pk for row in now[day.on]} != set(day.was)]
    if other:
        raise Meanwhile(other)


def _struck_out(
    numbers: Sequence[int], reason: str, by: User, at: dt.datetime
) -> dict[tuple[dt.date, str], int | None]:
    """Strike rows out; returns the minutes that they held, which no cell asks for any more."""
    rows = list(SessionLog.objects.filter(pk__in=numbers))
    for row in rows:
        withdraw(row=row, reason=reason, by=by, at=at)
    return {(row.on, row.modality): row.minutes for row in rows if not row.whole_day}
