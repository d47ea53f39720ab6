"""Holding a review: what the log leads to, what is decided, and the next draft."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.facts.declared import Facts
from patients.facts.in_words import day_text
from patients.may import may_review
from patients.rows_to_facts import Entered, entered, facts_from
from patients.staff.rights import Right, why_not
from programs.actions.as_signed import program_of
from programs.actions.drafting import draft_plan, drop_open_draft
from programs.actions.program_state import end, stop_by_review
from programs.actions.read_plan import asked_in, beside_facts, facts_in, limits_in_force, resume_of
from programs.actions.refusals import NotDone
from programs.actions.sessions import log_as_read, whole_log
from programs.actions.what_follows import After, check_after, left_with
from programs.draft.resume import FRAGILE_CAP, Resume
from programs.models.program import Plan, Review, SignedPlan
from programs.review import proposing
from programs.review.adherence import Planned, Session
from programs.review.half_year import Onward
from programs.review.ledger import InForce
from programs.review.next_steps import Next, bolder
from programs.review.precautions_to_lift import FALLER_IMPACT, Liftable, liftable
from programs.review.proposal import Proposal, Reading, written
from programs.signed import snapshot
from safety import facts_with_clearances
from safety.findings import Modality


class LogChanged(NotDone):
    """The log or the facts lead to another proposal than the one that was decided upon."""

    def __init__(self) -> None:
        super().__init__(
            "The log or the facts changed after you had opened this, or a review was held. "
            "Look at the proposal again."
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
    log        entries of this program that stand, oldest first
    review     the computation, from which the next draft is made
    liftable   precautions that hold today and that a review may lift
    held       reviews of this person kept so far
    """

    signed: SignedPlan
    planned: Planned
    before: Resume
    facts: Facts
    log: tuple[Session, ...]
    review: proposing.Review
    proposal: Proposal
    liftable: tuple[Liftable, ...]
    held: int

    @property
    def seal(self) -> str:
        """Return what a decision names: this very proposal, and no review held meanwhile."""
        proposed = {"proposal": written(self.proposal), "held": self.held}
        return snapshot.digest_of(snapshot.canonical(proposed))

    @property
    def offered(self) -> tuple[Liftable, ...]:
        """Return what may be lifted now; nothing after any trouble.

        The cap on the plate has its own rule (row 14).
        """
        return tuple(one for one in self._not_lifted if not self._against(one))

    @property
    def against_lifting(self) -> tuple[str, ...]:
        """Return why none of what still holds may be lifted now, each reason once."""
        reasons = [words for one in self._not_lifted for words in self._against(one)]
        return tuple(dict.fromkeys(reasons))

    @property
    def not_offered(self) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
        """Return what still holds and may not be lifted now, with why, those alike together."""
        found: dict[tuple[str, ...], list[str]] = {}
        for one in self._not_lifted:
            if why := self._against(one):
                found.setdefault(why, []).append(one.text)
        return tuple((tuple(dict.fromkeys(texts)), why) for why, texts in found.items())

    @property
    def _not_lifted(self) -> tuple[Liftable, ...]:
        return tuple(one for one in self.liftable if one.code not in self.before.lifted)

    def _against(self, what: Liftable) -> tuple[str, ...]:
        proposal = self.proposal
        against = {
            FRAGILE_CAP: proposal.against_cap,
            FALLER_IMPACT: (*proposal.against_lifting, *proposal.against_walking),
        }
        return against.get(what.code, proposal.against_lifting)


def outlook(
    signed: SignedPlan,
    day: dt.date,
    known: Entered | None = None,
    held_on: Sequence[dt.date] | None = None,
) -> Outlook:
    """Return what a person's log and the facts of a day lead to.

    known     what is on record on that day, where it is read already
    held_on   the days of her reviews, the newest first, where they are read already
    Raises patients.rows_to_facts.Contradiction where what is known cannot stand together,
    Stale where the facts that it was drafted from cannot be read any more, and NotAsSigned.
    """
    if known is None or known.also is None:
        known = entered(signed.patient, day, also=beside_facts(signed.patient))
    cleared = (known.also or {})["clearance"]
    held_on = _held_on(signed.patient_id) if held_on is None else held_on
    program, limits = program_of(signed), limits_in_force()
    planned, rows, episode = Planned.of(program), whole_log(signed.patient), episode_begun(signed)
    before = _with_weeks(resume_of(signed.plan), signed.plan, episode)
    held = InForce.of(
        planned,
        facts_in(signed.plan),
        before,
        signed_on=timezone.localdate(signed.signed_at),
        starts_on=planned.starts_on,
        limits=limits,
    )
    reading = Reading(
        day=day,
        facts=facts_with_clearances.with_clearances(facts_from(known), cleared),
        asked=asked_in(known.assessment),
        # What was entered on the day of a review may have come after it.
        last_review=held_on[0] - dt.timedelta(days=1) if held_on else None,
        episode=episode,
        limits=limits,
    )
    review = proposing.Review(held, log_as_read(rows), reading)
    return Outlook(
        signed=signed,
        planned=planned,
        before=before,
        facts=review.facts,
        log=tuple(log_as_read(row for row in rows if row.signed_id == signed.pk)),
        review=review,
        proposal=review.proposal({m: program.standings[m].rank for m in Modality}),
        liftable=liftable(review.drafts.screen(), review.cap.g),
        held=len(held_on),
    )


def _held_on(patient: int) -> list[dt.date]:
    """Return the days on which reviews were held, the newest first."""
    rows = Review.objects.filter(patient=patient).order_by("-held_on")
    return list(rows.values_list("held_on", flat=True))


def episode_begun(signed: SignedPlan) -> dt.date:
    """Return the first day of the first program in force without a break of 26 weeks (row 26g)."""
    programs = SignedPlan.objects.filter(patient=signed.patient_id, version__lte=signed.version)
    starts = list(programs.order_by("-version").values_list("plan__starts_on", flat=True))
    first = starts[0]
    for earlier in starts[1:]:
        if (first - earlier).days > proposing.EPISODE_DAYS:
            break
        first = min(first, earlier)
    return first


def _with_weeks(resume: Resume, plan: Plan, episode: dt.date) -> Resume:
    """Return where a program took up; a row from before half years were counted has none of them.

    Where it went on from what was done, the weeks of its episode lay behind her.
    """
    if "half_weeks" in plan.resume or not any(resume.done_weeks.values()):
        return resume
    return replace(resume, half_weeks=(plan.starts_on - episode).days // 7)


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
    onward: Onward = Onward.NEXT_DRAFT,
    onward_reason: str = "",
    token: UUID | None = None,
) -> Review:
    """Keep a review with its decision, and draft the next program from where that leads.

    seal     of the outlook that was decided upon
    lifted   code of a precaution to the reason for lifting it
    stay     the signed program goes on as it is: only where everything advances or stops
    onward   what follows; a discharge needs its reason, drops an open draft and makes none
    Raises LogChanged; NotDone where `by` may not, a decision or a reason is missing, where
    something is lifted that may not be, or where the program was replaced or has not started.
    """
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, Review)
        if not may_review(by):
            raise NotDone(why_not(Right.REVIEW))
        seen = outlook(signed, timezone.localdate(at))
        after = After(onward=onward, reason=onward_reason.strip(), stay=stay)
        _check(seen, decisions, lifted or {}, after, seal)
        held = _kept(seen, decisions, lifted or {}, after, by, at, note)
        audit.record(
            by=by, at=at, action="hold review", on=held, new=audit.state_of(held), token=token
        )
        if onward is Onward.DISCHARGE:
            end(signed, why="Discharged at the review.", by=by, at=at, review=held)
            drop_open_draft(signed.patient, by, at, "Discharged at a review.")
            return held
        _stop(seen, decisions, held)
        if not stay:
            held.next_plan = _drafted(seen, decisions, lifted or {}, held, onward, by, at)
            held.save(update_fields=["next_plan"])
    return held


def ends_the_program(review: Review) -> bool:
    """Tell whether a review ended the signed program: a discharge does, and nothing follows."""
    return bool(review.decision.get("onward") == Onward.DISCHARGE)


def _stop(seen: Outlook, decisions: Mapping[Modality, Decision], held: Review) -> None:
    """Keep what the review stopped of the signed program: all of it, or kinds that it has."""
    chosen = {m: one for m, one in decisions.items() if one.next is Next.STOP}
    had = [(m, one.reason.strip()) for m, one in chosen.items() if m in seen.planned.modalities]
    whole = {m for m, _ in had} >= set(seen.planned.modalities)
    if had:
        stop_by_review(seen.signed, held, had, whole=whole)


def _check(
    seen: Outlook,
    decisions: Mapping[Modality, Decision],
    lifted: Mapping[str, str],
    after: After,
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
    chosen, stay = {one.next for one in decisions.values()}, after.stay
    check_after(seen.review, after, lifted)
    if stay and chosen != {Next.STOP} and (chosen != {Next.ADVANCE} or proposal.against_staying):
        why = " ".join(proposal.against_staying)
        raise NotDone(
            f"The signed program can stay only where all of it goes on, or all stops. {why}"
        )
    drafts = not stay and after.onward is not Onward.DISCHARGE
    if drafts and chosen == {Next.STOP}:
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
    after: After,
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
        decision=_decision(seen, decisions, lifted, after),
        note=note.strip(),
    )


def _decision(
    seen: Outlook,
    decisions: Mapping[Modality, Decision],
    lifted: Mapping[str, str],
    after: After,
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
        "stays_lifted": sorted(seen.review.stays_lifted),
        "signed_program_stays": after.stay,
        "onward": "" if after.stay else str(after.onward),
        "onward_reason": after.reason,
        **left_with(seen.review, {m: one.next for m, one in decisions.items()}, after),
    }


# --- The next draft -----------------------------------------------------------------------


def _drafted(
    seen: Outlook,
    decisions: Mapping[Modality, Decision],
    lifted: Mapping[str, str],
    held: Review,
    onward: Onward,
    by: User,
    at: dt.datetime,
) -> Plan:
    day = seen.proposal.day
    return draft_plan(
        patient=seen.signed.patient,
        as_of=day,
        starts_on=seen.review.next_start,
        by=by,
        at=at,
        resume=next_resume(seen, {m: one.next for m, one in decisions.items()}, lifted, onward),
        review=held,
    )


def next_resume(
    seen: Outlook,
    decided: Mapping[Modality, Next],
    lifted: Mapping[str, str],
    onward: Onward = Onward.NEXT_DRAFT,
) -> Resume:
    """Return where the next program takes up: as decided, and never above what was done."""
    review = seen.review.asking_for_a_step() if FRAGILE_CAP in lifted else seen.review
    restart = review.restart(decided, set(lifted) - {FRAGILE_CAP}, onward)
    return restart.resume(raising=review.may_raise)
