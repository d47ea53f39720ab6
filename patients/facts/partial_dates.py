"""A day of which perhaps only the month or the year is known, such as that of an old fracture.

Rules read one day, on the careful side of what was told: a broken bone, an operation, a birth or
a stone is never taken for older than it may be; an image, a last dose or a set lifted to fatigue
is never taken for newer.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from types import MappingProxyType

from patients.facts.ages import add_months, age_on
from patients.facts.units import NotADate, clean_text, parse_date_text

DAY, MONTH, YEAR = "day", "month", "year"
#: The side of its span on which a told date is read.
FIRST, LAST = "first", "last"
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


class Told(dt.date):
    """A date of which no more than the month or the year was told; itself the day that is read."""

    known: str

    def __new__(cls, year: int, month: int, day: int, known: str = DAY) -> Told:
        """Return the day with what is known of it; DAY where it was worked out from another."""
        made = super().__new__(cls, year, month, day)
        made.known = known
        return made

    def __reduce__(self) -> tuple[type[Told], tuple[int, int, int, str]]:
        """Return what a copy is made of."""
        return type(self), (self.year, self.month, self.day, self.known)


def told_day(span: Span, read_as: str, latest: dt.date | None) -> dt.date:
    """Return the day that a span is read as, FIRST or LAST; the last is never after `latest`."""
    day = span.first if read_as == FIRST else span.last if latest is None else span.until(latest)
    return day if span.known == DAY else Told(day.year, day.month, day.day, span.known)


def known_of(day: dt.date) -> str:
    """Return what is known of a date."""
    return day.known if isinstance(day, Told) else DAY


def span_of(day: dt.date) -> Span:
    """Return the days on which it may have been."""
    return parse_span(told_text(day)) if known_of(day) != DAY else Span(day, day, DAY)


def told_text(day: dt.date) -> str:
    """Return a date as it was told: 2011, 2011-05 or 2011-05-03."""
    return typed_span(day, known_of(day))


def told_words(day: dt.date) -> str:
    """Return a date for reading: 2011 (year only), May 2011 (month only) or 3 May 2011."""
    return span_text(day, known_of(day))


def ages_on(born: dt.date, day: dt.date) -> tuple[int, int]:
    """Return the least and the greatest age in whole years that a date of birth can mean."""
    span = span_of(born)
    return age_on(span.until(day), day), age_on(span.first, day)


def kept_span(day: dt.date, known: str) -> Span:
    """Return the span of which the latest day is kept."""
    first = {YEAR: day.replace(month=1, day=1), MONTH: day.replace(day=1), DAY: day}[known]
    return Span(first, day, known)


def first_span(day: dt.date, known: str) -> Span:
    """Return the span of which the first day is kept."""
    return Span(day, _last(day, known), known)


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
