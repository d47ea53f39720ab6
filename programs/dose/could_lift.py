"""How hard one set is: could-lift, percent, repetitions, reserve, 1RM and kg from one another.

Could-lift N is how often a weight could be lifted at most (rulebook row 19a). Whatever a page,
a paper or the drafter tells of a set comes from here, so that no two of them disagree.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from itertools import pairwise

#: Repetitions to fatigue from which a 1RM follows (Kemmler and others, J Strength Cond Res
#: 2006;20:838, trained women of 57 after menopause).
EQUATION_REPS = (3, 20)
#: Beyond the equation a straight line through these (project choice, for the clinic to confirm).
BEYOND = ((20, 67.0), (25, 60.0), (30, 55.0))
MOST = BEYOND[-1][0]
#: Over this nobody can feel how often a weight would go; effort is told in words instead.
FELT_TO = 20

#: The classic chart (public coaching pages, 1 to 12; 15 from memory, to be confirmed).
_CLASSIC = (
    (3, 93.0),
    (4, 90.0),
    (5, 87.0),
    (6, 85.0),
    (7, 83.0),
    (8, 80.0),
    (9, 77.0),
    (10, 75.0),
    (11, 73.0),
    (12, 70.0),
    (15, 65.0),
)
#: What other equations make of 25 and of 30, least and most (rulebook row 19a).
_OTHERS = {25: (57.0, 63.0), 30: (50.0, 60.0)}
_LOWEST = (*_CLASSIC, (25, _OTHERS[25][0]), (30, _OTHERS[30][0]))
_HIGHEST = ((20, 67.0), (25, _OTHERS[25][1]), (30, _OTHERS[30][1]))


def factor(reps: int) -> float | None:
    """Return the 1RM as a multiple of a load lifted so often to fatigue; None outside 3 to 20."""
    low, high = EQUATION_REPS
    if not low <= reps <= high:
        return None
    return 0.988 + 0.0104 * reps + 0.00190 * reps**2 - 0.0000584 * reps**3


def one_rm_kg(kg: float, reps: int) -> float | None:
    """Return the one-repetition maximum of a set lifted to fatigue, in kg; None outside 3 to 20."""
    found = factor(reps)
    return None if found is None else kg * found


@cache
def percent_of(could_lift: int) -> int:
    """Return P(N), the percent of the 1RM of a weight that could be lifted N times.

    Raises ValueError outside 3 to 30.
    """
    found = factor(could_lift)
    return round(_between(BEYOND, could_lift) if found is None else 100 / found)


@lru_cache(maxsize=256)
def floor_of(percent: float) -> int:
    """Return the smallest N whose percent keeps within a ceiling.

    Raises ValueError for a ceiling below that of the largest N.
    """
    for could_lift in range(EQUATION_REPS[0], MOST + 1):
        if percent_of(could_lift) <= percent:
            return could_lift
    raise ValueError(f"no weight of {percent:g} % of the maximum is drafted")


@dataclass(frozen=True, kw_only=True)
class Reading:
    """Percent of the 1RM of one N as different equations read it, whole numbers.

    percent       the deciding equation
    low, high     the band over the readings
    about         no equation holds: a straight line
    """

    percent: int
    low: int
    high: int
    about: bool


def reading_of(could_lift: int) -> Reading:
    """Return the percent of an N with the band of the other readings. Raises ValueError as P(N)."""
    percent = percent_of(could_lift)
    others = [round(_between(_LOWEST, could_lift))]
    if could_lift > FELT_TO:
        others.append(round(_between(_HIGHEST, could_lift)))
    return Reading(
        percent=percent,
        low=min(percent, *others),
        high=max(percent, *others),
        about=could_lift > FELT_TO,
    )


@dataclass(frozen=True, kw_only=True)
class Effort:
    """A set: repetitions done of a weight that could be lifted `could_lift` times."""

    reps: int
    could_lift: int

    @property
    def percent_1rm(self) -> int:
        """Return the percent of the 1RM."""
        return percent_of(self.could_lift)

    @property
    def reps_in_reserve(self) -> int:
        """Return the repetitions left when the set is over."""
        return self.could_lift - self.reps

    @classmethod
    def with_reserve(cls, reps: int, left: int) -> Effort:
        """Return the set that stops with so many left."""
        return cls(reps=reps, could_lift=reps + left)

    @classmethod
    def within_percent(cls, reps: int, percent: float) -> Effort:
        """Return the heaviest set that keeps within a percent of the 1RM."""
        return cls(reps=reps, could_lift=floor_of(percent))

    def load_kg(self, one_rm: float, step_kg: float) -> float | None:
        """Return the load in whole steps of the equipment, rounded down, in kg.

        None where even one step is more than that: nothing at all would be no lift.
        """
        return down_to_step(one_rm * self.percent_1rm / 100, step_kg) or None


def could_lift_of(kg: float, one_rm: float) -> int | None:
    """Return how often a load could be lifted, 30 at most: the largest N of no lighter weight.

    None where the load is heavier than any that can be lifted three times.
    """
    percent = round(kg / one_rm * 100, 6)
    numbers = range(EQUATION_REPS[0], MOST + 1)
    return max((n for n in numbers if percent_of(n) >= percent), default=None)


@lru_cache(maxsize=1024)
def down_to_step(kg: float, step_kg: float) -> float:
    """Return kilograms rounded down to whole steps of the equipment."""
    step = Decimal(str(step_kg))
    return float(math.floor(Decimal(str(round(kg, 6))) / step) * step)


def _between(points: tuple[tuple[int, float], ...], at: int) -> float:
    """Return the straight line through the points. Raises ValueError outside them."""
    for (left, low), (right, high) in pairwise(points):
        if left <= at <= right:
            return low + (high - low) * (at - left) / (right - left)
    raise ValueError(f"could-lift is {at}, it must be {EQUATION_REPS[0]} to {MOST}")
