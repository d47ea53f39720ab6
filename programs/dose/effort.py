"""How hard a set was, when load goes up, and how to find a load without a test.

Two scales of 0 to 10 are in use and are not the same: repetitions in reserve counts what
was left, exertion tells how hard it felt. A field for one is never a field for the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from programs.dose.resistance import load_kg

RESERVE_SCALE = "Effort by repetitions left, 0 to 10"
EXERTION_SCALE = "Exertion, 6 to 20"
FELT_SCALE = "How hard it felt, 0 to 10"

#: One step up of a load, percent (American College of Sports Medicine 2009, MSSE 41:687).
STEP_PERCENT = (2.0, 10.0)
#: Repetitions above the goal, in that many sessions running, that let the load rise.
TWO_FOR_TWO = 2
TARGET_REPS = (8, 12)
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


@dataclass(frozen=True, kw_only=True)
class ExertionRow:
    """A stretch of the 6 to 20 scale in our words; the pairing with 0 to 10 is rough.

    felt   the like stretch of the 0 to 10 feeling scale, from memory, to be confirmed
    """

    low: int
    high: int
    words: str
    felt: tuple[int, int]


EXERTION_ROWS: tuple[ExertionRow, ...] = (
    ExertionRow(low=6, high=8, words="nothing to extremely light", felt=(0, 1)),
    ExertionRow(low=9, high=10, words="very light", felt=(2, 2)),
    ExertionRow(low=11, high=12, words="fairly light", felt=(3, 3)),
    ExertionRow(low=13, high=14, words="somewhat hard", felt=(4, 4)),
    ExertionRow(low=15, high=16, words="hard", felt=(5, 6)),
    ExertionRow(low=17, high=18, words="very hard", felt=(7, 7)),
    ExertionRow(low=19, high=19, words="extremely hard", felt=(8, 9)),
    ExertionRow(low=20, high=20, words="the most there is", felt=(10, 10)),
)


def reserve_row(effort: int) -> ReserveRow:
    """Return the row of an effort of 0 to 10. Raises ValueError outside."""
    if not 0 <= effort <= 10:
        raise ValueError(f"effort is {effort}, it must be 0 to 10")
    return RESERVE_ROWS[effort]


def exertion_row(score: int) -> ExertionRow:
    """Return the row of an exertion of 6 to 20. Raises ValueError outside."""
    for row in EXERTION_ROWS:
        if row.low <= score <= row.high:
            return row
    raise ValueError(f"exertion is {score}, it must be 6 to 20")


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


def verdict(reps: int, target: tuple[int, int] = TARGET_REPS) -> str:
    """Return what the repetitions of a set to fatigue say of its load.

    Over 12 too easy, under 8 too hard (Giangregorio 2014, Too Fit To Fracture).
    """
    low, high = target
    return "too easy" if reps > high else "too hard" if reps < low else "right"


FIND_A_LOAD = (
    "Choose a load that is surely light.",
    "Do the planned repetitions and stop there.",
    "Ask how many more would have gone with good form.",
    "Rest two minutes, and take the next load shown.",
    f"Stop after {MOST_TRIAL_SETS} sets; the last load with enough in reserve is the one.",
)
FIND_A_LOAD_NOTE = (
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


def warm_up_kg(working: float, step: float) -> float:
    """Return the load of the warm-up set, in kg, in whole steps of the equipment."""
    return load_kg(working, WARM_UP_PERCENT, step)
