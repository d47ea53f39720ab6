"""What is on record of her since the plan before, as it was when a plan was signed.

What was entered or struck out after the signature is left out, so that a paper that is made later
says the same.
"""

from __future__ import annotations

import datetime as dt

from django.db.models import Q
from django.utils import timezone

from patients.models.patient import FunctionTestDay
from programs.actions.as_signed import program_of
from programs.models.program import SessionLog, SignedPlan
from programs.papers.done_since import DoneSince, first_rung
from programs.signed.program import SignedProgram

#: A test counts for the beginning where it is no older than this on the first day.
TESTED_BEFORE = dt.timedelta(days=92)


def done_since(signed: SignedPlan, document: SignedProgram) -> DoneSince | None:
    """Return what she has done since the plan before; None where there was none."""
    before = _before(signed, document)
    if before is None:
        return None
    since, until = before.plan.starts_on, timezone.localdate(signed.signed_at)
    return DoneSince(
        since=since,
        sessions=_sessions(signed, since, until),
        stands=_stands(signed, since, until),
        rungs=_rungs(program_of(before), document),
    )


def _before(signed: SignedPlan, document: SignedProgram) -> SignedPlan | None:
    if document.replaces is None:
        return None
    rows = SignedPlan.objects.filter(patient=signed.patient_id, version=document.replaces)
    # One whose content was erased by law tells nothing any more.
    return rows.exclude(body="").select_related("plan").first()


def _as_signed(signed: SignedPlan) -> Q:
    known = Q(entered_at__lte=signed.signed_at)
    return known & (Q(withdrawn_at=None) | Q(withdrawn_at__gt=signed.signed_at))


def _sessions(signed: SignedPlan, since: dt.date, until: dt.date) -> int:
    rows = SessionLog.objects.filter(_as_signed(signed), patient=signed.patient_id)
    return rows.filter(whole_day=False, done__in=("all", "part"), on__range=(since, until)).count()


def _stands(signed: SignedPlan, since: dt.date, until: dt.date) -> tuple[int, int] | None:
    rows = FunctionTestDay.objects.filter(_as_signed(signed), patient=signed.patient_id)
    tested = rows.filter(date__range=(since - TESTED_BEFORE, until), chair_stands_30s__gte=0)
    held = [(row.date, row.chair_stands_30s or 0) for row in tested.order_by("date", "pk")]
    if not held or held[0][0] == held[-1][0]:
        return None
    return held[0][1], held[-1][1]


def _rungs(before: SignedProgram, document: SignedProgram) -> tuple[int, int] | None:
    first, last = first_rung(before), first_rung(document)
    return None if first is None or last is None else (first, last)
