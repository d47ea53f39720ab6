"""Which true changes of a marker or a function test are seen, in words and as a picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patients.facts.units import show_number
from patients.measured.chance_chart import size_chart
from patients.measured.chance_of_change import Seen


@dataclass(frozen=True)
class SeenRow:
    """One direction in words, each size with its unit."""

    label: str
    half: str
    four_in_five: str
    twice: str
    by_chance: str


@dataclass(frozen=True)
class SeenBlock:
    """Which changes of one measure are seen: the rows, the picture, whose error it rests on."""

    label: str
    rows: tuple[SeenRow, ...]
    picture: str
    source: str


def seen_block(
    measure: str, label: str, found: Sequence[tuple[str, Seen]], unit: str, source: str
) -> SeenBlock:
    """Return one measure for reading; found names each direction.

    Sizes of tests have a decimal more than their results.
    """
    decimals = 0 if unit == "%" else 1
    return SeenBlock(
        label=label,
        rows=tuple(_row(direction, seen, unit, decimals) for direction, seen in found),
        picture=size_chart(found, f"seen-{measure}", unit),
        source=source,
    )


def _row(label: str, seen: Seen, unit: str, decimals: int) -> SeenRow:
    half, four_in_five, twice = (
        f"{show_number(size, decimals)}\u00a0{unit}"
        for size in (seen.half, seen.four_in_five, seen.twice)
    )
    return SeenRow(label, half, four_in_five, twice, by_chance(seen.by_chance))


def by_chance(share: float) -> str:
    """Return a small chance in words, as "about 3 in 100"."""
    of_hundred = round(100 * share)
    return f"about {of_hundred} in 100" if of_hundred else "less than 1 in 100"
