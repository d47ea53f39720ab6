"""Impact in one bout a day or in two, by the index of the week: a planning number, no more.

Both figures come from work on animals; no trial in people is cited. The index says which of two
ways to spend the same impacts may be worth more, never how much bone it brings.
"""

from __future__ import annotations

import math

from programs.dose.impact import IMPACTS_A_SET
from safety.sources import cite

#: Hours after which bone answers in full again (Robling and others 2001, rats).
LEAST_GAP_H = 8.0
#: The time in which bone regains 63 % of its answer (Turner and Robling 2003), from memory.
REGAINED_IN_H = 6.0
SOURCES = cite("turner2003", "robling2001")


def far_enough(hours: float) -> bool:
    """Tell whether two bouts so many hours apart may be planned."""
    return hours >= LEAST_GAP_H


def regained(hours: float) -> float:
    """Return the share of its answer that bone has regained after so many hours: 0 to 1."""
    return 1 - math.exp(-max(hours, 0.0) / REGAINED_IN_H)


def index_of_one(force_bw: float, contacts: float) -> float:
    """Return the index of a day with one bout, of a leg or of the whole body."""
    return force_bw * math.log(contacts + 1)


def index_of_two(force_bw: float, contacts: tuple[float, float], hours: float) -> float:
    """Return the index of a day with two bouts: the first in full, of the second what counts."""
    first, second = (index_of_one(force_bw, count) for count in contacts)
    return first + second * regained(hours)


def in_two(impacts: int) -> tuple[int, int]:
    """Return the count shared over two bouts in whole sets of ten, the larger first.

    Whole sets, so that two bouts take no minute more than one. The second is empty where
    there is a single set.
    """
    sets = math.ceil(impacts / IMPACTS_A_SET)
    first = min(impacts, math.ceil(sets / 2) * IMPACTS_A_SET)
    return first, impacts - first
