"""What is written of scanners, their precision, and files of measurements."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.refusals import Conflict, Refused
from patients.facts.units import clean_text
from patients.files.columns import LAYOUTS
from patients.files.file import looked_at, opened
from patients.files.reading import EncodingAsked
from patients.files.rows import Choices
from patients.files.what_can_be_taken import Checked, Held, Person, Taken
from patients.models.patient import KINDS, FunctionTestDay, Measured, Patient, stored
from patients.models.scanners import MarkerError, ParkedFile, PrecisionStudy, Scanner, scanner_key
from patients.scanners.precision import precision
from patients.standing import WHY_NOT_WRITTEN

#: A parked file is thrown away after this long.
PARKED_HOURS = 24


def save_scanner(
    *,
    scanner: Scanner | None,
    name: str,
    note: str,
    version: int = 0,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> Scanner:
    """Add a scanner, or change name and note of one.

    Raises Refused where the name is taken, Conflict where the version is not the newest.
    The same token gives the scanner that it gave before.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Scanner)
        kept = Scanner() if scanner is None else Scanner.objects.get(pk=scanner.pk)
        if Scanner.objects.filter(key=scanner_key(name)).exclude(pk=kept.pk).exists():
            raise Refused("A scanner of this name is here already.")
        old = None if scanner is None else audit.state_of(kept)
        mine = {"name": clean_text(name), "note": clean_text(note)}
        if scanner is not None:
            if kept.version != version:
                raise Conflict(mine=mine, theirs=old or {}, now=kept)
            kept.version += 1
        kept.name, kept.note = mine["name"], mine["note"]
        kept.save()
        what = "add scanner" if scanner is None else "change scanner"
        new = audit.state_of(kept)
        audit.record(by=by, at=at, action=what, on=kept, old=old, new=new, token=token)
    return kept


@dataclass(frozen=True, kw_only=True)
class Study:
    """A precision study: the people's densities, or else the error and its freedom as known."""

    site: str
    made_on: dt.date
    people: Sequence[Sequence[float]] | None = None
    rms_sd_g_cm2: float = 0.0
    freedom: int = 0
    note: str = ""


def record_study(
    *, scanner: Scanner, study: Study, by: User, at: dt.datetime, token: UUID | None = None
) -> PrecisionStudy:
    """Record a precision study; its error is worked out from the people where they are given.

    Raises Refused for a study of a day to come. The same token gives the same study.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, PrecisionStudy)
        if study.made_on > timezone.localdate(at):
            raise Refused("A study cannot lie after today.")
        error, freedom = study.rms_sd_g_cm2, study.freedom
        if study.people is not None:
            found = precision(study.people)
            error, freedom = found.rms_sd_g_cm2, found.freedom
        made = PrecisionStudy.objects.create(
            scanner=scanner,
            site=study.site,
            made_on=study.made_on,
            people=None if study.people is None else [list(p) for p in study.people],
            rms_sd_g_cm2=Decimal(f"{error:.6f}"),
            freedom=freedom,
            note=clean_text(study.note),
            entered_by=by,
            entered_at=at,
        )
        new = audit.state_of(made)
        audit.record(by=by, at=at, action="add precision study", on=made, new=new, token=token)
    return made


@dataclass(frozen=True, kw_only=True)
class MarkerFigures:
    """What a laboratory says of a marker: its two CVs, or else the LSC, all in percent."""

    laboratory: str
    marker: str
    told_on: dt.date
    cv_percent: tuple[float, float] | None = None
    lsc_percent: float | None = None
    note: str = ""


def record_marker_error(
    *, figures: MarkerFigures, by: User, at: dt.datetime, token: UUID | None = None
) -> MarkerError:
    """Record what the laboratory says of a marker.

    Raises Refused for a day to come. The same token gives the same row.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, MarkerError)
        if figures.told_on > timezone.localdate(at):
            raise Refused("What the laboratory said cannot lie after today.")
        analytical, within = figures.cv_percent or (None, None)
        made = MarkerError.objects.create(
            laboratory=clean_text(figures.laboratory),
            marker=figures.marker,
            told_on=figures.told_on,
            cv_analytical_percent=stored(analytical),
            cv_within_percent=stored(within),
            lsc_percent=stored(figures.lsc_percent),
            note=clean_text(figures.note),
            entered_by=by,
            entered_at=at,
        )
        new = audit.state_of(made)
        audit.record(by=by, at=at, action="add marker error", on=made, new=new, token=token)
    return made


def park(*, name: str, content: bytes, by: User, at: dt.datetime) -> ParkedFile:
    """Keep a file for a day, until she who sent it says what becomes of it.

    Files whose day is over are thrown away on the way.
    """
    with audit.writing():
        ParkedFile.objects.filter(expires_at__lt=at).delete()
        parked = ParkedFile.objects.create(
            name=clean_text(name)[:200],
            content=content,
            digest=hashlib.sha256(content).hexdigest(),
            parked_by=by,
            parked_at=at,
            expires_at=at + dt.timedelta(hours=PARKED_HOURS),
        )
        new = {"name": parked.name, "digest": parked.digest, "bytes": len(content)}
        audit.record(by=by, at=at, action="park file", on=parked, new=new)
    return parked


def drop(*, parked: ParkedFile, by: User, at: dt.datetime) -> None:
    """Throw a parked file away; nothing of it is taken."""
    with audit.writing():
        old = {"name": parked.name, "digest": parked.digest}
        audit.record(by=by, at=at, action="drop file", on=parked, old=old)
        parked.delete()


def look(parked: ParkedFile, choices: Choices, as_of: dt.date) -> Checked | None:
    """Return what of a parked file can be taken on a day; None where it still asks something.

    Raises Unfit for a file that cannot be taken at all.
    """
    file = opened(bytes(parked.content), choices)
    if isinstance(file, EncodingAsked) or file.asks:
        return None

    def recorded(patient_ids: Collection[int]) -> Iterator[Held]:
        return held_rows(file.heads.layout.kind, patient_ids)

    return looked_at(file, people_on_record(), recorded, as_of)


def take(
    *,
    parked: ParkedFile,
    choices: Choices,
    expected: int,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> int:
    """Take all rows of a parked file that can be taken; returns how many.

    The file is checked again in the same transaction. Raises Refused where not just the
    `expected` number can be taken any more. Each patient gets one line of the record, with
    every row of hers.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            return expected
        checked = look(parked, choices, timezone.localdate(at))
        if checked is None or len(checked.taken) != expected or not expected:
            raise Refused("The record was changed in the meantime. Look at the file again.")
        _write(checked, by, at)
        new = {"name": parked.name, "digest": parked.digest, "rows": expected}
        audit.record(by=by, at=at, action="take file", on=parked, new=new, token=token)
        parked.delete()
    return expected


def people_on_record() -> list[Person]:
    """Return everyone, as far as a file can name her."""
    rows = Patient.objects.values_list("pk", "record_number", "born", "findable__state")
    return [
        Person(pk, number, born, WHY_NOT_WRITTEN.get(state, "")) for pk, number, born, state in rows
    ]


def held_rows(kind: str, patient_ids: Collection[int]) -> Iterator[Held]:
    """Yield the rows of a kind on record of these patients, oldest first, struck out or not.

    A day of the worry scale alone is no row of a file, which has no column for it.
    """
    rows = KINDS[kind]._default_manager.filter(patient_id__in=patient_ids).order_by("date", "id")
    beside = LAYOUTS[kind].beside
    for row in rows:
        if isinstance(row, FunctionTestDay) and not row.has_tests:
            continue
        kept = {name: getattr(row, name) for name in beside}
        yield Held(row.patient_id, row.fact(), kept, struck=row.withdrawn_at is not None)


def _write(checked: Checked, by: User, at: dt.datetime) -> None:
    def whose(taken: Taken) -> int:
        return taken.patient_id

    of = KINDS[checked.layout.kind]
    patients = Patient.objects.in_bulk({taken.patient_id for taken in checked.taken})
    for pk, mine in groupby(sorted(checked.taken, key=whose), key=whose):
        rows = [_row(of, taken, by, at) for taken in mine]
        of._default_manager.bulk_create(rows)
        _record(patients[pk], checked.layout.kind, rows, by, at)


def _row(of: type[Measured], taken: Taken, by: User, at: dt.datetime) -> Measured:
    more: Mapping[str, object] = {
        "patient_id": taken.patient_id,
        "entered_by": by,
        "entered_at": at,
        **taken.beside,
    }
    return of.from_fact(taken.fact, **more)


def _record(
    patient: Patient, kind: str, rows: Sequence[Measured], by: User, at: dt.datetime
) -> None:
    new = {"rows": [audit.state_of(row) for row in rows]}
    audit.record(by=by, at=at, action=f"import {kind}", on=patient, new=new)
