"""Joining two records of one person, looking through what stands under the double, and back.

No row that is kept changes its person: the double keeps what it has, and stands under the
other record. What that one takes over is written into it anew, by who chose it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.doubles import keep_possible
from patients.actions.patient_record import Identity, change_patient, identity_of, save_sections
from patients.actions.refusals import Conflict, Refused
from patients.actions.withdrawing import withdraw
from patients.facts.sections import SECTIONS, put, taken, value_at
from patients.facts.units import clean_text
from patients.joining import HERE, THERE, WITH_BORN, Pair, copy_of
from patients.may import may_join
from patients.models.finding import CLOSED, JOINED, OPEN, Findable
from patients.models.patient import KINDS, Measured, Patient
from patients.models.standing import OPENED, Closing, Join, LookedThrough
from patients.staff.rights import Right, why_not
from patients.standing import joins_in_force


def join_records(
    *,
    double: Patient,
    into: Patient,
    choices: Mapping[str, str],
    seal: str,
    reason: str,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> Join:
    """Say that the double is of the person of the other record, and take over what was chosen.

    choices   of each clash by its name: HERE or THERE
    seal      of the pair that was chosen upon
    The same token gives the join that it gave before. Raises Refused for a chain, a circle, a
    record that is closed, a choice or a reason that is missing; Conflict where either record
    was changed since; Contradiction where the facts could not be read with what is taken over.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Join)
        if not may_join(by):
            raise Refused(why_not(Right.JOIN))
        if why := why_not_joined(double, into):
            raise Refused(why)
        pair = Pair.of(into, double, timezone.localdate(at))
        if pair.seal != seal:
            raise Conflict(mine=choices, theirs={}, now=pair)
        why = _reason(reason, "Say how you know that they are one person.")
        chosen = _chosen(pair, choices)
        _take_over(pair, chosen, why, by, at)
        row = Join.objects.create(double=double, into=into, chosen=chosen, reason=why, by=by, at=at)
        new = audit.state_of(row)
        audit.record(by=by, at=at, action="join", on=row, new=new, reason=why, token=token)
        _stand_anew(row)
    return row


def why_not_joined(double: Patient, into: Patient) -> str:
    """Return why a record cannot be joined to another one, or nothing where it can."""
    stands = {row.patient_id: row for row in Findable.objects.filter(patient__in=(double, into))}
    a, b = stands[into.pk], stands[double.pk]
    if double.pk == into.pk:
        return "A record cannot be joined to itself."
    if b.state == JOINED:
        return f"Record {double.pk} is joined to another one already."
    if a.state == JOINED:
        return f"Record {into.pk} is itself joined to another one. Join to that one."
    if b.leads:
        return (
            f"Other records are joined to record {double.pk}. Join the other way round, or take "
            "them apart first."
        )
    if a.state == CLOSED:
        return f"Record {into.pk} is closed. Open it again first."
    return ""


def _reason(text: str, missing: str) -> str:
    why = clean_text(text)[:200]
    if not why:
        raise Refused(missing)
    return why


def _chosen(pair: Pair, choices: Mapping[str, str]) -> dict[str, Any]:
    """Return what is taken over, as the join keeps it."""
    clashes = pair.clashes()
    if left := [one.question for one in clashes if choices.get(one.name) not in (HERE, THERE)]:
        raise Refused(f"Choose for each: {left[0]}.")
    parts = [one.name.split(":") for one in clashes if choices[one.name] == THERE]
    held, there = pair.into.answers, pair.double.answers
    names = [name for what, name, *_ in parts if what == "who"]
    paths = [path for what, path, *_ in parts if what == "answer"]
    return {
        "identity": {name: _as_kept(pair.into.patient, name) for name in names},
        "answers": [[path, value_at(held, path), value_at(there, path)] for path in paths],
        "rows": [[part[1], int(part[2])] for part in parts if part[0] == "row"],
    }


def _as_kept(patient: Patient, name: str) -> str:
    return patient.born_as_told if name == "born" else str(getattr(patient, name))


def _take_over(pair: Pair, chosen: dict[str, Any], reason: str, by: User, at: dt.datetime) -> None:
    """Write into the record that goes on what it takes over; the new rows' numbers are kept."""
    into, double = pair.into.patient, pair.double.patient
    if chosen["identity"]:
        who = _who(into, double, chosen["identity"])
        change_patient(
            patient=into, who=who, version=into.version, by=by, at=at, reason=f"Joined: {reason}"
        )
        into.refresh_from_db()
    rows = [_copied(pair, kind, number) for kind, number in chosen["rows"]]
    save_sections(
        patient=into,
        parts=_parts(pair, chosen),
        as_of=pair.into.as_of,
        based_on=pair.into.assessment.pk if pair.into.assessment else None,
        by=by,
        at=at,
        rows=rows,
    )
    chosen["rows"] = [[*known, row.pk] for known, row in zip(chosen["rows"], rows, strict=True)]


def _who(into: Patient, double: Patient, names: Collection[str]) -> Identity:
    taken_over = {name: getattr(double, name) for name in names}
    if "born" in names:
        taken_over |= {name: getattr(double, name) for name in WITH_BORN}
    return Identity(**{**vars(identity_of(into)), **taken_over})


def _copied(pair: Pair, kind: str, number: int) -> Measured:
    return copy_of(next(row for row in pair.double.rows[kind] if row.pk == number))


def _parts(pair: Pair, chosen: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Return the answers of each section into which something is taken over."""
    answers, parts = pair.into.answers, {}
    for path, _, after in chosen["answers"]:
        put(answers, path, after)
    for code, section in SECTIONS.items():
        paths = [path for path, *_ in chosen["answers"]]
        if any(f"{path}.".startswith(f"{key}.") for path in paths for key in section.keys):
            parts[code] = taken(answers, section)
    return parts


def undo_join(
    *,
    join: Join,
    reason: str,
    by: User,
    at: dt.datetime,
    strike: Collection[tuple[str, int]] = (),
    token: UUID | None = None,
) -> Join:
    """Take two joined records apart again by a later row.

    strike   rows that were taken over and are struck out again, by kind and number
    Raises Refused without a reason, and where somebody took them apart meanwhile.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Join)
        if not may_join(by):
            raise Refused(why_not(Right.JOIN))
        _refuse_undone(join)
        why = _reason(reason, "Say how you know that they are two people.")
        row = Join.objects.create(
            double=join.double, into=join.into, undoes=join, reason=why, by=by, at=at
        )
        new = audit.state_of(row)
        audit.record(by=by, at=at, action="undo join", on=row, new=new, reason=why, token=token)
        for kind, copied in taken_over(join):
            if (kind, copied.pk) in strike:
                withdraw(row=copied, reason=f"Taken over from record {join.double_id}; two "
                         "people after all", by=by, at=at)  # fmt: skip
        _stand_anew(row)
    return row


def taken_over(join: Join) -> list[tuple[str, Measured]]:
    """Return the rows that a join took over and that still stand, each with its kind."""
    found = []
    for kind, _, number in join.chosen["rows"]:
        row = KINDS[kind]._default_manager.filter(pk=number, withdrawn_at=None).first()
        if row is not None:
            found.append((kind, row))
    return found


def _refuse_undone(join: Join) -> None:
    if not joins_in_force().filter(pk=join.pk).exists():
        raise Refused("These records were taken apart already.")


def note_looked_through(
    *, join: Join, by: User, at: dt.datetime, note: str = "", token: UUID | None = None
) -> LookedThrough:
    """Keep that somebody has looked through what stands under a double; the first one holds."""
    with audit.writing():
        done = LookedThrough.objects.filter(join=join).first()
        if done is not None:
            return done
        _refuse_undone(join)
        told = clean_text(note)[:200]
        row = LookedThrough.objects.create(join=join, note=told, by=by, at=at)
        new = audit.state_of(row)
        audit.record(by=by, at=at, action="look through double", on=row, new=new, token=token)
        _stand_anew(join)
    return row


def _stand_anew(join: Join) -> None:
    """Bring the standing of both records to the joins that hold."""
    joins = joins_in_force().filter(into=join.into)
    into = Findable.objects.get(patient=join.into)
    into.leads = joins.exists()
    into.to_look_through = joins.filter(looked_through=None).exists()
    into.save(update_fields=["leads", "to_look_through"])
    double = Findable.objects.get(patient=join.double)
    double.state = JOINED if joins.filter(double=join.double).exists() else _apart(join.double)
    double.save(update_fields=["state"])
    for patient, stands in ((join.into, into), (join.double, double)):
        patient.findable = stands
        keep_possible(patient)


def _apart(patient: Patient) -> str:
    """Return how a record stands that is joined to no other one."""
    newest = Closing.objects.filter(patient=patient).last()
    return OPEN if newest is None or newest.what == OPENED else CLOSED
