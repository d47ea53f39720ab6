"""Minutes of sessions and weeks, rests included, from what a week holds."""

from __future__ import annotations

from programs.dose import impact, plate, resistance
from programs.exercises import EXERCISES
from programs.week import (
    BalanceWeek,
    ImpactWeek,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Week,
)
from safety.findings import Modality

Part = PlateWeek | ResistanceWeek | ImpactWeek | BalanceWeek | PostureWeek


def part_of(week: Week, modality: Modality) -> Part | None:
    """Return what the week holds of a modality."""
    part: Part | None = getattr(week, modality)
    return part


def minutes_of(part: Part | None) -> float:
    """Return the minutes of all of a week's sessions of one modality; 0 where it has none."""
    return session_min(part) * part.sessions if part else 0.0


def session_min(part: Part) -> float:
    """Return the minutes of one session."""
    match part:
        case PlateWeek(bouts=int(bouts), bout_s=int(bout_s), rest_s=int(rest_s)):
            return plate.session_min(bouts, bout_s, rest_s)
        case PlateWeek():
            return part.vibration_min
        case ResistanceWeek():
            count = len(part.exercises)
            return resistance.session_min(exercises=count, sets=part.sets, reps=part.reps)
        case ImpactWeek():
            return impact.session_min(_step(part))
        case _:
            return part.minutes / part.sessions


def _step(part: ImpactWeek) -> impact.ImpactStep:
    return impact.ImpactStep(
        week=1,
        exercise=EXERCISES[part.exercises[0]],
        days=part.sessions,
        impacts=part.impacts,
        minutes=part.minutes,
    )


def week_min(week: Week) -> float:
    """Return the minutes of all sessions of a week, to a tenth."""
    return round(sum(minutes_of(part_of(week, m)) for m in Modality), 1)
