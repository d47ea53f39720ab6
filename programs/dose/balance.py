"""Balance: minutes and rungs (rulebook row 21)."""

from __future__ import annotations

from programs.dose.limit import DRAFT_WEEKS, Limit, is_deload
from programs.exercises import BALANCE_RUNGS
from safety.sources import cite

START_MIN = 75
STEADY_MIN = 120
UNSTEADY_MIN = 180
RISE_MIN = 30
SHORT_MIN_A_DAY = 10

LIMITS = {
    "minutes": Limit(
        name="minutes",
        value=UNSTEADY_MIN,
        unit="min a week",
        text="Balance to 180 minutes a week",
        source=cite("wfg2022", "toofit2014"),
        judgement=300,
    )
}


def goal_min(fall_risk: str) -> int:
    """Return the weekly minutes aimed at for this fall risk."""
    return UNSTEADY_MIN if fall_risk in ("intermediate", "high") else STEADY_MIN


def ramp(goal: int, *, weeks: int = DRAFT_WEEKS) -> tuple[int, ...]:
    """Return the minutes of each week, rising to the goal, never in a deload week."""
    minutes = [min(START_MIN, goal)]
    for week in range(2, weeks + 1):
        rise = 0 if is_deload(week) else RISE_MIN
        minutes.append(min(minutes[-1] + rise, goal))
    return tuple(minutes)


def rung(week: int, *, near_support: bool) -> int:
    """Return the rung of the ladder, from 1: a rung every fourth week; slower near support."""
    pace = 8 if near_support else 4
    return min(1 + (week - 1) // pace, BALANCE_RUNGS)
