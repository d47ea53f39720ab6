"""Files of the log: looked at, and taken only when someone says so; twice is as good as once."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import NAMESPACE_URL, UUID, uuid5

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.refusals import Refused
from patients.files.dates import DateCount
from patients.files.reading import EncodingAsked
from patients.files.rows import Choices
from patients.models.patient import Patient
from patients.models.scanners import ParkedFile
from programs.actions.log_days import entries_of
from programs.actions.sessions import carrier_of, log_sessions
from programs.log.carried import is_carried, read_carried
from programs.log.day import Column
from programs.log.file_days import Bad, FileDay, Found, OnRecord, sort_out
from programs.log.table import TableRead, read_table
from programs.models.program import SessionLog, SignedPlan
from programs.review.logged_days import session_of_entry
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class Knows:
    """What a file is read by: her program's kinds, its columns, her plates."""

    kinds: tuple[Modality, ...]
    columns: tuple[Column, ...]
    plates: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Looked:
    """A file as far as it was read: what it asks first, or what was found in it.

    before   this very file was taken already
    """

    encoding: EncodingAsked | None = None
    order: DateCount | None = None
    ignored: tuple[str, ...] = ()
    found: Found | None = None
    before: bool = False


def look(parked: ParkedFile, patient: Patient, knows: Knows, choices: Choices) -> Looked:
    """Return what of a parked file can be taken. Raises Unfit for one that cannot be read."""
    data = bytes(parked.content)
    if is_carried(data):
        carried = read_carried(data, knows.columns, patient.pk)
        before = audit.done_before(_token(carried.file, parked, patient)) is not None
        found = held_against_log(patient, carried.days, carried.bad, knows)
        return Looked(found=found, before=before)
    read = read_table(data, choices, knows.columns, patient.pk)
    if isinstance(read, EncodingAsked):
        return Looked(encoding=read)
    if read.order is not None:
        return Looked(order=read.order)
    return _table_looked(parked, patient, knows, read)


def _table_looked(parked: ParkedFile, patient: Patient, knows: Knows, read: TableRead) -> Looked:
    return Looked(
        ignored=read.ignored,
        found=held_against_log(patient, read.days, read.bad, knows),
        before=audit.done_before(_token("", parked, patient)) is not None,
    )


def take(
    *,
    parked: ParkedFile,
    patient: Patient,
    knows: Knows,
    choices: Choices,
    expected: int,
    by: User,
    at: dt.datetime,
) -> int:
    """Take all entries of a parked file that can be taken; returns how many.

    It is looked at again in the same transaction. Raises Refused where not just the `expected`
    number can be taken any more: of a file that was taken before, nothing is new.
    """
    with audit.writing():
        looked = look(parked, patient, knows, choices)
        new = looked.found.new if looked.found else ()
        if len(new) != expected or not expected:
            raise Refused("The log was changed in the meantime. Look at the file again.")
        carrier = carrier_of(knows.kinds)
        sessions = [session_of_entry(entry, carrier) for _, entry in new]
        log_sessions(patient=patient, sessions=sessions, by=by, at=at)
        file = _file_number(parked, patient, knows)
        told = {"name": parked.name, "digest": parked.digest, "file": file, "entries": expected}
        token = None if looked.before else _token(file, parked, patient)
        audit.record(by=by, at=at, action="take log file", on=patient, new=told, token=token)
        parked.delete()
    return expected


def _file_number(parked: ParkedFile, patient: Patient, knows: Knows) -> str:
    data = bytes(parked.content)
    return read_carried(data, knows.columns, patient.pk).file if is_carried(data) else ""


def _token(file: str, parked: ParkedFile, patient: Patient) -> UUID:
    """Return what tells this very file, brought back for this patient, from any other."""
    digest = hashlib.sha256(bytes(parked.content)).hexdigest()
    return uuid5(NAMESPACE_URL, f"calcar log {patient.pk} {file} {digest}")


def held_against_log(
    patient: Patient, days: Sequence[FileDay], bad: Sequence[Bad], knows: Knows
) -> Found:
    """Return what of some days is new, held against what the log of a patient has."""
    wanted = {day.on for day in days}
    rows = SessionLog.objects.filter(patient=patient, on__in=wanted).order_by("id")
    by_day: dict[dt.date, list[SessionLog]] = {}
    for row in rows:
        by_day.setdefault(row.on, []).append(row)
    first = SignedPlan.objects.filter(patient=patient).order_by("version").first()
    assert first is not None
    record = OnRecord(
        standing={
            day: entries_of([row for row in held if row.withdrawn_at is None])
            for day, held in by_day.items()
        },
        struck={
            day: [entries_of([row]) for row in held if row.withdrawn_at is not None]
            for day, held in by_day.items()
        },
        first=first.plan.starts_on,
        last=timezone.localdate(),
    )
    return sort_out(days, bad, record, knows.plates)
