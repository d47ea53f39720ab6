"""All that changes what is kept of a screen. Each action is one transaction with its audit line."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User

from patients import audit
from patients.actions.patient_record import refuse_written
from patients.actions.refusals import Refused
from patients.facts.codes import CONDITIONS
from patients.facts.declared import Clearance as ClearanceFact
from patients.facts.declared import OtherClearance
from patients.facts.document import read_part, write
from patients.may import may_clear
from patients.models.patient import Patient
from patients.staff.rights import Right, why_not
from safety.facts_with_clearances import facts_for
from safety.models import Clearance, Contraindication, RiskFlag, Screening, subjects
from safety.rules.all_rules import RULEBOOK
from safety.screen import Screen, screen


def screen_patient(*, patient: Patient, as_of: dt.date, by: User, at: dt.datetime) -> Screening:
    """Keep the screen of a day as it was read.

    Where it says what the newest one kept for that day says, that one is returned and
    nothing is written. Raises patients.rows_to_facts.Contradiction.
    """
    with audit.writing():
        facts = facts_for(patient, as_of)
        seen = screen(facts)
        digest = findings_digest(seen)
        newest = newest_screening(patient, as_of)
        if newest is not None and newest.findings_digest == digest:
            return newest
        made = Screening.objects.create(
            patient=patient,
            as_of=as_of,
            rulebook=RULEBOOK,
            facts_digest=_digest(write(facts)),
            findings_digest=digest,
            made_by=by,
            made_at=at,
        )
        _keep(made, seen)
        audit.record(by=by, at=at, action="screen", on=made, new=audit.state_of(made))
    return made


def newest_screening(patient: Patient, as_of: dt.date) -> Screening | None:
    """Return the screening last kept for a day."""
    kept = Screening.objects.filter(patient=patient, as_of=as_of).select_related("made_by")
    return kept.order_by("-id").first()


def findings_digest(seen: Screen) -> str:
    """Return one digest for one outcome under one rulebook."""
    return _digest({"rulebook": RULEBOOK, "risks": _risks(seen), "findings": _findings(seen)})


def _digest(value: Any) -> str:
    text = json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _risks(seen: Screen) -> list[dict[str, Any]]:
    by_kind = {"fracture": seen.situation.fracture_risk, "fall": seen.situation.fall_risk}
    return [
        {
            "kind": kind,
            "level": risk.level,
            "drafted_as": risk.drafted_as,
            "criteria": [asdict(criterion) for criterion in risk.criteria],
        }
        for kind, risk in by_kind.items()
    ]


def _findings(seen: Screen) -> list[dict[str, Any]]:
    return [
        {
            "rule": finding.rule,
            "about": str(finding.about),
            "level": str(finding.level),
            "text": finding.text,
            "facts": list(finding.facts),
            "missing": list(finding.missing),
            "sources": list(finding.sources),
            "cleared": finding.cleared,
            "holds": finding.holds,
            "blocks": finding.blocks,
        }
        for finding in seen.findings
    ]


def _keep(made: Screening, seen: Screen) -> None:
    for risk in _risks(seen):
        RiskFlag.objects.create(screening=made, **risk)
    # The rows belong to the screening, whose audit line has its digest.
    Contraindication.objects.bulk_create(
        Contraindication(screening=made, place=place, **finding)
        for place, finding in enumerate(_findings(seen), start=1)
    )


def add_clearance(
    *,
    patient: Patient,
    subject: str,
    modalities: Sequence[str],
    given_by: str,
    on: dt.date,
    until: dt.date,
    by: User,
    at: dt.datetime,
    note: str = "",
    limits: str | None = None,
    eye_specialist: bool | None = None,
    token: UUID | None = None,
) -> Clearance:
    """Record a clearance. Raises Refused where it is none, or `by` may not.

    The same token gives the clearance that it gave before.
    """
    row = Clearance(
        patient=patient,
        subject=subject,
        modalities=list(modalities),
        given_by=given_by,
        on=on,
        until=until,
        note=note,
        limits=limits,
        eye_specialist=eye_specialist,
        recorded_by=by,
        recorded_at=at,
    )
    _refuse_unreadable(row, at.date())
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Clearance)
        if not may_clear(by):
            raise Refused(why_not(Right.CLEAR))
        refuse_written(patient)
        row.save(force_insert=True)
        audit.record(
            by=by, at=at, action="add clearance", on=row, new=audit.state_of(row), token=token
        )
    return row


def _refuse_unreadable(row: Clearance, day: dt.date) -> None:
    """Raise Refused where the facts could not be read with this clearance."""
    if row.subject not in subjects():
        raise Refused("Say what the clearance is of.")
    if not row.modalities:
        raise Refused("Say what the clearance is for.")
    document = {
        "modalities": row.modalities,
        "by": row.given_by,
        "on": row.on.isoformat(),
        "until": row.until.isoformat(),
    }
    of = ClearanceFact if row.subject in CONDITIONS else OtherClearance
    if of is OtherClearance:
        document["for"] = row.subject
    found = read_part(of, document, "", day, row.patient.born)
    if isinstance(found, tuple):
        raise Refused(" ".join(problem.text for problem in found))
