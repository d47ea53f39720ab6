"""What is on record of an episode, as moments of its timeline; and what comes next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.db.models import Q
from django.utils import timezone

from patients.facts import codes
from patients.facts.declared import Facts
from patients.facts.partial_dates import told_words
from patients.models.patient import FractureRow, FunctionTestDay, MarkerRow, Patient, ScanRow
from programs.actions.program_state import state_of
from programs.actions.reviewing import episode_begun
from programs.actions.sessions import TELLS, with_words
from programs.models.program import Review, SessionLog, SignedPlan
from programs.models.program_state import ProgramState
from programs.review.dates import Dates, last_week_of, next_dates
from programs.review.due import due_of
from programs.review.precautions_to_lift import PAIN_EASY
from programs.review.timeline import Lane, Moment
from programs.signed.term import last_day
from safety.fracture_history import next_dose_due
from safety.models import Clearance


@dataclass(frozen=True, kw_only=True)
class Timeline:
    """An episode: its first day, all that happened, and what comes next."""

    begun: dt.date
    moments: tuple[Moment, ...]
    coming: tuple[tuple[str, dt.date], ...]


def timeline_of(signed: SignedPlan, day: dt.date, facts: Facts | None) -> Timeline:
    """Return the episode that a patient's newest program belongs to, as of a day.

    facts   those of the day; None where what is entered cannot stand together
    """
    patient, begun = signed.patient, episode_begun(signed)
    moments = [one for one in _all_of(patient, day, facts) if (one.until or one.on) >= begun]
    return Timeline(
        begun=begun,
        moments=tuple(moments),
        coming=tuple(_coming(signed, begun, day, facts)),
    )


def _all_of(patient: Patient, day: dt.date, facts: Facts | None) -> Iterator[Moment]:
    yield from _programs(patient, day)
    yield from _reviews(patient)
    yield from _log(patient)
    yield from _measured(patient)
    yield from _leave(patient)
    yield from _medicine(facts)


def _programs(patient: Patient, day: dt.date) -> Iterator[Moment]:
    rows = SignedPlan.objects.filter(patient=patient).select_related("plan").defer("body")
    states: dict[int, list[ProgramState]] = {}
    held = ProgramState.objects.filter(signed__patient=patient).select_related("by")
    for kept in held.order_by("pk"):
        states.setdefault(kept.signed_id, []).append(kept)
    for row in rows.order_by("version"):
        state = state_of(row, day, states[row.pk])
        until = _last_day(row, state.row)
        words = f"version {row.version}" + (f". {state.words}" if state.words else "")
        yield Moment(on=row.plan.starts_on, until=until, lane=Lane.PROGRAM, words=words)


def _last_day(row: SignedPlan, state: ProgramState) -> dt.date:
    """Return the last day on which a program held, or is to hold."""
    over = last_day(row.plan.starts_on)
    if state.state == ProgramState.IN_FORCE:
        return over
    return max(row.plan.starts_on, min(over, timezone.localdate(state.at)))


def _reviews(patient: Patient) -> Iterator[Moment]:
    for row in Review.objects.filter(patient=patient).order_by("held_on", "pk"):
        chosen = row.decision.get("modalities", {}).items()
        words = "; ".join(f"{name}: {one['chosen']}" for name, one in chosen)
        yield Moment(on=row.held_on, lane=Lane.REVIEW, words=words or "held")


def _log(patient: Patient) -> Iterator[Moment]:
    rows = SessionLog.objects.filter(patient=patient, withdrawn_at=None)
    told = rows.filter(TELLS | Q(pain__gt=PAIN_EASY))
    for row in told.order_by("on", "pk"):
        if row.fell:
            yield Moment(on=row.on, lane=Lane.FALL, words=f"a fall. {row.note}".strip())
        if row.red_flag:
            yield Moment(on=row.on, lane=Lane.FALL, words=f"warning sign: {row.red_flag}")
        if row.broke:
            yield Moment(on=row.on, lane=Lane.FALL, words=f"broken bone: {row.broke}")
        if (row.pain or 0) > PAIN_EASY:
            words = f"{row.pain} of 10{with_words(row)}. {row.note}".strip()
            yield Moment(on=row.on, lane=Lane.PAIN, words=words)


def _measured(patient: Patient) -> Iterator[Moment]:
    of = {"patient": patient, "withdrawn_at": None}
    for broke in FractureRow.objects.filter(**of, date__isnull=False).order_by("date", "pk"):
        assert broke.date is not None
        yield Moment(on=broke.date, lane=Lane.FRACTURE, words=broke.get_site_display())
    for tests in FunctionTestDay.objects.filter(**of).order_by("date", "pk"):
        yield Moment(on=tests.date, lane=Lane.TESTS, words="function tests")
    for on, words in _by_day(ScanRow.objects.filter(**of).order_by("date", "pk"), "site"):
        yield Moment(on=on, lane=Lane.SCAN, words=f"density: {words}")
    for on, words in _by_day(MarkerRow.objects.filter(**of).order_by("date", "pk"), "marker"):
        yield Moment(on=on, lane=Lane.SCAN, words=f"blood: {words}")


def _by_day(rows: Iterable[ScanRow | MarkerRow], name: str) -> Iterator[tuple[dt.date, str]]:
    """Yield each day with what was measured on it."""
    days: dict[dt.date, list[str]] = {}
    for row in rows:
        days.setdefault(row.date, []).append(getattr(row, f"get_{name}_display")())
    for on, words in days.items():
        yield on, ", ".join(dict.fromkeys(words))


def _leave(patient: Patient) -> Iterator[Moment]:
    for row in Clearance.objects.filter(patient=patient, withdrawn_at=None).order_by("on", "pk"):
        words = f"{row.get_subject_display()}, for {row.modality_names}, by {row.given_by}"
        yield Moment(on=row.on, until=row.until, lane=Lane.LEAVE, words=words)


def _medicine(facts: Facts | None) -> Iterator[Moment]:
    if facts is None:
        return
    medicine = facts.medicine("bone_medicine")
    name = codes.BONE_MEDICINES[medicine.kind] if medicine.kind else "bone medicine"
    for on, words in ((medicine.since, "since"), (medicine.last_dose_on, "last dose")):
        if on is not None:
            yield Moment(on=on, lane=Lane.MEDICINE, words=f"{name}, {words} {told_words(on)}")


# --- What comes next --------------------------------------------------------------------------


def _coming(
    signed: SignedPlan, begun: dt.date, day: dt.date, facts: Facts | None
) -> Iterator[tuple[str, dt.date]]:
    """Yield what comes next and when, the soonest first (rulebook rows 26g, 28, 29)."""
    ends = Clearance.objects.filter(patient=signed.patient, withdrawn_at=None, until__gte=day)
    leave = list(ends.order_by("until", "pk"))
    last = Review.objects.filter(patient=signed.patient).order_by("-held_on").first()
    due = due_of(begun, last.held_on if last else None, day)
    found = [("Review, due since", due.since)] if due else []
    found += _dates(_next(signed, begun, day, leave))
    found += [(f"{row.get_subject_display()}: clearance ends", row.until) for row in leave]
    dose = next_dose_due(facts) if facts else None
    found += [("Next dose of denosumab", dose)] if dose else []
    yield from sorted(found, key=lambda one: one[1])


def _next(signed: SignedPlan, begun: dt.date, day: dt.date, leave: Iterable[Clearance]) -> Dates:
    state = state_of(signed, day)
    return next_dates(
        begun,
        day,
        last_week=last_week_of(signed.plan.starts_on),
        ends=[row.until for row in leave],
        stopped=bool(state.stopped) or state.state == ProgramState.STOPPED,
    )


def _dates(dates: Dates) -> Iterator[tuple[str, dt.date]]:
    yield "Review", dates.review
    yield "Function tests", dates.tests
    yield "Density", dates.density
