"""Holding a review: what the log leads to, what is decided, and the next draft."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.facts import Facts
from patients.overview import day_text
from programs import snapshot
from programs.actions.drafting import draft_plan
from programs.actions.editing import edit_plan
from programs.actions.known import facts_for, limits_in_force, resume_of
from programs.actions.refusals import NotDone
from programs.actions.sessions import session_of, standing
from programs.adherence import Planned, Session
from programs.basis import Basis
from programs.course import Resume
from programs.edits import Edit
from programs.lifted import Liftable, liftable
from programs.models import Plan, Review, SignedPlan
from programs.review import Next, Proposal, bolder, events_of, review, written
from programs.taking_up import resume_of as taken_up
from programs.taking_up import within_signed
from programs.week import Week
from safety.findings import Modality
from safety.screen import screen


class LogChanged(NotDone):
    """The log or the facts lead to another proposal than the one that was decided upon."""

    def __init__(self) -> None:
        super().__init__(
            "The log or the facts changed after you had opened this. Look at the proposal again."
        )


@dataclass(frozen=True, kw_only=True)
class Decision:
    """What the clinician decided of one modality; a reason where it is more than proposed."""

    next: Next
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """A signed program on the day of its review.

    before     where it took up itself, and what was lifted for it
    log        entries that stand, oldest first
    liftable   precautions that hold today and that a review may lift
    """

    signed: SignedPlan
    planned: Planned
    before: Resume
    facts: Facts
    log: tuple[Session, ...]
    proposal: Proposal
    liftable: tuple[Liftable, ...]

    @property
    def seal(self) -> str:
        """Return what a decision names, so that it is upon this very proposal."""
        return snapshot.digest_of(snapshot.canonical(written(self.proposal)))

    @property
    def offered(self) -> tuple[Liftable, ...]:
        """Return what may be lifted now; nothing after any trouble."""
        if self.proposal.against_lifting:
            return ()
        return tuple(one for one in self.liftable if one.code not in self.before.lifted)

    @property
    def stays_lifted(self) -> frozenset[str]:
        """Return what an earlier review lifted and no fall or warning sign takes back."""
        return frozenset() if self.proposal.events else self.before.lifted


def outlook(signed: SignedPlan, day: dt.date, facts: Facts | None = None) -> Outlook:
    """Return what a signed program's log and the facts of a day lead to.

    facts   of that day, where they are read already
    Raises patients.assembly.Contradiction where what is known cannot stand together.
    """
    document = snapshot.read(signed.body)
    known = facts if facts is not None else facts_for(signed.patient, day)
    planned, log = Planned.of(document), [session_of(row) for row in standing(signed)]
    ranks = document["draft"]["modalities"]
    proposal = review(
        planned,
        day,
        log,
        events=events_of(known, timezone.localdate(signed.signed_at)),
        rank={m: int(ranks[m]["rank"]) for m in Modality},
    )
    return Outlook(
        signed=signed,
        planned=planned,
        before=resume_of(signed.plan),
        facts=known,
        log=tuple(log),
        proposal=proposal,
        liftable=liftable(screen(known)),
    )


def hold_review(
    *,
    signed: SignedPlan,
    decisions: Mapping[Modality, Decision],
    seal: str,
    by: User,
    at: dt.datetime,
    lifted: Mapping[str, str] | None = None,
    stay: bool = False,
    note: str = "",
    token: UUID | None = None,
) -> Review:
    """Keep a review with its decision, and draft the next program from where that leads.

    seal     of the outlook that was decided upon
    lifted   code of a precaution to the reason for lifting it
    stay     the signed program goes on as it is: only where everything advances or stops
    Raises LogChanged; NotDone where a decision or a reason is missing, where something is
    lifted that may not be, or where the program was replaced or has not started.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return Review.objects.get(pk=before.object_id)
        seen = outlook(signed, timezone.localdate(at))
        _check(seen, decisions, lifted or {}, stay, seal)
        held = _kept(seen, decisions, lifted or {}, stay, by, at, note)
        audit.record(
            by=by, at=at, action="hold review", on=held, new=audit.state_of(held), token=token
        )
        if not stay:
            held.next_plan = _drafted(seen, decisions, lifted or {}, held, by, at)
            held.save(update_fields=["next_plan"])
    return held


def _check(
    seen: Outlook,
    decisions: Mapping[Modality, Decision],
    lifted: Mapping[str, str],
    stay: bool,
    seal: str,
) -> None:
    signed, proposal = seen.signed, seen.proposal
    if SignedPlan.objects.filter(patient=signed.patient_id, version__gt=signed.version).exists():
        raise NotDone(f"Program {signed.version} has been replaced. Review the one after it.")
    if proposal.week < 1:
        raise NotDone(f"The program starts on {day_text(seen.planned.starts_on)}.")
    if seal != seen.seal:
        raise LogChanged
    _check_decisions(proposal, decisions)
    chosen = {one.next for one in decisions.values()}
    if stay and chosen not in ({Next.ADVANCE}, {Next.STOP}):
        raise NotDone("The signed program can stay only where all of it goes on, or all stops.")
    if not stay and chosen == {Next.STOP}:
        raise NotDone("Everything stops, so there is nothing to draft.")
    _check_lifted(seen, lifted, stay)


def _check_decisions(proposal: Proposal, decisions: Mapping[Modality, Decision]) -> None:
    if decisions.keys() != {one.modality for one in proposal.modalities}:
        raise NotDone("Decide on every modality of the program.")
    for one in proposal.modalities:
        decided = decisions[one.modality]
        if bolder(decided.next, one.next) and not decided.reason.strip():
            raise NotDone(f"Say why {one.modality} does more than was proposed.")


def _check_lifted(seen: Outlook, lifted: Mapping[str, str], stay: bool) -> None:
    if lifted and stay:
        raise NotDone("What is lifted needs a new draft.")
    if lifted.keys() - {one.code for one in seen.offered}:
        raise NotDone("This cannot be lifted now.")
    if not all(reason.strip() for reason in lifted.values()):
        raise NotDone("Say why it is lifted.")


def _kept(
    seen: Outlook,
    decisions: Mapping[Modality, Decision],
    lifted: Mapping[str, str],
    stay: bool,
    by: User,
    at: dt.datetime,
    note: str,
) -> Review:
    return Review.objects.create(
        patient=seen.signed.patient,
        signed=seen.signed,
        held_on=seen.proposal.day,
        by=by,
        at=at,
        week=seen.proposal.week,
        proposal=written(seen.proposal),
        decision=_decision(seen, decisions, lifted, stay),
        note=note.strip(),
    )


def _decision(
    seen: Outlook,
    decisions: Mapping[Modality, Decision],
    lifted: Mapping[str, str],
    stay: bool,
) -> dict[str, Any]:
    proposed = {one.modality: one.next for one in seen.proposal.modalities}
    return {
        "modalities": {
            str(m): {
                "proposed": str(proposed[m]),
                "chosen": str(one.next),
                "reason": one.reason.strip(),
            }
            for m, one in decisions.items()
        },
        "lifted": {code: reason.strip() for code, reason in lifted.items()},
        "stays_lifted": sorted(seen.stays_lifted),
        "signed_program_stays": stay,
    }


# --- The next draft -----------------------------------------------------------------------


def _drafted(
    seen: Outlook,
    decisions: Mapping[Modality, Decision],
    lifted: Mapping[str, str],
    held: Review,
    by: User,
    at: dt.datetime,
) -> Plan:
    day = seen.proposal.day
    plan = draft_plan(
        patient=seen.signed.patient,
        as_of=day,
        starts_on=_next_start(seen),
        by=by,
        at=at,
        resume=next_resume(seen, {m: one.next for m, one in decisions.items()}, lifted),
        review=held,
    )
    stopped = [m for m, one in decisions.items() if one.next is Next.STOP]
    return _without(plan, stopped, held, by, at)


def next_resume(
    seen: Outlook, decided: Mapping[Modality, Next], lifted: Mapping[str, str]
) -> Resume:
    """Return where the next program takes up: as decided, and never above what was signed."""
    wanted = taken_up(
        decided,
        seen.planned,
        seen.proposal.full_weeks,
        seen.before,
        {*seen.stays_lifted, *lifted},
    )
    limits = limits_in_force()

    def drafted(resume: Resume) -> tuple[Week, ...]:
        return Basis.of(seen.facts, resume, limits).made.weeks

    return within_signed(drafted, wanted, seen.planned, seen.before)


def _next_start(seen: Outlook) -> dt.date:
    """Return the next day on which a week of the signed program would begin, today included."""
    days = (seen.planned.starts_on - seen.proposal.day).days % 7
    return seen.proposal.day + dt.timedelta(days=days)


def _without(plan: Plan, stopped: list[Modality], held: Review, by: User, at: dt.datetime) -> Plan:
    """Leave what was stopped out of the new draft."""
    inside = [m for m in stopped if any(week[m] for week in plan.weeks)]
    if not inside:
        return plan
    last = len(plan.weeks)
    edits = [Edit(path=str(m), new=False, week_from=1, week_to=last) for m in inside]
    reason = f"Stopped at the review of {day_text(held.held_on)}."
    return edit_plan(plan=plan, edits=edits, lock=plan.lock, by=by, at=at, reason=reason)
