"""Dates in a file: year first, or in an order that only a person can tell."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType

from patients.facts.units import NotADate, clean_text, parse_date_text

ORDERS = MappingProxyType({"day_first": "day first", "month_first": "month first"})
_NUMBERS = re.compile(r"([0-9]{1,2})([./-])([0-9]{1,2})\2([0-9]{4})")


@dataclass(frozen=True)
class DateCount:
    """How the dates of a file can be read.

    year_first   cells written year first
    others       cells of three numbers that are not
    day_first    how many of the others are a day when read day first
    month_first  and when read month first
    sample       up to three of the others
    """

    year_first: int
    others: int
    day_first: int
    month_first: int
    sample: tuple[str, ...]

    @property
    def in_doubt(self) -> bool:
        """Tell whether the order has to be asked."""
        return bool(self.sample)


def count(cells: Iterable[str]) -> DateCount:
    """Count both readings of all dates of a file."""
    filled = [text for cell in cells if (text := clean_text(cell))]
    other = [text for text in filled if _NUMBERS.fullmatch(text)]
    return DateCount(
        year_first=sum(_reads(text, None) for text in filled),
        others=len(other),
        day_first=sum(_reads(text, "day_first") for text in other),
        month_first=sum(_reads(text, "month_first") for text in other),
        sample=tuple(dict.fromkeys(other))[:3],
    )


def read_date(cell: str, order: str | None) -> str:
    """Return the ISO text of a date; raises NotADate.

    order tells how a date that does not begin with its year is read.
    """
    found = _NUMBERS.fullmatch(clean_text(cell))
    if found is None or order is None:
        return parse_date_text(cell).isoformat()
    day, month = (1, 3) if order == "day_first" else (3, 1)
    return parse_date_text(f"{found[4]}-{found[month]:0>2}-{found[day]:0>2}").isoformat()


def _reads(text: str, order: str | None) -> bool:
    try:
        read_date(text, order)
    except NotADate:
        return False
    return True
