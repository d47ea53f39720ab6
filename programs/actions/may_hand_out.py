"""Whether a signed program may be handed out today, and if not why: the one place that says it.

Every paper, kept or new, the calendar and each page of a patient ask here (rulebook row 26f).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet, Subquery
from django.utils import timezone

from patients.facts.declared import Facts
from patients.facts.in_words import day_text
from patients.models.finding import Findable
from patients.models.patient import FractureRow, Patient
from patients.rows_at_once import rows_at_once
from patients.rows_to_facts import Contradiction
from patients.standing import why_nothing_new_in
from programs.actions.as_signed import refuse_what_is_not_as_signed
from programs.actions.program_state import State, state_of
from programs.actions.read_plan import facts_for, resume_of
from programs.actions.rulebook_check import why_not_printed
from programs.actions.sessions import TELLS
from programs.models.program import Review, SessionLog, SignedPlan
from programs.models.program_state import ProgramState
from programs.papers.numbers import line_start
from programs.review.against_rulebook import still_lifted, week_on
from safety.findings import Finding, Level, Modality
from safety.screen import Screen, screen


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where a signed program stands on a day.

    why     why nothing may be handed out; nothing where it may be
    today   those of them that are about her today, not about the program's state
    """

    state: State
    why: tuple[str, ...]
    today: tuple[str, ...]


def standing_of(signed: SignedPlan, at: dt.datetime, facts: Facts | None = None) -> Standing:
    """Return whether a signed program may be handed out, and if not why.

    facts   those of today, where they have been read already
    Raises NotAsSigned where it does not verify: nothing is said of it then.
    """
    refuse_what_is_not_as_signed(signed)
    day, beside = timezone.localdate(at), rows_at_once(_beside(signed))
    state = state_of(signed, day, beside["state"])
    if not state.in_force:
        return Standing(state=state, why=(state.words,), today=())
    since = _since_looked_at(signed, beside)
    today = tuple(dict.fromkeys([*since, *_of_today(signed, day, state, facts)]))
    older = why_not_printed(signed, at)
    stopped = f"{state.words} Nothing of it is handed out until a new version is signed."
    nothing_new = why_nothing_new_in(next(iter(beside["record"]), None))
    told = (nothing_new, stopped if state.stopped else "", *today, older)
    return Standing(state=state, why=tuple(words for words in told if words), today=today)


def blocked_today(patient: Patient, day: dt.date) -> bool:
    """Tell whether something blocks everything today, whatever the state of any program."""
    try:
        return bool(screen(facts_for(patient, day)).blocked)
    except Contradiction:
        return True


def _of_today(signed: SignedPlan, day: dt.date, state: State, facts: Facts | None) -> Iterator[str]:
    """Yield what is known of her today that stops the paper."""
    try:
        known = facts_for(signed.patient, day) if facts is None else facts
    except Contradiction as contradiction:
        yield f"The facts entered now do not fit together: {contradiction}."
        return
    seen = screen(known, lifted=still_lifted(resume_of(signed.plan)).lifted)
    yield from (f.text for f in seen.blocked)
    for modality in kinds_to_come(signed, day):
        if modality in state.modalities:
            continue
        yield from (f"{line_start(modality)}: {f.text}" for f in _barred(seen, modality))


def _beside(signed: SignedPlan) -> dict[str, QuerySet[Any]]:
    """Return what is read of a program beside its own row, all of it asked at once."""
    of = {"patient": signed.patient_id}
    newest = Review.objects.filter(**of).order_by("-at").values("pk")[:1]
    new = {"withdrawn_at": None, "entered_at__gt": signed.signed_at}
    return {
        "state": ProgramState.objects.filter(signed=signed),
        "review": Review.objects.filter(pk=Subquery(newest)),
        "log": SessionLog.objects.filter(TELLS, **of, **new),
        "fracture": FractureRow.objects.filter(**of, **new),
        "record": Findable.objects.filter(**of),
    }


def _since_looked_at(signed: SignedPlan, beside: Mapping[str, list[Any]]) -> Iterator[str]:
    """Yield each fall, warning sign and fracture that was entered since anyone decided on it."""
    since = max([signed.signed_at, *(row.at for row in beside["review"])])
    for row in sorted(beside["log"], key=lambda row: (row.on, row.pk)):
        if row.entered_at > since:
            what = row.red_flag or row.broke or "a fall"
            yield f"The log of {day_text(row.on)} tells of {what}, and no review was held since."
    if any(row.entered_at > since for row in beside["fracture"]):
        yield "A fracture was entered, and no review was held since."


def kinds_to_come(signed: SignedPlan, day: dt.date) -> tuple[Modality, ...]:
    """Return the kinds that the program's weeks still have, this one included."""
    now, weeks = week_on(signed.plan.starts_on, day), signed.plan.weeks
    left = [week for week in weeks if week["week"] >= now] or weeks[-1:]
    return tuple(m for m in Modality if any(week.get(m) for week in left))


def _barred(seen: Screen, modality: Modality) -> list[Finding]:
    """Return what bars a kind today: an X, or a clearance that it needs and has not."""
    found = (f for f in seen.about(modality) if not f.cleared and not f.blocks)
    return [
        f
        for f in found
        if f.level is Level.CONTRAINDICATED or (f.level is Level.NEEDS_CLEARANCE and f.holds)
    ]
