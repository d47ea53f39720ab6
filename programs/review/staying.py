"""Whether the signed program may stay in force: nothing to come is above today's rules."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from programs.dose.impact import ImpactStep
from programs.dose.plate import PlateStep
from programs.dose.resistance import LiftingStep
from programs.draft import person
from programs.draft.draft import Draft
from programs.draft.ramps import BalanceStep, PostureStep, Whole, whole
from programs.draft.resume import Resume
from programs.exercises import EXERCISES
from programs.review.ladder import PLACES, Placed
from programs.review.ledger import Ledger
from programs.week.plate_as_moved import as_moved
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    exercise_codes,
    part_of,
)
from safety.findings import Modality
from safety.screen import Status


def above_today(ledger: Ledger, today: Draft, start: Resume) -> tuple[str, ...]:
    """Say what of the weeks to come today's rules would not draft (row 26e); empty: nothing.

    today, start   the draft of today's facts from the start of every ramp, and its resume
    """
    ramps = whole(today.screen, today.plate_fit, start, today.clinic, PLACES)
    planned, facts = ledger.held.planned, today.screen.situation.facts
    now = max(1, planned.week_of(ledger.day))
    to_come = range(now, len(planned.weeks) + 1)
    found = (
        f"{modality.capitalize()} of week {week}: {words}."
        for modality in planned.modalities
        for week in to_come
        if (part := part_of(planned.weeks[week - 1], modality)) is not None
        for words in _against(ledger, today, ramps, modality, week, as_moved(part, facts))
    )
    return tuple(found)


def _against(
    ledger: Ledger, today: Draft, ramps: Whole, modality: Modality, week: int, part: Part
) -> Iterator[str]:
    held = ledger.held
    until = today.screen.until(modality)
    if today.standings[modality].status is not Status.INCLUDED:
        yield "it is not included today"
    if until is not None and held.planned.first_day(week) + dt.timedelta(days=6) > until:
        yield "its clearance has ended by then"
    lifting = part_of(held.planned.weeks[week - 1], Modality.RESISTANCE) is not None
    steps = _steps(ramps, modality, lifting=lifting)
    place = held.place(modality, week)
    if not steps or _passes(part, steps[place - 1], ramps):
        yield "it is above what today's rules draft"
    if any(EXERCISES[code].bars & person.barred(today.screen) for code in _known(part)):
        yield "it holds an exercise that is barred today"
    if _is_looser(part, today):
        yield "today it is watched, or near support"


def _steps(ramps: Whole, modality: Modality, *, lifting: bool) -> tuple[Placed, ...]:
    held: dict[Modality, tuple[Placed, ...]] = {
        Modality.PLATE: ramps.plate,
        Modality.RESISTANCE: ramps.lifting,
        Modality.IMPACT: ramps.impact if lifting else ramps.walk,
        Modality.BALANCE: ramps.balance,
        Modality.POSTURE: ramps.posture,
    }
    return held[modality]


def _known(part: Part) -> list[str]:
    return [code for code in exercise_codes(part) if code in EXERCISES]


def _is_looser(part: Part, today: Draft) -> bool:
    """Tell whether the signed part is without the watching, or the support, that today asks."""
    if isinstance(part, PlateWeek):
        return today.screen.situation.watched_each_session and not part.supervised
    return isinstance(part, BalanceWeek) and (
        person.near_support(today.screen) and not part.near_support
    )


def _passes(part: Part, step: Placed, ramps: Whole) -> bool:
    """Tell whether a signed part is above a place of today's ramp in any variable."""
    match part, step:
        case PlateWeek(), PlateStep():
            at = step.setting
            pairs = [
                (part.frequency_hz, at.frequency_hz),
                (part.displacement_mm, at.displacement_mm),
                (part.peak_g, round(at.peak_g, 2)),
                (part.bouts, step.bouts),
                (part.bout_s, step.bout_s),
                (part.vibration_min, round(step.vibration_min, 2)),
            ]
        case ResistanceWeek(), LiftingStep():
            same = part.could_lift == step.could_lift
            pairs = [
                (part.sets, step.sets),
                (part.percent_1rm, step.effort.percent_1rm if ramps.loaded else None),
                (part.reps, step.reps if same else None),
            ]
        case ImpactWeek(), ImpactStep():
            same = part.exercises == (step.exercise.code,)
            pairs = [
                (part.peak_bw, step.exercise.peak_bw),
                (part.leg_bw, step.exercise.leg_bw),
                (part.impacts, step.impacts if same else None),
                (part.minutes, step.minutes if same else None),
            ]
        case BalanceWeek(), BalanceStep():
            pairs = [(part.minutes, step.minutes), (part.rung, step.rung)]
        case _:
            assert isinstance(part, PostureWeek)
            assert isinstance(step, PostureStep)
            a_day = part.minutes / part.sessions
            pairs = [(a_day, step.minutes), (part.hold_s, step.hold_s), (part.reps, step.reps)]
    return any(has is not None and may is not None and has > may for has, may in pairs)
