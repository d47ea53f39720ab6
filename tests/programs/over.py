"""What a week passes of the limits in force at a clinic, looked at apart from the drafter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from programs.clinic_limits import CLINIC_LIMITS, Clinic, ClinicLimit
from programs.minutes import session_min
from programs.week import Week

#: Loads, forces and accelerations are shown rounded to two decimals.
_ROUNDED = 0.005


@dataclass(frozen=True, kw_only=True)
class Over:
    """One limit in force, what a week holds instead, and whether the clinic set it."""

    limit: ClinicLimit
    allowed: float
    held: float
    own: bool


def over(week: Week, clinic: Clinic, *, supervised: bool) -> tuple[Over, ...]:
    """Return every limit in force that the week passes; the group is the lifting's own."""
    found = []
    for name, held in _held(week, supervised):
        limit, allowed = CLINIC_LIMITS[name], clinic.value(name)
        past = allowed - held if limit.floor else held - allowed
        if past > _ROUNDED:
            own = name in clinic.settings
            found.append(Over(limit=limit, allowed=allowed, held=held, own=own))
    return tuple(found)


def _held(week: Week, supervised: bool) -> Iterator[tuple[str, float]]:
    """Yield the name of each limit that the week has a value for, with the value."""
    if week.plate:
        yield "plate.top_g", week.plate.peak_g
        if week.plate.bouts is not None:
            yield "plate.sessions", week.plate.sessions
    if week.resistance:
        lifting = week.resistance
        guarded = ".supervised" if lifting.group == "B" and supervised else ""
        yield f"resistance.percent_1rm.{lifting.group}{guarded}", lifting.percent_1rm
        yield "resistance.reps_in_reserve", lifting.reps_in_reserve
        yield "resistance.sets", lifting.sets
        if week.impact and lifting.group != "C":
            yield f"impact.peak_bw.{lifting.group}", week.impact.peak_bw
    if week.impact:
        yield "impact.sessions", week.impact.sessions
        yield "impact.impacts", week.impact.impacts or 0
        yield "impact.minutes", week.impact.minutes or 0
    if week.balance:
        yield "balance.minutes", week.balance.minutes
    if week.posture:
        yield "posture.minutes_a_day", session_min(week.posture)
