"""The catalogue of exercises and the choice among them."""

from programs.exercises.catalogue import EXERCISES, of
from programs.exercises.choice import (
    BALANCE_RUNGS,
    balance_rung,
    choose_lifts,
    counted_rungs,
    possible,
    posture_set,
    seated_balance,
    walking,
)
from programs.exercises.daily import DAILY_MOVEMENTS, DailyMovement
from programs.exercises.exercise import SPARE_SPINE_BARS, Exercise

__all__ = [
    "BALANCE_RUNGS",
    "DAILY_MOVEMENTS",
    "EXERCISES",
    "SPARE_SPINE_BARS",
    "DailyMovement",
    "Exercise",
    "balance_rung",
    "choose_lifts",
    "counted_rungs",
    "of",
    "possible",
    "posture_set",
    "seated_balance",
    "walking",
]
