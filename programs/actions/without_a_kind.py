"""The next draft without kinds of exercise that were stopped: a review held in one step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from programs.actions.drafting import draft_plan
from programs.actions.read_plan import resume_of
from programs.actions.reviewing import Decision, hold_review, outlook
from programs.models.program import Plan, SignedPlan
from programs.review.next_steps import Next
from safety.findings import Modality


def draft_without(
    *,
    signed: SignedPlan,
    stopped: Iterable[Modality],
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> Plan:
    """Draft the next program without kinds that were stopped, all else as it is proposed.

    It is a review, held in one step; before the first day there is nothing to review yet.
    Raises NotDone where nothing is left, or the program was replaced.
    """
    day, gone = timezone.localdate(at), frozenset(stopped)
    if signed.plan.starts_on > day:
        before = resume_of(signed.plan)
        without = replace(before, stopped=before.stopped | gone)
        return draft_plan(
            patient=signed.patient,
            as_of=day,
            starts_on=signed.plan.starts_on,
            by=by,
            at=at,
            resume=without,
            token=token,
        )
    seen = outlook(signed, day)
    proposed = {one.modality: one.next for one in seen.proposal.modalities}
    decisions = {m: Decision(next=Next.STOP if m in gone else one) for m, one in proposed.items()}
    held = hold_review(
        signed=signed, decisions=decisions, seal=seen.seal, by=by, at=at, token=token
    )
    assert held.next_plan is not None
    return held.next_plan
