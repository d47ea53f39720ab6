"""What is on record of an episode, as moments of its timeline; and what comes next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from django.db.models import Q
from django.utils import timezone

from patients.facts import codes
from patients.facts.declared import Facts
from patients.facts.partial_dates import told_words
from patients.models.patient import FractureRow, FunctionTestDay, MarkerRow, Patient, ScanRow
from patients.rows_at_once import rows_at_once
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
    begun, held = episode_begun(signed), _rows_of(signed.patient)
    states = _states_of(signed.patient)
    found = _all_of(signed.patient, day, facts, held, states)
    moments = [one for one in found if (one.until or one.on) >= begun]
    return Timeline(
        begun=begun,
        moments=tuple(moments),
        coming=tuple(_coming(_Now(signed, begun, day), facts, held, states.get(signed.pk, ()))),
    )


#: The rows of an episode by their table.
Held = Mapping[str, Sequence[Any]]
#: By the number of a signed program, its states, the oldest first.
States = Mapping[int, Sequence[ProgramState]]


def _rows_of(patient: Patient) -> Held:
    """Return what was reviewed, logged, measured and cleared, each by its day; one query."""
    stands = {"patient": patient, "withdrawn_at": None}
    told = TELLS | Q(pain__gt=PAIN_EASY)
    held = rows_at_once(
        {
            "review": Review.objects.filter(patient=patient),
            "log": SessionLog.objects.filter(told, **stands),
            "fracture": FractureRow.objects.filter(date__isnull=False, **stands),
            "tests": FunctionTestDay.objects.filter(**stands),
            "scan": ScanRow.objects.filter(**stands),
            "marker": MarkerRow.objects.filter(**stands),
            "leave": Clearance.objects.filter(**stands),
        }
    )
    days = {"review": "held_on", "log": "on", "leave": "on"}
    return {
        name: sorted(rows, key=attrgetter(days.get(name, "date"), "pk"))
        for name, rows in held.items()
    }


def _states_of(patient: Patient) -> States:
    states: dict[int, list[ProgramState]] = {}
    held = ProgramState.objects.filter(signed__patient=patient).select_related("by")
    for kept in held.order_by("pk"):
        states.setdefault(kept.signed_id, []).append(kept)
    return states


def _all_of(
    patient: Patient, day: dt.date, facts: Facts | None, held: Held, states: States
) -> Iterator[Moment]:
    yield from _programs(patient, day, states)
    yield from _reviews(held["review"])
    yield from _log(held["log"])
    yield from _measured(held)
    yield from _leave(held["leave"])
    yield from _medicine(facts)


def _programs(patient: Patient, day: dt.date, states: States) -> Iterator[Moment]:
    rows = SignedPlan.objects.filter(patient=patient).select_related("plan").defer("body")
    for row in rows.order_by("version"):
        state = state_of(row, day, states.get(row.pk, ()))
        until = _last_day(row, state.row)
        words = f"version {row.version}" + (f". {state.words}" if state.words else "")
        yield Moment(on=row.plan.starts_on, until=until, lane=Lane.PROGRAM, words=words)


def _last_day(row: SignedPlan, state: ProgramState) -> dt.date:
    """Return the last day on which a program held, or is to hold."""
    over = last_day(row.plan.starts_on)
    if state.state == ProgramState.IN_FORCE:
        return over
    return max(row.plan.starts_on, min(over, timezone.localdate(state.at)))


def _reviews(rows: Iterable[Review]) -> Iterator[Moment]:
    for row in rows:
        chosen = row.decision.get("modalities", {}).items()
        words = "; ".join(f"{name}: {one['chosen']}" for name, one in chosen)
        yield Moment(on=row.held_on, lane=Lane.REVIEW, words=words or "held")


def _log(rows: Iterable[SessionLog]) -> Iterator[Moment]:
    for row in rows:
        if row.fell:
            yield Moment(on=row.on, lane=Lane.FALL, words=f"a fall. {row.note}".strip())
        if row.red_flag:
            yield Moment(on=row.on, lane=Lane.FALL, words=f"warning sign: {row.red_flag}")
        if row.broke:
            yield Moment(on=row.on, lane=Lane.FALL, words=f"broken bone: {row.broke}")
        if (row.pain or 0) > PAIN_EASY:
            words = f"{row.pain} of 10{with_words(row)}. {row.note}".strip()
            yield Moment(on=row.on, lane=Lane.PAIN, words=words)


def _measured(held: Held) -> Iterator[Moment]:
    for broke in held["fracture"]:
        yield Moment(on=broke.date, lane=Lane.FRACTURE, words=broke.get_site_display())
    for tests in held["tests"]:
        yield Moment(on=tests.date, lane=Lane.TESTS, words="function tests")
    for on, words in _by_day(held["scan"], "site"):
        yield Moment(on=on, lane=Lane.SCAN, words=f"density: {words}")
    for on, words in _by_day(held["marker"], "marker"):
        yield Moment(on=on, lane=Lane.SCAN, words=f"blood: {words}")


def _by_day(rows: Iterable[ScanRow | MarkerRow], name: str) -> Iterator[tuple[dt.date, str]]:
    """Yield each day with what was measured on it."""
    days: dict[dt.date, list[str]] = {}
    for row in rows:
        days.setdefault(row.date, []).append(getattr(row, f"get_{name}_display")())
    for on, words in days.items():
        yield on, ", ".join(dict.fromkeys(words))


def _leave(rows: Iterable[Clearance]) -> Iterator[Moment]:
    for row in rows:
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


@dataclass(frozen=True)
class _Now:
    """The newest program, the first day of its episode, and the day of looking."""

    signed: SignedPlan
    begun: dt.date
    day: dt.date


def _coming(
    now: _Now, facts: Facts | None, held: Held, states: Sequence[ProgramState]
) -> Iterator[tuple[str, dt.date]]:
    """Yield what comes next and when, the soonest first (rulebook rows 26g, 28, 29)."""
    leave = [row for row in held["leave"] if row.until is not None and row.until >= now.day]
    last = next((row.held_on for row in reversed(held["review"])), None)
    due = due_of(now.begun, last, now.day)
    found = [("Review, due since", due.since)] if due else []
    found += _dates(_next(now, leave, states))
    found += [(f"{row.get_subject_display()}: clearance ends", row.until) for row in leave]
    dose = next_dose_due(facts) if facts else None
    found += [("Next dose of denosumab", dose)] if dose else []
    yield from sorted(found, key=lambda one: one[1])


def _next(now: _Now, leave: Iterable[Clearance], states: Sequence[ProgramState]) -> Dates:
    state = state_of(now.signed, now.day, states)
    return next_dates(
        now.begun,
        now.day,
        last_week=last_week_of(now.signed.plan.starts_on),
        ends=[row.until for row in leave],
        stopped=bool(state.stopped) or state.state == ProgramState.STOPPED,
    )


def _dates(dates: Dates) -> Iterator[tuple[str, dt.date]]:
    yield "Review", dates.review
    yield "Function tests", dates.tests
    yield "Density", dates.density
