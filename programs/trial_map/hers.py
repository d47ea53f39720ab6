"""Her own program as a point of the map: load times count over its weeks."""

from __future__ import annotations

from collections.abc import Iterable

from programs.exercises.catalogue import EXERCISES
from programs.week.week import ImpactWeek, PlateWeek, ResistanceWeek, Week, part_of
from safety.findings import Modality


def amount(modality: Modality, weeks: Iterable[Week]) -> float | None:
    """Return load times count of all its weeks, in the measure of the map; None: nothing of it."""
    whole = sum(_of_week(part_of(week, modality)) for week in weeks)
    return whole or None


def _of_week(part: object) -> float:
    match part:
        case PlateWeek():
            return part.peak_g * part.vibration_min * part.sessions
        case ImpactWeek():
            return _on_one_leg(part) * part.sessions
        case ResistanceWeek() if part.percent_1rm:
            return part.percent_1rm / 100 * part.sets * part.reps * part.sessions
        case _:
            return 0.0


def _on_one_leg(part: ImpactWeek) -> float:
    """Return the force on a leg times its landings in a session; walking has no landings."""
    if not part.impacts or part.leg_bw is None:
        return 0.0
    contacts = max(EXERCISES[code].contacts_of_10 for code in part.exercises)
    return part.leg_bw * part.impacts * contacts / 10
