"""How hard a set was, when load goes up, and how to find a load without a test.

Two scales of 0 to 10 are in use and are not the same: repetitions in reserve counts what
was left, exertion tells how hard it felt. A field for one is never a field for the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from programs.dose.could_lift import FELT_TO

RESERVE_SCALE = "Effort by repetitions left, 0 to 10"

#: One step up of a load, percent (American College of Sports Medicine 2009, MSSE 41:687).
STEP_PERCENT = (2.0, 10.0)
#: Repetitions above the goal, in that many sessions running, that let the load rise.
TWO_FOR_TWO = 2
#: A repetition more in reserve is about this much less load (the chart's own slope).
PERCENT_A_REPETITION = 2.5
WARM_UP_PERCENT = 50
WARM_UP_REPS = 8
WARM_UP_SOURCE = "One set at half the working load: 50 to 70 % in a trial, from memory"
MOST_TRIAL_SETS = 4


@dataclass(frozen=True, kw_only=True)
class ReserveRow:
    """Effort of a set by the repetitions left: 10 leaves none (PMC11057620, PMC11603803)."""

    effort: int
    least_left: int | None
    most_left: int | None
    words: str
    next_load: str


RESERVE_ROWS: tuple[ReserveRow, ...] = (
    *(
        ReserveRow(
            effort=effort,
            least_left=None,
            most_left=None,
            words="so easy that nobody counts what is left",
            next_load="raise",
        )
        for effort in range(5)
    ),
    *(
        ReserveRow(
            effort=effort,
            least_left=4,
            most_left=6,
            words="four to six more would have gone",
            next_load="raise",
        )
        for effort in (5, 6)
    ),
    ReserveRow(
        effort=7, least_left=3, most_left=3, words="three more would have gone", next_load="raise"
    ),
    ReserveRow(
        effort=8, least_left=2, most_left=2, words="two more would have gone", next_load="keep"
    ),
    ReserveRow(
        effort=9, least_left=1, most_left=1, words="one more would have gone", next_load="lower"
    ),
    ReserveRow(
        effort=10,
        least_left=0,
        most_left=0,
        words="not one more would have gone",
        next_load="lower",
    ),
)


def step_kg(load: float) -> tuple[float, float]:
    """Return the loads that one step up may reach from here, least and most, in kg."""
    low, high = (load * (1 + percent / 100) for percent in STEP_PERCENT)
    return low, high


def two_for_two(goal: int, last_sets: Sequence[int]) -> bool:
    """Tell whether the load may rise: two above the goal in the last set, twice running.

    last_sets   repetitions of the last set of each session, oldest first
    Common coaching practice, as in Baechle and Earle.
    """
    newest = last_sets[-TWO_FOR_TWO:]
    return len(newest) == TWO_FOR_TWO and min(newest) >= goal + TWO_FOR_TWO


#: It looks for the planned could-lift, not for a set to fatigue (rulebook row 19a).
FIND_A_LOAD = (
    "Choose a load that is surely light.",
    "Do the planned repetitions and stop there.",
    "Ask how many more would have gone with good form; with those done, that is could-lift.",
    "Rest two minutes. Take more where it could be lifted more often than planned, else less.",
    f"Stop after {MOST_TRIAL_SETS} sets; the last load that could be lifted as often as planned "
    "is the one.",
)
FIND_A_LOAD_NOTE = (
    f"A load planned over {FELT_TO} times cannot be felt: begin with the lightest there is, "
    "effort 3 of 10 when the set is over. "
    "Guesses of what is left are better near the end of a set and with fewer repetitions "
    "(Zourdos 2021); the first ones are rough."
)


def next_trial_kg(load: float, *, left: int, wanted_left: int, step: float) -> float:
    """Return the load of the next trial set, in kg, in whole steps of the equipment.

    One repetition of reserve is about 2.5 %; up by 10 % at most, and never up where no more
    is left than wanted. The same load again means that it is found.
    """
    percent = min((left - wanted_left) * PERCENT_A_REPETITION, STEP_PERCENT[1])
    size, now = Decimal(str(step)), Decimal(str(load))
    wanted = now * (1 + Decimal(str(percent)) / 100)
    return float((wanted / size).to_integral_value(ROUND_FLOOR) * size)
