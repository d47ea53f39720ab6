"""One modality of one week in a short line, without loads and panels; plan_words has those."""

from __future__ import annotations

from programs.exercises import EXERCISES
from programs.minutes import Part
from programs.week import BalanceWeek, ImpactWeek, PlateWeek, ResistanceWeek

NOTHING = "not in the week"


def short_dose(part: Part | None) -> str:
    """Return what a week holds of a modality, with units."""
    match part:
        case None:
            return NOTHING
        case PlateWeek():
            return _plate(part)
        case ResistanceWeek():
            return _lifting(part)
        case ImpactWeek():
            return _impact(part)
        case BalanceWeek():
            return f"{_times(part.sessions)}, {part.minutes} min in all, rung {part.rung}"
        case _:
            return f"{_times(part.sessions)}, {part.minutes} min in all"


def _times(sessions: int) -> str:
    return "once a week" if sessions == 1 else f"{sessions} times a week"


def _plate(part: PlateWeek) -> str:
    travel = "" if part.displacement_mm is None else f", {part.displacement_mm:g} mm peak to peak"
    how_long = (
        f"{part.vibration_min:g} min"
        if part.bouts is None
        else f"{part.bouts} bouts of {part.bout_s} s"
    )
    return (
        f"{_times(part.sessions)}, {part.frequency_hz:g} Hz{travel}, {part.peak_g:g} g, {how_long}"
    )


def _lifting(part: ResistanceWeek) -> str:
    return (
        f"{_times(part.sessions)}, {len(part.exercises)} exercises, {part.sets} × {part.reps} "
        f"at {part.percent_1rm:g} %, {part.reps_in_reserve} in reserve"
    )


def _impact(part: ImpactWeek) -> str:
    name = EXERCISES[part.exercises[0]].name.lower()
    much = f"{part.minutes} min" if part.impacts is None else f"{part.impacts} impacts"
    return f"{_times(part.sessions)}, {much} of {name}, {part.peak_bw:g} body weights"
