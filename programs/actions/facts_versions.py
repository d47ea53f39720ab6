"""Which rows the facts of a person are read from, named in short, and when they last changed.

Rows are only added and struck out, so their number, the newest and those struck out tell one
state of the record from another. A clearance that begins or ends counts as a change on its day.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Count, Max, QuerySet
from django.utils import timezone

from patients.models.patient import KINDS, Assessment, Audit, Patient
from programs.actions.sessions import TELLS
from programs.models.program import SessionLog
from safety.models import Clearance


@dataclass
class FactsVersion:
    """What the facts of a person on a day are read from.

    changed_at   None where nothing but her name is on record
    is_empty     nothing was ever answered or measured
    """

    parts: dict[str, Any] = field(default_factory=dict)
    changed_at: dt.datetime | None = None
    is_empty: bool = True

    @property
    def name(self) -> str:
        """Return a name of 64 letters that no other state of the record has."""
        text = json.dumps(self.parts, sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()

    def add(self, kind: str, part: Any, *changed: dt.datetime | None) -> None:
        """Add what is on record of one kind."""
        self.parts[kind] = part
        known = [at for at in (self.changed_at, *changed) if at is not None]
        self.changed_at = max(known, default=None)


def facts_versions(patients: Collection[Patient], day: dt.date) -> dict[int, FactsVersion]:
    """Return the version of each of these people's facts on a day; ten queries for all."""
    found = {patient.pk: FactsVersion() for patient in patients}
    for patient in patients:
        found[patient.pk].add("patient", patient.version)
    for kind, of, newest, withdrawn, *changed in _rows(patients):
        found[of].add(kind, [newest, withdrawn], *changed)
        if kind != "log":
            found[of].is_empty = False
    for of, rows in _clearances(patients, day).items():
        found[of].add("clearances", *rows)
    for of, at in _renamed(patients):
        found[of].add("patient", found[of].parts["patient"], at)
    return found


def _rows(patients: Collection[Patient]) -> Iterator[tuple[Any, ...]]:
    kinds = ((code, kind._default_manager.all()) for code, kind in KINDS.items())
    for code, rows in (*kinds, ("log", SessionLog.objects.filter(TELLS))):
        for row in _by_patient(rows, patients, "entered_at", "withdrawn_at"):
            yield (code, *row)
    for row in _by_patient(Assessment.objects.all(), patients, "made_at", None):
        yield ("answers", *row)


def _by_patient(
    rows: QuerySet[Any], patients: Collection[Patient], entered: str, withdrawn: str | None
) -> Iterator[tuple[Any, ...]]:
    """Yield of each patient the newest row, how many were struck out, and when either was."""
    grouped = rows.filter(patient__in=patients).order_by().values("patient")
    if withdrawn is None:
        found = grouped.annotate(last=Max("id"), at=Max(entered))
        yield from ((of, last, 0, at) for of, last, at in _listed(found, "last", "at"))
        return
    found = grouped.annotate(
        last=Max("id"), out=Count(withdrawn), at=Max(entered), out_at=Max(withdrawn)
    )
    yield from _listed(found, "last", "out", "at", "out_at")


def _listed(rows: Any, *names: str) -> Iterator[tuple[Any, ...]]:
    yield from rows.values_list("patient", *names)


def _clearances(patients: Collection[Patient], day: dt.date) -> dict[int, tuple[Any, ...]]:
    """Return of each patient her clearances as they stand on a day, and when each changed."""
    found: dict[int, tuple[Any, ...]] = {}
    for row in Clearance.objects.filter(patient__in=patients):
        begun, ended = row.on <= day, row.until < day
        parts, *changed = found.get(row.patient_id, ([],))
        changed += [row.recorded_at, row.withdrawn_at]
        changed += [_midnight(row.on)] * begun
        changed += [_midnight(row.until + dt.timedelta(days=1))] * ended
        part = [row.pk, row.withdrawn_at is not None, begun, ended]
        found[row.patient_id] = ([*parts, part], *changed)
    return found


def _midnight(day: dt.date) -> dt.datetime:
    return timezone.make_aware(dt.datetime.combine(day, dt.time()))


def _renamed(patients: Collection[Patient]) -> Iterator[tuple[int, dt.datetime]]:
    """Yield when who somebody is was last put right: a date of birth changes what is screened."""
    lines = Audit.objects.filter(
        object_type=Patient._meta.label_lower, object_id__in=[str(one.pk) for one in patients]
    )
    last = lines.order_by().values("object_id").annotate(last=Max("at"))
    yield from ((int(of), at) for of, at in last.values_list("object_id", "last"))
