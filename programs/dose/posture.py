"""Posture: minutes a day (rulebook row 22)."""

from __future__ import annotations

from programs.dose.limit import Limit, Range
from safety.findings import Modality

START_MIN_A_DAY = 5
MOST_MIN_A_DAY = 10
EXERCISES = 3
SHORT_DAYS = 2
START_HOLD_S, MOST_HOLD_S = 5, 10
START_REPS, MOST_REPS = 5, 10
LOADED_FROM = 17

LIMITS = {
    "minutes_a_day": Limit(
        name="minutes_a_day",
        modality=Modality.POSTURE,
        value=MOST_MIN_A_DAY,
        unit="min a day",
        text="Posture work of 5 to 10 minutes a day",
        sources=("toofit2014",),
        judgement=20,
        clinic=Range(text="Posture work", tightest=5),
        beside="minutes",
    )
}


def minutes_a_day(place: int) -> int:
    """Return the minutes of a day: 5, a minute more every second week to 10."""
    return min(START_MIN_A_DAY + (place - 1) // 2, MOST_MIN_A_DAY)


def hold_s(place: int) -> int:
    """Return the seconds of a hold: 5 rising to 10 by week 8."""
    return min(START_HOLD_S + (place - 1) * 5 // 7, MOST_HOLD_S)


def reps(place: int) -> int:
    """Return the repetitions of an exercise: more from week 9 to 16, when holds have risen."""
    return min(START_REPS + max(0, place - 7) // 2, MOST_REPS)


def is_loaded(place: int) -> bool:
    """Tell whether a loaded back extension has come in, for whom nothing spares the spine."""
    return place >= LOADED_FROM
