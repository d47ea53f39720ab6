"""A day of which perhaps only the month or the year is known, such as that of an old fracture.

Rules read one day. It is the latest of the span, so that a broken bone is never taken for
older than it may be.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from types import MappingProxyType

from patients.ages import add_months
from patients.units import NotADate, clean_text, parse_date_text

DAY, MONTH, YEAR = "day", "month", "year"
#: What of a date is known.
KNOWN = MappingProxyType({DAY: "day, month and year", MONTH: "month and year", YEAR: "year only"})

_PARTS = MappingProxyType({4: YEAR, 7: MONTH, 10: DAY})
_SPAN = re.compile(r"[0-9]{4}(-[0-9]{2}){0,2}")


@dataclass(frozen=True)
class Span:
    """The first and the last day on which it may have been, both inside, and what is known."""

    first: dt.date
    last: dt.date
    known: str

    def until(self, day: dt.date) -> dt.date:
        """Return the latest day of the span that is not after this one.

        A span that only begins afterwards gives its first day, so that it is still refused.
        """
        return max(self.first, min(self.last, day))

    def overlaps(self, other: Span) -> bool:
        """Tell whether both may be the same day."""
        return self.first <= other.last and other.first <= self.last


def parse_span(text: str) -> Span:
    """Return the span typed as "2011", "2011-05" or "2011-05-03"; raises units.NotADate."""
    plain = clean_text(text)
    if not _SPAN.fullmatch(plain):
        raise NotADate("Write the date like 2011, 2011-05 or 2011-05-03.")
    known = _PARTS[len(plain)]
    first = parse_date_text(plain + "-01" * {YEAR: 2, MONTH: 1, DAY: 0}[known])
    return Span(first, _last(first, known), known)


def kept_span(day: dt.date, known: str) -> Span:
    """Return the span of which the latest day is kept."""
    first = {YEAR: day.replace(month=1, day=1), MONTH: day.replace(day=1), DAY: day}[known]
    return Span(first, day, known)


def typed_span(day: dt.date, known: str) -> str:
    """Return a kept day as it was typed."""
    return day.isoformat()[: {YEAR: 4, MONTH: 7, DAY: 10}[known]]


def span_text(day: dt.date, known: str) -> str:
    """Return a kept day for reading, and what is not known of it: "2011 (year only)"."""
    if known == YEAR:
        return f"{day.year} (year only)"
    return f"{day:%b %Y} (month only)" if known == MONTH else f"{day.day} {day:%b %Y}"


def _last(first: dt.date, known: str) -> dt.date:
    if known == DAY:
        return first
    return add_months(first, 12 if known == YEAR else 1) - dt.timedelta(days=1)
