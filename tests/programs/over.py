"""What a week passes of the limits in force at a clinic, looked at apart from the drafter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from programs.dose.clinic_limits import CLINIC_LIMITS, ClinicLimit
from programs.dose.could_lift import percent_of
from programs.dose.in_force import Clinic
from programs.week.minutes import session_min
from programs.week.week import ImpactWeek, ResistanceWeek, Week
from safety.screen import Screen

#: Rulebook row 20: counted impacts of group A on a later rung, and walking on every day.
_LATER_DAYS, _WALKING_DAYS = 5, 7
#: Loads, forces and accelerations are shown rounded to two decimals.
_ROUNDED = 0.005


@dataclass(frozen=True, kw_only=True)
class Over:
    """One limit in force, what a week holds instead, and whether the clinic set it."""

    limit: ClinicLimit
    allowed: float
    held: float
    own: bool


def over(week: Week, clinic: Clinic, screen: Screen) -> tuple[Over, ...]:
    """Return every limit in force that the week passes; the group is the lifting's own."""
    found = []
    for name, held in _held(week, screen):
        limit = CLINIC_LIMITS[name]
        allowed = clinic.value(limit.limit)
        if name == "impact.sessions" and allowed == limit.value:
            allowed = _days(week)
        past = allowed - held if limit.floor else held - allowed
        if past > _ROUNDED:
            own = name in clinic.settings
            found.append(Over(limit=limit, allowed=allowed, held=held, own=own))
    return tuple(found)


def _held(week: Week, screen: Screen) -> Iterator[tuple[str, float]]:
    """Yield the name of each limit that the week has a value for, with the value."""
    if week.plate:
        yield "plate.top_g", week.plate.peak_g
        if week.plate.bouts is not None:
            yield "plate.sessions", week.plate.sessions
    if week.resistance:
        yield from _lifting(week.resistance, screen)
    if week.impact:
        yield from _impact(week.impact, week.resistance, screen)
    if week.balance:
        yield "balance.minutes", week.balance.minutes
    if week.posture:
        yield "posture.minutes_a_day", session_min(week.posture)


def _lifting(lifting: ResistanceWeek, screen: Screen) -> Iterator[tuple[str, float]]:
    """Yield what the lifting passes; a week without a load has no percent (rulebook row 19c)."""
    resources = screen.situation.facts.resources
    overseen = lifting.group == "B" and resources is not None and resources.supervised
    if lifting.could_lift is not None:
        name = f"resistance.percent_1rm.{lifting.group}{'.supervised' if overseen else ''}"
        yield name, percent_of(lifting.could_lift)
        yield "resistance.reps_in_reserve", lifting.could_lift - lifting.reps
    yield "resistance.sets", lifting.sets


def _impact(
    impact: ImpactWeek, lifting: ResistanceWeek | None, screen: Screen
) -> Iterator[tuple[str, float]]:
    if lifting and lifting.group != "C":
        yield f"impact.peak_bw.{lifting.group}", impact.peak_bw
        if lifting.group == "A" and screen.situation.fall_risk.drafted_as != "low":
            yield "impact.peak_bw.A.unsteady", impact.peak_bw
    yield "impact.sessions", impact.sessions
    yield "impact.impacts", impact.impacts or 0
    yield "impact.minutes", impact.minutes or 0


def _days(week: Week) -> int:
    """Return the most days with impact as the rulebook has them, where no clinic set its own."""
    if week.impact is None or week.impact.impacts is None:
        return _WALKING_DAYS
    return _LATER_DAYS if week.resistance and week.resistance.group == "A" else 4
