"""A published program as the map has it: how much load, how often, and what was found where."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from programs.plates.evidence.trial import Checked, Direction

#: Where a finding counts, as the map names it.
SITES: Mapping[str, str] = {"hip": "hip", "spine": "lumbar spine"}


@dataclass(frozen=True, kw_only=True)
class Found:
    """What was found at one place, against whoever did not do it."""

    direction: Direction
    effect: str


@dataclass(frozen=True, kw_only=True)
class Span:
    """An amount from its lowest to its highest reading."""

    low: float
    high: float

    @property
    def words(self) -> str:
        """Return it to two figures."""
        low, high = rounded(self.low), rounded(self.high)
        return low if low == high else f"{low} to {high}"


@dataclass(frozen=True, kw_only=True)
class Published:
    """One program, or one arm of a trial.

    source    how it is found, where that is more than its citation
    did       what was asked of the people, with load and count
    amount    load times count over the whole trial; None where a part of it was not read
    lacks     what was not read, where there is no amount
    sham      what the others did, where they were on a machine or task that looked the same
    by_site   what was found, by "hip" and "spine"; nothing: not measured, or not read
    """

    key: str
    citation: str
    source: str
    known: Checked
    who: str
    people: int | None
    did: str
    months: float | None
    by_site: Mapping[str, Found]
    amount: Span | None = None
    lacks: str = ""
    sham: str = ""
    note: str = ""

    def found(self, site: str) -> Found | None:
        """Return what it found at a place; None where it has no result there."""
        said = self.by_site.get(site)
        return None if said is None or said.direction is Direction.NOT_READ else said


def rounded(value: float) -> str:
    """Return an amount to two figures: nothing on the map is known better."""
    if value < 1:
        return f"{value:.2g}"
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return f"{round(value / step) * step:,.0f}"
