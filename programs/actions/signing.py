"""Signing: the one act that turns an open draft into a program that may be handed out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User

from patients import audit
from patients.facts import Facts
from patients.models import Audit, Patient
from programs import snapshot
from programs.actions.known import (
    as_edit,
    basis_of,
    limits_in_force,
    open_plan,
    proposed_weeks,
    stale_reasons,
    standing,
)
from programs.actions.refusals import NotDone, Stale
from programs.basis import Basis
from programs.edit_check import check
from programs.edits import replay
from programs.models import Plan, PlanEdit, SignedPlan
from programs.placement import timetable
from programs.week_document import read_weeks

MEANING = (
    "I have gone through this program and what the screen found, "
    "and I answer for its being right for this person."
)
WRONG_PASSWORD = "wrong password at signing"
WRONG_AT_MOST = 5
PAUSE = dt.timedelta(minutes=15)


def sign_plan(
    *,
    plan: Plan,
    lock: int,
    by: User,
    at: dt.datetime,
    today: dt.date,
    starts_on: dt.date,
    clinic: Mapping[str, str],
    meaning: str = MEANING,
    token: UUID | None = None,
) -> SignedPlan:
    """Sign an open draft. The caller has asked for the password of `by` once more.

    Signing what this person has signed already gives that signature again. The version
    before it is replaced by it. Raises NotOpen, ChangedMeanwhile, Stale; NotDone where the
    signer has no full name, nothing may be issued, or a limit is passed.
    """
    with audit.writing():
        done = SignedPlan.objects.filter(plan=plan, signed_by=by).first()
        if done is not None:
            return done
        current = open_plan(plan, lock)
        if not by.get_full_name().strip():
            raise NotDone("Your account has no full name, and a signature needs one.")
        basis = _signable(current, today, standing(current))
        current.starts_on = starts_on
        signed = _freeze(current, basis, by, at, clinic, meaning)
        signed.save(force_insert=True)
        current.state, current.lock = Plan.SIGNED, current.lock + 1
        current.save(update_fields=["state", "lock", "starts_on"])
        audit.record(
            by=by,
            at=at,
            action="sign plan",
            on=signed,
            new={"plan": current.pk, "digest": signed.digest, "meaning": meaning},
            token=token,
        )
    return signed


def why_not(
    plan: Plan, today: dt.date, changes: Sequence[PlanEdit], facts: Facts | None = None
) -> tuple[str, ...]:
    """Return why an open draft cannot be signed as it stands; nothing where it can.

    changes   those of the plan that stand
    facts     those of today, where they have been read already
    """
    try:
        _signable(plan, today, changes, facts)
    except Stale as stale:
        return stale.reasons
    except NotDone as refusal:
        return (str(refusal),)
    return ()


def _signable(
    plan: Plan, today: dt.date, changes: Sequence[PlanEdit], facts: Facts | None = None
) -> Basis:
    """Return what the plan is held against. Raises Stale or NotDone where it cannot be signed."""
    limits = limits_in_force()
    if reasons := stale_reasons(plan, today, limits, facts):
        raise Stale(reasons)
    if not plan.proposed["issuable"]:
        raise NotDone("Nothing may be issued while the findings at the top stand.")
    basis, edits = basis_of(plan, limits), [as_edit(row) for row in changes]
    weeks = read_weeks(plan.weeks)
    if weeks != replay(proposed_weeks(plan), edits, basis):
        raise NotDone("The weeks are not what the draft and its changes make. Draft anew.")
    if hard := [b for b in check(weeks, basis) if not b.judgement]:
        raise NotDone(f"A limit is passed: {hard[0].text}")
    return basis


def _freeze(
    plan: Plan, basis: Basis, by: User, at: dt.datetime, clinic: Mapping[str, str], meaning: str
) -> SignedPlan:
    last = SignedPlan.objects.order_by("-pk").values_list("digest", flat=True).first()
    previous = last or snapshot.FIRST_DIGEST
    name = by.get_full_name().strip()
    frozen = snapshot.freeze(
        patient=_patient(plan.patient),
        version=plan.version,
        replaces=plan.version - 1 or None,
        starts_on=plan.starts_on.isoformat(),
        facts=plan.facts,
        draft=plan.proposed,
        edits=[_edit(row) for row in standing(plan)],
        left_out=plan.left_out_by_clinician,
        weeks=plan.weeks,
        timetable=timetable(read_weeks(plan.weeks), basis, plan.proposed["timetable"]),
        signer={
            "username": by.get_username(),
            "name": name,
            "at": utc_text(at),
            "meaning": meaning,
        },
        clinic=clinic,
        previous_digest=previous,
    )
    return SignedPlan(
        plan=plan,
        patient=plan.patient,
        version=plan.version,
        body=frozen.body,
        digest=frozen.digest,
        previous_digest=previous,
        signed_by=by,
        signed_name=name,
        meaning=meaning,
        signed_at=at,
        rulebook=plan.proposed["rulebook"],
        format=snapshot.FORMAT,
    )


def _patient(patient: Patient) -> dict[str, Any]:
    return {
        "id": patient.pk,
        "record_number": patient.record_number,
        "given_name": patient.given_name,
        "family_name": patient.family_name,
        "born": patient.born.isoformat(),
        "sex": patient.sex,
    }


def _edit(row: PlanEdit) -> dict[str, Any]:
    return {
        "seq": row.seq,
        "week_from": row.week_from,
        "week_to": row.week_to,
        "path": row.path,
        "old": row.old,
        "new": row.new,
        "reason": row.reason,
        "limit_passed": row.limit_passed,
        "by": audit.printed_name(row.by),
        "at": utc_text(row.at),
    }


def utc_text(at: dt.datetime) -> str:
    """Return a moment in UTC, ISO 8601 with its offset."""
    return at.astimezone(dt.UTC).isoformat()


def as_signed(row: SignedPlan) -> snapshot.Signed:
    """Return a signed program as the check of the chain reads it."""
    return snapshot.Signed(
        row=row.pk,
        body=row.body,
        digest=row.digest,
        previous_digest=row.previous_digest,
        patient_id=row.patient_id,
        version=row.version,
        signed_name=row.signed_name,
        meaning=row.meaning,
        signed_at=utc_text(row.signed_at),
    )


def chain_break() -> snapshot.Broken | None:
    """Return the first of all signed programs that does not hold, or None."""
    rows = SignedPlan.objects.order_by("pk").iterator()
    return snapshot.check_chain(as_signed(row) for row in rows)


def note_wrong_password(*, plan: Plan, by: User, at: dt.datetime) -> None:
    """Write down that a wrong password was given for a signature."""
    with audit.writing():
        audit.record(by=by, at=at, action=WRONG_PASSWORD, on=plan)


def pause_until(*, by: User, at: dt.datetime) -> dt.datetime | None:
    """Return until when this person has to wait after five wrong passwords in 15 minutes."""
    recent = Audit.objects.filter(actor=by, action=WRONG_PASSWORD, at__gt=at - PAUSE)
    times = list(recent.order_by("-at").values_list("at", flat=True)[:WRONG_AT_MOST])
    return times[-1] + PAUSE if len(times) == WRONG_AT_MOST else None
