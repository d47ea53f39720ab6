"""Balance: minutes and rungs (rulebook row 21)."""

from __future__ import annotations

from collections.abc import Mapping

from programs.dose.limit import Limit, Range
from programs.exercises import BALANCE_RUNGS
from safety.findings import Modality

START_MIN = 75
STEADY_MIN = 120
UNSTEADY_MIN = 180
RISE_MIN = 30
#: From this age, or where falls are an aim, a steady person aims at two hours a week.
STEADY_AGE = 65
#: The least on a day where balance has to give way: fall risk low, and any other.
SHORT_MIN_A_DAY = 10
SHORT_MIN_UNSTEADY = 20
LEAST_BOUT_MIN = 5
#: Weeks on a rung; near support, and the highest rung of a faller who is not watched.
PACE = 4
NEAR_SUPPORT_PACE = 8
MOST_RUNG_UNWATCHED = 4

LIMITS = {
    "minutes": Limit(
        name="minutes",
        modality=Modality.BALANCE,
        value=UNSTEADY_MIN,
        unit="min a week",
        text="Balance to 180 minutes a week",
        sources=("wfg2022", "toofit2014"),
        judgement=300,
        clinic=Range(text="Balance work", tightest=30),
        beside="minutes",
    )
}


def goal_min(fall_risk: str, *, age: int, falls_aim: bool) -> int:
    """Return the weekly minutes aimed at.

    fall_risk   as it is drafted; anything but low aims at three hours
    """
    if fall_risk != "low":
        return UNSTEADY_MIN
    return STEADY_MIN if age >= STEADY_AGE or falls_aim else START_MIN


def ramp(goal: int, *, low_function: bool, places: int) -> tuple[int, ...]:
    """Return the minutes of each place, rising to the goal; every second week at low function."""
    pace = 2 if low_function else 1
    return tuple(
        min(START_MIN + RISE_MIN * ((place - 1) // pace), goal) for place in range(1, places + 1)
    )


#: A stance held so long opens the next rung (rulebook row 21).
HELD_S = 10.0
STANCES = ("side_by_side_s", "semi_tandem_s", "tandem_s")


def first_rung(tests: Mapping[str, float | None]) -> int:
    """Return the rung that the stance tests open, from 1.

    tests   seconds of side_by_side_s, semi_tandem_s, tandem_s; None or absent: not measured,
            which counts as not held unless a harder stance was held
    """
    held = [(tests.get(stance) or 0.0) >= HELD_S for stance in STANCES]
    return max((place + 2 for place, was in enumerate(held) if was), default=1)


def rungs(
    first: int, *, rises: bool, near_support: bool, most: int, places: int
) -> tuple[int, ...]:
    """Return the rung of each place.

    rises   fall risk low: one higher every 4 weeks, near support every 8; else the same in all
            weeks of a draft, and a review raises it
    """
    pace = (NEAR_SUPPORT_PACE if near_support else PACE) if rises else places
    return tuple(min(first + place // pace, most, BALANCE_RUNGS) for place in range(places))
