"""Signing: the one act that turns an open draft into a program that may be handed out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS

from patients import audit
from patients.facts.declared import Facts
from patients.may import may_sign
from patients.staff.rights import Right
from patients.staff.rights import why_not as why_not_allowed
from patients.standing import why_nothing_new
from programs.actions.anchors import anchor_once_committed
from programs.actions.as_signed import SIGN_PLAN, as_signed
from programs.actions.emergency_numbers import missing_numbers
from programs.actions.program_state import begin
from programs.actions.read_plan import (
    as_edit,
    basis_of,
    limits_in_force,
    open_plan,
    proposed_weeks,
    stale_reasons,
    standing,
)
from programs.actions.refusals import NotDone, Stale
from programs.actions.sealing import make_seal, told_of
from programs.actions.who import who_is_signed
from programs.edit.base_draft import Basis
from programs.edit.changes import replay
from programs.edit.judge import check
from programs.edit.place_on_days import timetable
from programs.models.program import Plan, PlanEdit, SignedPlan
from programs.signed import snapshot
from programs.week.document import read_weeks

MEANING = (
    "I have gone through this program and what the screen found, "
    "and I take responsibility for its suitability for this person."
)
SET_OR_REASON = "Set it on the clinic's page, or write down why it is signed without."
#: What the record's line of a signature calls the numbers that papers lacked then.
LACKED = "missing_numbers"
#: Signed texts held in memory while the chain is walked; one may have 200 kB.
_AT_ONCE = 20


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
    without_number: str = "",
    token: UUID | None = None,
) -> SignedPlan:
    """Sign an open draft. The caller has asked for the password of `by` once more.

    Signing what this person has signed already gives that signature again. The version
    before it is replaced by it.

    without_number   why it is signed though papers lack a number to call; the record keeps it
    Raises NotOpen, ChangedMeanwhile, Stale; NotDone where the signer may not sign or has no full
    name, nothing may be issued, a limit is passed, or a number is missing and no reason is given.
    """
    with audit.writing():
        done = SignedPlan.objects.filter(plan=plan, signed_by=by).first()
        if done is not None:
            return done
        if not may_sign(by):
            raise NotDone(why_not_allowed(Right.SIGN))
        if why := why_nothing_new(plan.patient):
            raise NotDone(why)
        current = open_plan(plan, lock)
        if not by.get_full_name().strip():
            raise NotDone("Your account has no full name, and a signature needs one.")
        missing, reason = missing_numbers(), without_number.strip()
        if missing and not reason:
            raise NotDone(f"Missing: {'; '.join(missing)}. {SET_OR_REASON}")
        basis = _signable(current, today, standing(current))
        current.starts_on = starts_on
        signed = _freeze(current, basis, by, at, clinic, meaning)
        signed.save(force_insert=True)
        current.state, current.lock = Plan.SIGNED, current.lock + 1
        current.save(update_fields=["state", "lock", "starts_on"])
        new = {"plan": current.pk, "digest": signed.digest, "meaning": meaning}
        new |= told_of(make_seal(signed, at))
        if missing:
            new[LACKED] = list(missing)
        why = reason if missing else ""
        audit.record(by=by, at=at, action=SIGN_PLAN, on=signed, new=new, reason=why, token=token)
        begin(signed, by, at)
        anchor_once_committed(at)
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
        raise NotDone("Nothing may be issued while the findings at the top remain.")
    basis, edits = basis_of(plan, limits), [as_edit(row) for row in changes]
    weeks = read_weeks(plan.weeks)
    if weeks != replay(proposed_weeks(plan), edits, basis):
        raise NotDone("The weeks are not what the draft and its changes make. Redraft.")
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
        patient=who_is_signed(plan.patient),
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
            "at": audit.utc_text(at),
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
        "at": audit.utc_text(row.at),
    }


def chain_break(using: str = DEFAULT_DB_ALIAS) -> snapshot.Broken | None:
    """Return the first of a database's signed programs that does not hold, or None."""
    rows = SignedPlan.objects.using(using).select_related("erasure").order_by("pk")
    return snapshot.check_chain(map(as_signed, rows.iterator(chunk_size=_AT_ONCE)))
