"""A signed program's state: begun, stopped whole or in one kind, replaced, ended; who was told.

Rows are added and none is changed (rulebook row 26f). A stop is not taken back: what comes after
it is a new version, signed again.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from patients import audit
from patients.facts.in_words import day_text
from patients.models.patient import Patient
from programs.actions.as_signed import NotAsSigned
from programs.actions.refusals import NotDone
from programs.models.program import Review, SignedPlan
from programs.models.program_state import ProgramState, StopTold
from programs.papers.numbers import line_start
from programs.review.against_rulebook import IN_FORCE_WEEKS
from programs.signed.term import Term, last_day, term_on
from safety.findings import Modality

#: What the record calls a change of state, and that she was told of a stop.
CHANGE_STATE, TELL_STOP = "change state of program", "tell of stop"
#: A review's decision as a reason, where nobody wrote one.
DECIDED_AT_REVIEW = "Decided at the review."
NO_STATE = "Whether it is in force is gone from the database."


@dataclass(frozen=True, kw_only=True)
class State:
    """The state of a signed program on a day.

    state     as ProgramState names it
    row       the newest row of the whole program, which says who, when and why
    stopped   the rows of single kinds that were stopped, the oldest first
    day       the last day that it held, where the calendar ended it
    """

    state: str
    row: ProgramState
    stopped: tuple[ProgramState, ...]
    day: dt.date | None = None

    @property
    def in_force(self) -> bool:
        """Tell whether the whole program is in force: one kind may have been stopped."""
        return self.state == ProgramState.IN_FORCE

    @property
    def modalities(self) -> tuple[Modality, ...]:
        """Return the kinds that were stopped one by one."""
        return tuple(Modality(row.modality) for row in self.stopped)

    @property
    def words(self) -> str:
        """Return it as a sentence; nothing where the program is in force, whole."""
        if self.day is not None:
            return f"Ended on {day_text(self.day)}: its weeks are over. What follows is a review."
        if self.in_force:
            return " ".join(f"{line_start(row.modality)}: {_told(row)}" for row in self.stopped)
        return line_start(_told(self.row))


def _told(row: ProgramState) -> str:
    on = day_text(timezone.localdate(row.at))
    return f"{row.state} on {on} by {audit.printed_name(row.by)}: {row.why.rstrip('.')}."


def state_of(signed: SignedPlan, day: dt.date, rows: Sequence[ProgramState] | None = None) -> State:
    """Return the state of a signed program on a day.

    rows   those of the program, oldest first, where they have been read already
    Raises NotAsSigned where none of them is there any more.
    """
    held = list(_rows_of(signed) if rows is None else rows)
    whole = [row for row in held if not row.modality]
    if not whole:
        raise NotAsSigned(patient=signed.patient_id, version=signed.version, why=NO_STATE)
    state, last = whole[-1].state, None
    if state == ProgramState.IN_FORCE and term_on(signed.plan.starts_on, day) is Term.ENDED:
        state, last = ProgramState.ENDED, last_day(signed.plan.starts_on)
    stopped = tuple(row for row in held if row.modality)
    return State(state=state, row=whole[-1], stopped=stopped, day=last)


def _rows_of(signed: SignedPlan) -> QuerySet[ProgramState]:
    return ProgramState.objects.filter(signed=signed).select_related("by").order_by("pk")


def kinds_stopped(patient: Patient) -> frozenset[Modality]:
    """Return the kinds of the newest signed program that were stopped one by one."""
    rows = ProgramState.objects.filter(signed__patient=patient).exclude(modality="")
    replaced = Q(signed__states__state=ProgramState.REPLACED)
    return frozenset(Modality(row.modality) for row in rows.exclude(replaced))


def in_force(day: dt.date) -> Q:
    """Return the condition under which a signed program is in force on a day."""
    return Q(plan__starts_on__gt=began_after(day)) & Q(~taken_out(signed=OuterRef("pk")))


def began_after(day: dt.date) -> dt.date:
    """Return the day after which a program began whose weeks are not over on a day."""
    return day - dt.timedelta(weeks=IN_FORCE_WEEKS)


def taken_out(**of: object) -> Exists:
    """Return whether the program `of` which is asked was stopped whole, replaced or ended."""
    rows = ProgramState.objects.filter(modality="", **of)
    return Exists(rows.exclude(state=ProgramState.IN_FORCE))


# --- Changes --------------------------------------------------------------------------------


def begin(signed: SignedPlan, by: User, at: dt.datetime) -> None:
    """Take a program that was just signed into force; the ones before it are replaced."""
    why = f"Version {signed.version} was signed."
    _add(signed=signed, state=ProgramState.IN_FORCE, why=why, by=by, at=at)
    replaced = ProgramState.objects.filter(signed=OuterRef("pk"), state=ProgramState.REPLACED)
    before = SignedPlan.objects.filter(~Exists(replaced), patient=signed.patient_id)
    for older in before.exclude(pk=signed.pk).order_by("version"):
        _add(signed=older, state=ProgramState.REPLACED, why=why, by=by, at=at)


def stop_by_review(
    signed: SignedPlan, review: Review, stopped: Iterable[tuple[Modality, str]], *, whole: bool
) -> None:
    """Keep what a review stopped: all of a program, or kinds of it, with the reason of each."""
    by, at = review.by, review.at
    if whole:
        reasons = " ".join(dict.fromkeys(why for _, why in stopped if why)) or DECIDED_AT_REVIEW
        _stop(signed=signed, why=reasons, by=by, at=at, review=review)
        return
    for modality, why in stopped:
        told = why or DECIDED_AT_REVIEW
        _stop(signed=signed, modality=modality, why=told, by=by, at=at, review=review)


def stop_program(
    *,
    signed: SignedPlan,
    why: str,
    by: User,
    at: dt.datetime,
    modality: Modality | None = None,
    token: UUID | None = None,
) -> ProgramState:
    """Stop a program, or one kind of it, now; the same stop twice is the first.

    Raises NotDone without a reason, where it is not in force, or has no such kind left.
    """
    if not why.strip():
        raise NotDone("Say why it is stopped.")
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, ProgramState)
        found = ProgramState.objects.filter(
            signed=signed, state=ProgramState.STOPPED, modality=modality or ""
        ).first()
        if found is not None:
            return found
        now = state_of(signed, timezone.localdate(at))
        if not now.in_force:
            raise NotDone(f"Version {signed.version} is not in force: {now.words}")
        return _stop(signed=signed, modality=modality, why=why.strip(), by=by, at=at, token=token)


def end(signed: SignedPlan, *, why: str, by: User, at: dt.datetime, review: Review) -> None:
    """Keep that a review ended a program."""
    _add(signed=signed, state=ProgramState.ENDED, why=why, by=by, at=at, review=review)


def told_of_stop(
    *,
    stop: ProgramState,
    told_by: str,
    how: str,
    on: dt.date,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> StopTold:
    """Keep that she knows of a stop; told twice, the first stands.

    Raises NotDone where nobody is named, or the day lies before the stop or after today.
    """
    if not told_by.strip():
        raise NotDone("Say who told it.")
    if not timezone.localdate(stop.at) <= on <= timezone.localdate(at):
        raise NotDone("The day lies between the stop and today.")
    with audit.writing():
        if (before := StopTold.objects.filter(stop=stop).first()) is not None:
            return before
        row = StopTold.objects.create(
            stop=stop, told_by=told_by.strip(), how=how, on=on, by=by, at=at
        )
        audit.record(by=by, at=at, action=TELL_STOP, on=row, new=audit.state_of(row), token=token)
    return row


def stops_of(patient: Patient) -> QuerySet[ProgramState]:
    """Return all stops of a patient's programs, the newest first."""
    rows = ProgramState.objects.filter(signed__patient=patient, state=ProgramState.STOPPED)
    return rows.select_related("signed", "told").order_by("-pk")


def stops_not_replaced() -> QuerySet[ProgramState]:
    """Return the stops after which no newer program was signed, the oldest first."""
    replaced = ProgramState.objects.filter(signed=OuterRef("signed"), state=ProgramState.REPLACED)
    rows = ProgramState.objects.filter(~Exists(replaced), state=ProgramState.STOPPED)
    return rows.select_related("signed__patient", "by").defer("signed__body").order_by("at", "pk")


def stops_not_told(patient: Patient | None = None) -> QuerySet[ProgramState]:
    """Return the stops of which nobody wrote that she knows, the oldest first.

    Where a newer program was signed since, its paper told her.
    """
    rows = stops_not_replaced().filter(told=None)
    return rows if patient is None else rows.filter(signed__patient=patient)


def _stop(
    *,
    signed: SignedPlan,
    why: str,
    by: User,
    at: dt.datetime,
    modality: Modality | None = None,
    review: Review | None = None,
    token: UUID | None = None,
) -> ProgramState:
    """Add a stop, once."""
    of = {"signed": signed, "state": ProgramState.STOPPED, "modality": modality or ""}
    found = ProgramState.objects.filter(**of).first()
    return found or _add(**of, why=why, by=by, at=at, review=review, token=token)


def _add(*, by: User, at: dt.datetime, token: UUID | None = None, **fields: object) -> ProgramState:
    row = ProgramState.objects.create(by=by, at=at, **fields)
    audit.record(by=by, at=at, action=CHANGE_STATE, on=row, new=audit.state_of(row), token=token)
    return row
