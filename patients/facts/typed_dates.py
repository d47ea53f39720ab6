"""Dates as people type them in a form: 14 Mar 1959, 14.03.1959, 1959/3/14, March 1959, 1959.

Files and documents stay year first. Where day and month could be either, as in 03/04/1959, the
order is asked with both readings in words; nothing else is.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from patients.facts.partial_dates import DAY, Span, parse_span
from patients.facts.units import YEARS, NotADate, clean_text

MONTHS = (
    *("january", "february", "march", "april", "may", "june", "july", "august"),
    *("september", "october", "november", "december"),
)
#: Fewest letters that tell a month from all others, where a person shortens it.
_SHORTEST = 3
HOW = "Write the date like 14 Mar 1959, 14.03.1959 or 1959-03-14."
HOW_PARTLY = f"{HOW[:-1]}; or March 1959, or 1959, where no more is known."

_YEAR = r"(?P<year>[0-9]{4})"
_NAME = r"(?P<name>[a-z]{3,9})\.?"
_DAY = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?"
_GAP = r"[ ,.\-/]*"
_NAMED = tuple(
    re.compile(pattern)
    for pattern in (
        f"{_DAY}{_GAP}(?:of )?{_NAME}{_GAP}{_YEAR}",
        f"{_NAME}{_GAP}{_DAY}[ ,.\\-/]+{_YEAR}",
        f"{_YEAR}{_GAP}{_NAME}{_GAP}{_DAY}",
        f"{_NAME}{_GAP}{_YEAR}",
        f"{_YEAR}{_GAP}{_NAME}",
    )
)
_YEAR_FIRST = re.compile(r"([0-9]{4})(?: ?([-./]) ?([0-9]{1,2})(?: ?\2 ?([0-9]{1,2}))?)?")
_YEAR_LAST = re.compile(r"([0-9]{1,2}) ?([-./]) ?([0-9]{1,2}) ?\2 ?([0-9]{4})")
_MONTH_AND_YEAR = re.compile(r"([0-9]{1,2}) ?[-./] ?([0-9]{4})")
_EIGHT = re.compile(r"([0-9]{4})([0-9]{2})([0-9]{2})")
_SHORT_YEAR = re.compile(r"([0-9]{1,2}[-./ ]){1,2}[0-9]{1,2}|[0-9]{1,2} ?[a-z.]{3,10} ?[0-9]{1,2}")


def parse_typed_span(text: str) -> Span:
    """Return the days that a typed date can mean; raises units.NotADate."""
    return _read(text, HOW_PARTLY)


class EstimatedYear(Span):
    """A year of birth that was worked out from an age somebody told, or is itself a guess."""


def parse_birth(text: str, today: dt.date) -> Span:
    """Return the days on which somebody may be born, from a date or from "about 70".

    An age, or a year with "about" before it, gives an EstimatedYear. Of an age it is this year
    less the age, so that the age told is the greatest that she can have: what begins at an age
    (75, 80) begins by it, and what ends at one (18) reads one year less.
    Raises units.NotADate.
    """
    plain = " ".join(clean_text(text).translate(_DASHES).lower().split())
    found = _ABOUT.fullmatch(plain)
    if found is None and _AGE.fullmatch(plain):
        raise NotADate(f"If an age is all that is known, write it like “about {plain}”.")
    if found is None:
        return parse_typed_span(text)
    told = int(found["number"])
    span = parse_span(f"{told if told >= YEARS[0] else today.year - told:04}")
    return EstimatedYear(span.first, span.last, span.known)


#: A bare age: it may be a slip of a year, so it is asked about.
_AGE = re.compile(r"[0-9]{1,3}(?: ?(?:years?|yrs?|y)(?: old)?)?")
#: "about 70", "~ 70", "about 70 years old", "about 1956"; a bare 70 is none.
_ABOUT = re.compile(
    r"(?:(?:about|approx\.?|approximately|around|circa|ca?\.?|roughly|~) ?"
    r"(?P<number>[0-9]{1,3}|[12][0-9]{3})(?: ?(?:years?|yrs?|y)(?: old)?)?)"
)


def parse_typed_day(text: str) -> dt.date:
    """Return the one day that was typed; raises units.NotADate, for a month or a year too."""
    span = _read(text, HOW)
    if span.known != DAY:
        raise NotADate(f"The day is needed too. {HOW}")
    return span.first


def span_words(span: Span) -> str:
    """Return a span for reading, in full: 14 March 1959, March 1959, 1959, or about 1956."""
    if isinstance(span, EstimatedYear):
        return f"born about {span.first:%Y}, a year estimated from the age"
    return f"{span.first:{_FORMATS[span.known]}}"


_FORMATS: Mapping[str, str] = MappingProxyType({DAY: "%-d %B %Y", "month": "%B %Y", "year": "%Y"})


def _read(text: str, how: str) -> Span:
    plain = " ".join(clean_text(text).translate(_DASHES).lower().split())
    for reader in _READERS:
        found = reader(plain)
        if found is not None:
            return parse_span(found)
    if _SHORT_YEAR.fullmatch(plain):
        raise NotADate("Write the year with four figures, like 14 Mar 1959.")
    raise NotADate(how)


_DASHES = str.maketrans(
    dict.fromkeys("\u2010\u2011\u2012\u2013\u2212\uff0d", "-")
    | {chr(0xFF10 + figure): str(figure) for figure in range(10)}
    | {"\uff0e": ".", "\uff0f": "/"}
)


def _iso(year: str, month: int | str | None = None, day: int | str | None = None) -> str:
    parts = [f"{int(part):02}" for part in (month, day) if part is not None]
    return "-".join([year, *parts])


def _year_first(plain: str) -> str | None:
    found = _YEAR_FIRST.fullmatch(plain)
    return None if found is None else _iso(found[1], found[3], found[4])


def _eight_figures(plain: str) -> str | None:
    found = _EIGHT.fullmatch(plain)
    if found is None:
        return None
    # Eight figures that can also be read day first are no date that can be read with certainty.
    if not YEARS[0] <= int(found[1]) <= YEARS[1] or YEARS[0] <= int(plain[4:]) <= YEARS[1]:
        raise NotADate(HOW)
    return _iso(found[1], found[2], found[3])


def _month_and_year(plain: str) -> str | None:
    found = _MONTH_AND_YEAR.fullmatch(plain)
    return None if found is None else _iso(found[2], found[1])


def _named(plain: str) -> str | None:
    for pattern in _NAMED:
        found = pattern.fullmatch(plain)
        if found and (month := _month(found["name"])):
            return _iso(found["year"], month, found.groupdict().get("day"))
    return None


def _month(name: str) -> int:
    """Return the number of the month that a name begins; 0 where none does."""
    name = {"sept": "sep"}.get(name, name)
    begun = [n for n, month in enumerate(MONTHS, start=1) if month.startswith(name)]
    return begun[0] if len(begun) == 1 and len(name) >= _SHORTEST else 0


def _year_last(plain: str) -> str | None:
    found = _YEAR_LAST.fullmatch(plain)
    if found is None:
        return None
    first, sign, second, year = int(found[1]), found[2], int(found[3]), found[4]
    # With points the day always stands first (common practice); with strokes it may be either.
    if sign == "." or first == second or first > 12 or 0 in (first, second):
        return _iso(year, second, first)
    if second > 12:
        return _iso(year, first, second)
    raise NotADate(_two_readings(plain, first, second, year))


def _two_readings(plain: str, first: int, second: int, year: str) -> str:
    """Return the question which of the two days a date is."""
    orders = ((first, second), (second, first))
    words = [f"{day} {MONTHS[month - 1][:3].capitalize()} {year}" for day, month in orders]
    return f"“{plain}” can be two days. Write {' or '.join(words)}."


_READERS: tuple[Callable[[str], str | None], ...] = (
    _year_first,
    _eight_figures,
    _month_and_year,
    _year_last,
    _named,
)
