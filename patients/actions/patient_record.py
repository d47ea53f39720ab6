"""All that changes a patient's record. Each action is one transaction with its audit line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.doubles import keep_possible, same_person, say_two_people
from patients.actions.finding import keep_findable
from patients.actions.refusals import Conflict, Duplicate, Refused
from patients.actions.withdrawing import withdraw
from patients.facts.partial_dates import DAY
from patients.facts.sections import SECTIONS, Section, merged, taken
from patients.models.patient import Assessment, Measured, Patient
from patients.rows_to_facts import entered, facts_from, newest_assessment
from patients.standing import why_not_written


@dataclass(frozen=True, kw_only=True)
class Identity:
    """Who a patient is; of the date of birth perhaps only the month or year is known.

    born     the first day that it can be
    born_is  what is known of it
    For the rest see Patient.
    """

    given_name: str
    family_name: str
    born: dt.date
    sex: str
    record_number: str = ""
    born_is: str = DAY
    born_estimated: bool = False
    goes_by: str = ""
    gender: str = ""
    table_sex: str = ""


def add_patient(
    *, who: Identity, by: User, at: dt.datetime, reason: str = "", token: UUID | None = None
) -> Patient:
    """Add a patient.

    Raises Duplicate, unless a reason says why she is another person. The same token gives
    the patient that it gave before.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Patient)
        matches = same_person(who)
        if matches and not reason:
            raise Duplicate(matches)
        patient = Patient.objects.create(**vars(who), created_by=by, created_at=at)
        keep_findable(patient)
        audit.record(
            by=by,
            at=at,
            action="add patient",
            on=patient,
            new=audit.state_of(patient),
            reason=reason,
            token=token,
        )
        say_two_people(patient, matches, reason[:200], by, at)
        keep_possible(patient)
    return patient


def change_patient(
    *,
    patient: Patient,
    who: Identity,
    version: int,
    by: User,
    at: dt.datetime,
    reason: str = "",
    token: UUID | None = None,
) -> Patient:
    """Change who a patient is.

    Raises Conflict where the version is not the newest, Refused where the record is not open,
    and Contradiction where the facts on record could not be read any more (a scan before the
    new date of birth).
    """
    with audit.writing():
        current = Patient.objects.select_for_update(of=("self",)).get(pk=patient.pk)
        if audit.done_before(token) is not None:
            return current
        refuse_written(current)
        old = vars(identity_of(current))
        if current.version != version:
            raise Conflict(mine=vars(who), theirs=old, now=current)
        for name, value in vars(who).items():
            setattr(current, name, value)
        current.version += 1
        current.save()
        keep_findable(current)
        keep_possible(current)
        _still_readable(current, timezone.localdate(at))
        audit.record(
            by=by,
            at=at,
            action="change patient",
            on=current,
            old=old,
            new=audit.state_of(current),
            reason=reason,
            token=token,
        )
    return current


def refuse_written(patient: Patient) -> None:
    """Raise Refused where nothing may be entered in a record; inside writing()."""
    if why := why_not_written(patient):
        raise Refused(why)


def identity_of(patient: Patient) -> Identity:
    """Return who a patient is on record."""
    return Identity(**{name: getattr(patient, name) for name in Identity.__annotations__})


def add_measured(
    *,
    patient: Patient,
    rows: Sequence[Measured],
    by: User,
    at: dt.datetime,
    corrects: Measured | None = None,
    token: UUID | None = None,
) -> None:
    """Add unsaved rows; the row that they correct, if any, is withdrawn with them.

    Raises Contradiction where the facts could not be read with them, Refused where the record
    is not open.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            return
        refuse_written(patient)
        _add_rows(patient, rows, corrects, by, at, token)
        _still_readable(patient, timezone.localdate(at))


def save_section(
    *,
    patient: Patient,
    section: Section,
    answers: Mapping[str, Any],
    as_of: dt.date,
    based_on: int | None,
    by: User,
    at: dt.datetime,
    rows: Sequence[Measured] = (),
    corrects: Measured | None = None,
    token: UUID | None = None,
) -> Assessment | None:
    """Save the answers of one section, in the shape of the facts document, and new rows.

    The other sections are carried over. based_on is the assessment that the form was filled
    from. Raises Conflict where that section was changed since, Contradiction where the
    facts could not be read. Returns what holds now.
    """
    with audit.writing():
        newest = newest_assessment(patient, as_of)
        if audit.done_before(token) is not None:
            return newest
        refuse_written(patient)
        mine = taken(answers, section)
        _no_conflict(newest, section, mine, based_on)
        made = _insert(patient, section, mine, as_of, newest, by, at)
        audit.record(
            by=by,
            at=at,
            action=f"save {section.code}",
            on=made,
            old=_part(newest, section),
            new=audit.state_of(made),
            token=token,
        )
        _add_rows(patient, rows, corrects, by, at, None)
        _still_readable(patient, as_of)
    return made


def save_sections(
    *,
    patient: Patient,
    parts: Mapping[str, Mapping[str, Any]],
    as_of: dt.date,
    based_on: int | None,
    by: User,
    at: dt.datetime,
    rows: Sequence[Measured] = (),
    corrected: Sequence[tuple[Measured, Measured]] = (),
    asked_again: Sequence[str] = (),
    token: UUID | None = None,
) -> list[str]:
    """Save the answers of several sections and new rows in one go; all of it, or nothing.

    parts gives each section's answers by its code, in the shape of the facts document;
    corrected each row that is put right, as it stands and as it is to be; asked_again the
    sections whose answers were asked anew, to be written though they are as before. Any other
    section that was left as the form showed it is not written, so that what somebody else
    saved there meanwhile stays. Returns the codes of those written. Raises Conflict, with
    all that clashes, and Contradiction as save_section does.
    """
    with audit.writing():
        newest = newest_assessment(patient, as_of)
        if audit.done_before(token) is not None:
            return []
        refuse_written(patient)
        mine = {code: taken(part, SECTIONS[code]) for code, part in parts.items()}
        changed = _changed(newest, mine, based_on)
        changed += [
            code
            for code in asked_again
            if code not in changed and mine[code] == _part(newest, SECTIONS[code])
        ]
        for code in changed:
            made = _insert(patient, SECTIONS[code], mine[code], as_of, newest, by, at)
            old = _part(newest, SECTIONS[code])
            audit.record(
                by=by,
                at=at,
                action=f"save {code}",
                on=made,
                old=old,
                new=audit.state_of(made),
                token=token if code == changed[0] else None,
            )
            newest = made
        _add_rows(patient, rows, None, by, at, None if changed else token)
        spent = bool(changed or rows)
        for index, (before, row) in enumerate(corrected):
            _add_rows(patient, [row], before, by, at, None if spent or index else token)
        _still_readable(patient, as_of)
    return changed


def _changed(
    newest: Assessment | None, mine: Mapping[str, Mapping[str, Any]], based_on: int | None
) -> list[str]:
    """Return the sections that the form changed; raises Conflict where somebody else did too."""
    based = _based(newest, based_on)
    found = [code for code in mine if mine[code] != _part(based, SECTIONS[code])]
    changed = [code for code in found if mine[code] != _part(newest, SECTIONS[code])]
    clash = [c for c in changed if _part(newest, SECTIONS[c]) != _part(based, SECTIONS[c])]
    if clash:
        theirs = {code: _part(newest, SECTIONS[code]) for code in clash}
        raise Conflict(mine={code: mine[code] for code in clash}, theirs=theirs, now=newest)
    return changed


def _based(newest: Assessment | None, based_on: int | None) -> Assessment | None:
    if newest is None or newest.pk == based_on:
        return newest
    return Assessment.objects.filter(pk=based_on or 0, patient=newest.patient_id).first()


def _no_conflict(
    newest: Assessment | None, section: Section, mine: Mapping[str, Any], based_on: int | None
) -> None:
    if newest is None or newest.pk == based_on:
        return
    based = _based(newest, based_on)
    theirs = _part(newest, section)
    if theirs not in (_part(based, section), mine):
        raise Conflict(mine=mine, theirs=theirs, now=newest)


def _part(assessment: Assessment | None, section: Section) -> dict[str, Any]:
    return taken(assessment.answers, section) if assessment else {}


def _insert(
    patient: Patient,
    section: Section,
    part: Mapping[str, Any],
    as_of: dt.date,
    newest: Assessment | None,
    by: User,
    at: dt.datetime,
) -> Assessment:
    answers, answered = (newest.answers, newest.answered) if newest else ({}, {})
    return Assessment.objects.create(
        patient=patient,
        as_of=as_of,
        answers=merged(answers, section, part),
        answered={**answered, section.code: as_of.isoformat()},
        section=section.code,
        made_by=by,
        made_at=at,
    )


def _add_rows(
    patient: Patient,
    rows: Sequence[Measured],
    corrects: Measured | None,
    by: User,
    at: dt.datetime,
    token: UUID | None,
) -> None:
    day = timezone.localdate(at)
    if corrects is not None:
        corrects.refresh_from_db()
        if corrects.patient_id != patient.pk or corrects.withdrawn_at is not None:
            raise Refused("The entry to correct is no longer there. Look at the page again.")
    for index, row in enumerate(rows):
        if row.day is not None and row.day > day:
            raise Refused("A measurement cannot lie after today.")
        row.patient, row.entered_by, row.entered_at = patient, by, at
        row.save(force_insert=True)
        audit.record(
            by=by,
            at=at,
            action=f"add {row.KIND}",
            on=row,
            new=audit.state_of(row),
            token=token if index == 0 else None,
        )
    if corrects is not None and rows:
        withdraw(row=corrects, reason="Corrected", by=by, at=at)


def _still_readable(patient: Patient, day: dt.date) -> None:
    """Raise Contradiction, and so undo the action, where the facts cannot be read."""
    facts_from(entered(patient, day))
