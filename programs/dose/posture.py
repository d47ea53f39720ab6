"""Posture: minutes a day (rulebook row 22)."""

from __future__ import annotations

from programs.dose.limit import Limit, is_deload
from safety.sources import cite

START_MIN_A_DAY = 5
MOST_MIN_A_DAY = 10
EXERCISES = 3
SHORT_DAYS = 2

LIMITS = {
    "minutes_a_day": Limit(
        name="minutes_a_day",
        value=MOST_MIN_A_DAY,
        unit="min a day",
        text="Posture work of 5 to 10 minutes a day",
        source=cite("toofit2014"),
        judgement=20,
    )
}


def minutes_a_day(week: int) -> int:
    """Return the minutes of a day: 5, a minute more every second week to 10."""
    done = sum(1 for w in range(3, week + 1) if w % 2 == 1 and not is_deload(w))
    return min(START_MIN_A_DAY + done, MOST_MIN_A_DAY)
