"""Holding what was signed under an older rulebook against today's, once; what then is not printed.

Only what is in force is looked at (programs.actions.program_state).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.models import User
from django.db.models import F, OuterRef, QuerySet, Subquery
from django.utils import timezone

from patients import audit
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.standing import in_lists
from programs.actions.as_signed import NotAsSigned, program_of
from programs.actions.program_state import began_after, in_force, taken_out
from programs.actions.read_plan import facts_for, limits_in_force, resume_of
from programs.draft.draft import draft
from programs.models.program import SignedPlan
from programs.models.rulebook_check import RulebookCheck
from programs.review.against_rulebook import (
    Difference,
    differences,
    read,
    still_lifted,
    unreadable,
    week_on,
    written,
)
from safety.rules.all_rules import RULEBOOK

#: What the record calls it.
HOLD = "hold against rulebook"
#: Why no paper is made of a program that tells more than today's rulebook allows.
NOT_PRINTED = (
    "This program was signed under rulebook {older} and asks more than rulebook {newer} allows "
    "today. Nothing of it is printed again until a review: {first}"
)


@dataclass(frozen=True, kw_only=True)
class ToLookAt:
    """A program in force that tells more than today's rulebook allows."""

    signed: SignedPlan
    differs: tuple[Difference, ...]


def hold_against_rulebook(
    *, signed: SignedPlan, at: dt.datetime, by: User | None = None
) -> RulebookCheck:
    """Hold a signed program against today's rulebook, and keep what differs; once.

    by   nobody where a command or the first opening of a page does it
    """
    if (before := _held(signed)) is not None:
        return before
    # Outside the transaction: it drafts, and nobody else could write meanwhile.
    found = _differences(signed, timezone.localdate(at))
    with audit.writing():
        return _held(signed) or _keep(signed, found, at, by)


def papers_in_hand(patients: Iterable[Patient], day: dt.date) -> dict[int, SignedPlan]:
    """Return the program in force on a day of each of these patients, by her id."""
    rows = SignedPlan.objects.filter(in_force(day), patient__in=patients)
    return {row.patient_id: row for row in rows.select_related("plan__review", "patient")}


def _held(signed: SignedPlan) -> RulebookCheck | None:
    return RulebookCheck.objects.filter(signed=signed, rulebook=RULEBOOK).first()


def _keep(
    signed: SignedPlan, found: Iterable[Difference], at: dt.datetime, by: User | None
) -> RulebookCheck:
    row = RulebookCheck.objects.create(
        signed=signed, rulebook=RULEBOOK, differs=written(found), at=at, by=by
    )
    audit.record(by=by, at=at, action=HOLD, on=row, new=audit.state_of(row))
    return row


def _differences(signed: SignedPlan, day: dt.date) -> tuple[Difference, ...]:
    """Return what differs on a day; what cannot be held against anything is told as that."""
    try:
        program = program_of(signed)
        facts = facts_for(signed.patient, day)
    except NotAsSigned as problem:
        return (unreadable(problem.why),)
    except Contradiction as contradiction:
        return (unreadable(f"The facts entered now do not fit together: {contradiction}."),)
    resume = resume_of(signed.plan)
    made = draft(facts, still_lifted(resume), limits_in_force())
    return differences(program, made, week_on(program.starts_on, day), resume)


# --- Which are in force ---------------------------------------------------------------------


def hold_all(*, at: dt.datetime, by: User | None = None, most: int) -> list[RulebookCheck]:
    """Hold so many of the programs in force that were not held yet; each is kept by itself."""
    unheld = [one for one in _older(timezone.localdate(at)) if one.held_differs is None]
    return [hold_against_rulebook(signed=_whole(one), at=at, by=by) for one in unheld[:most]]


def to_look_at(day: dt.date) -> list[ToLookAt]:
    """Return the programs in force on a day that differ, the oldest signature first."""
    return [ToLookAt(signed=row.signed, differs=read(row.differs)) for row in that_differ(day)]


def that_differ(day: dt.date) -> QuerySet[RulebookCheck]:
    """Return what differed of each program in force on a day, the oldest signature first."""
    running = SignedPlan.objects.filter(in_force(day), in_lists())
    rows = RulebookCheck.objects.filter(rulebook=RULEBOOK, signed__in=running).exclude(differs=[])
    told = rows.select_related("signed__patient").defer("signed__body")
    return told.order_by("signed__signed_at", "signed")


def plan_columns() -> dict[str, Any]:
    """Return what a query of plans takes along so that to_look_at_in need not ask again."""
    return {
        "signed_rulebook": F("signed__rulebook"),
        "taken_out": taken_out(signed__plan=OuterRef("pk")),
        "held_differs": _held_differs(signed__plan=OuterRef("pk")),
    }


def to_look_at_in(plan: Any, at: dt.datetime) -> ToLookAt | None:
    """Return the program of a signed plan where it is in force and differs; held now if never.

    plan   the newest signed one of its patient, read with plan_columns
    """
    running = plan.starts_on > began_after(timezone.localdate(at)) and not plan.taken_out
    if plan.signed_rulebook == RULEBOOK or not running or plan.held_differs == []:
        return None
    signed = SignedPlan.objects.select_related("plan", "patient").get(plan=plan)
    found = read(hold_against_rulebook(signed=signed, at=at).differs)
    return ToLookAt(signed=signed, differs=found) if found else None


def why_not_printed(signed: SignedPlan, at: dt.datetime) -> str:
    """Return why no paper of a signed program is made anew; nothing where one may be.

    Its state is asked elsewhere (programs.actions.may_hand_out).
    """
    if signed.rulebook == RULEBOOK:
        return ""
    found = read(hold_against_rulebook(signed=signed, at=at).differs)
    if not found:
        return ""
    return NOT_PRINTED.format(older=signed.rulebook, newer=RULEBOOK, first=found[0].words)


def _whole(signed: SignedPlan) -> SignedPlan:
    return SignedPlan.objects.select_related("plan", "patient").get(pk=signed.pk)


def _older(day: dt.date) -> list[Any]:
    """Return the programs in force of older rulebooks; held_differs is None where never held."""
    return list(
        SignedPlan.objects.filter(in_force(day), in_lists())
        .exclude(rulebook=RULEBOOK)
        .annotate(held_differs=_held_differs(signed=OuterRef("pk")))
        .select_related("patient")
        .defer("body")
        .order_by("signed_at", "pk")
    )


def _held_differs(**of: object) -> Subquery:
    """Return what differed when the program `of` which is asked was held against today's."""
    return Subquery(RulebookCheck.objects.filter(**of, rulebook=RULEBOOK).values("differs")[:1])
