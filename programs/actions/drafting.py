"""Drafting a program from what is known today."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import Max

from patients import audit
from patients.facts.document import write
from patients.models.patient import Patient
from programs.actions.as_signed import DRAFT_PLAN
from programs.actions.program_state import kinds_stopped
from programs.actions.read_plan import (
    drafted,
    facts_for,
    limits_in_force,
    plain,
    resume_document,
    resume_of,
)
from programs.draft.resume import FROM_THE_START, Resume
from programs.edit.base_draft import Basis
from programs.models.program import Plan, Review, SignedPlan


def draft_plan(
    *,
    patient: Patient,
    as_of: dt.date,
    starts_on: dt.date,
    by: User,
    at: dt.datetime,
    resume: Resume | None = None,
    review: Review | None = None,
    token: UUID | None = None,
) -> Plan:
    """Draft a program and keep it as the patient's one open draft.

    An older open draft is dropped. Without `resume` the draft takes up where the dropped one
    did, from its review; without an older one it starts from the start, and a kind that was
    stopped in the program before stays out. Raises patients.rows_to_facts.Contradiction where
    what is known cannot stand together.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Plan)
        older = Plan.objects.filter(patient=patient, state=Plan.DRAFT).first()
        if older is not None:
            _drop(older, by, at, "A new draft takes its place.")
            if resume is None:
                resume, review = resume_of(older), review or older.review
        if resume is None:
            resume = replace(FROM_THE_START, stopped=kinds_stopped(patient))
        facts = facts_for(patient, as_of)
        basis = Basis.of(facts, resume, limits_in_force())
        document = drafted(basis)
        plan = Plan.objects.create(
            patient=patient,
            version=last_signed(patient) + 1,
            as_of=as_of,
            starts_on=starts_on,
            facts=plain(write(facts)),
            resume=resume_document(basis.resume),
            proposed=document,
            weeks=document["weeks"],
            made_by=by,
            made_at=at,
            review=review,
        )
        audit.record(by=by, at=at, action=DRAFT_PLAN, on=plan, new=_told(plan), token=token)
    return plan


def last_signed(patient: Patient) -> int:
    """Return the version signed last, 0 where none was."""
    newest = SignedPlan.objects.filter(patient=patient).aggregate(Max("version"))
    return newest["version__max"] or 0


def _told(plan: Plan) -> dict[str, object]:
    return {
        "as_of": plan.as_of,
        "starts_on": plan.starts_on,
        "rulebook": plan.proposed["rulebook"],
        "resume": plan.resume,
        "issuable": plan.proposed["issuable"],
    }


def drop_open_draft(patient: Patient, by: User, at: dt.datetime, reason: str) -> None:
    """Drop the open draft, where there is one. Within a transaction that writes."""
    for plan in Plan.objects.filter(patient=patient, state=Plan.DRAFT):
        _drop(plan, by, at, reason)


def _drop(older: Plan, by: User, at: dt.datetime, reason: str) -> None:
    older.state, older.lock = Plan.DROPPED, older.lock + 1
    older.save(update_fields=["state", "lock"])
    audit.record(
        by=by,
        at=at,
        action="drop draft",
        on=older,
        old={"state": Plan.DRAFT},
        new={"state": Plan.DROPPED},
        reason=reason,
    )
