"""Minutes of sessions and weeks, rests included, from what a week holds."""

from __future__ import annotations

from programs.dose import impact, plate, resistance
from programs.exercises import EXERCISES
from programs.week.week import ImpactWeek, Part, PlateWeek, ResistanceWeek, Week, part_of
from safety.findings import Modality


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
            reps = [part.reps if one.reps is None else one.reps for one in part.exercises]
            return resistance.session_min(part.sets, reps)
        case ImpactWeek():
            return impact.session_min(_step(part))
        case _:
            return part.minutes / part.sessions


def _step(part: ImpactWeek) -> impact.ImpactStep:
    return impact.ImpactStep(
        place=1,
        exercise=EXERCISES[part.exercises[0]],
        days=part.sessions,
        impacts=part.impacts,
        minutes=part.minutes,
    )


def week_min(week: Week) -> float:
    """Return the minutes of all sessions of a week, to a tenth."""
    return round(sum(minutes_of(part_of(week, m)) for m in Modality), 1)
