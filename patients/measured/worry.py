"""The short scale of worry about falling over time: seven activities, each answered 1 to 4.

The scale is the Short FES-I (Kempen 2008). Its wording belongs to its makers: what stands
here only says which activity an answer is about. No rule reads it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from patients.measured.function_tests import Concern, short_fes_i
from patients.measured.series import Point, Series

TITLE = "Worry about falling, 7 to 28"
#: The activities, in the order in which the scale asks about them (order from memory, to be
#: confirmed); the labels are our own.
ITEMS: Mapping[str, str] = MappingProxyType(
    {
        "clothes": "clothes on and off",
        "wash": "bath or shower",
        "chair": "chair: down and up",
        "stairs": "stairs",
        "reach": "reaching high or low",
        "slope": "a slope",
        "company": "out among people",
    }
)
LEAST, MOST = 1, 4
LICENCE = (
    "Ask with the clinic’s own copy of the Short FES-I, for which it must have permission from its "
    "makers. The words here only say which answer goes where."
)
SOURCE = (
    "Short FES-I: Kempen 2008, PMID 18032400. Bands low 7 to 8, moderate 9 to 13, high 14 to "
    "28: Delbaere 2010, from memory, to be confirmed. One blank is filled in from the other six "
    "and rounded up, from memory, to be confirmed. No change that counts is known for one "
    "person. No rule reads the scale."
)


@dataclass(frozen=True)
class Answered:
    """The seven answers of a day; None is a blank."""

    on: dt.date
    answers: tuple[int | None, ...]

    @property
    def blanks(self) -> int:
        """Return how many are blank."""
        return self.answers.count(None)

    @property
    def concern(self) -> Concern | None:
        """Return total and band; None where more than one is blank."""
        return short_fes_i(self.answers)

    @property
    def words(self) -> str:
        """Return the result in words, as "12 of 28, moderate"."""
        found = self.concern
        if found is None:
            return f"no total, {self.blanks} of {len(self.answers)} not answered"
        filled_in = ", one blank filled in" if found.prorated else ""
        return f"{found.total} of {MOST * len(ITEMS)}, {found.band}{filled_in}"


def worry_series(days: Sequence[Answered]) -> Series | None:
    """Return the totals over time, the days oldest first; None where there is none.

    No error stands around the first, for no change that counts is known.
    """
    points = tuple(Point(day.on, day.concern.total) for day in days if day.concern is not None)
    if not points:
        return None
    return Series(
        measure="worry",
        label=TITLE[0].lower() + TITLE[1:],
        unit="",
        decimals=0,
        points=points,
        baseline=points[0],
        band=None,
        against_baseline=None,
        against_last=None,
        cautions=(),
    )
