"""What a search asks for: words of a name or record number, a date of birth in any clear form."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from patients.facts.partial_dates import DAY, MONTH, YEAR, Span, first_span
from patients.names import fold

#: Of a text longer than this the rest is not read, nor words beyond so many (project choice).
LONGEST, MOST_WORDS = 200, 8
#: An id has fewer figures than this.
_ID_FIGURES = 12
_MONTHS = (
    *("january", "february", "march", "april", "may", "june", "july"),
    *("august", "september", "october", "november", "december"),
)
_NOT_WITHIN = r"(?<![0-9a-z]){}(?![0-9a-z])"


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One way to read what was typed.

    words   each of them stands in a name or in the record number
    spans   she was born in one of them; where there are none, at any time
    """

    words: tuple[str, ...]
    spans: tuple[Span, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What was typed, read in each way in which it can be; `number` may be an id."""

    readings: tuple[Reading, ...]
    number: int | None = None


def asked_for(typed: str) -> Asked:
    """Return what a text asks for; whatever it holds, it is read as plain text."""
    text = unicodedata.normalize("NFKC", typed)[:LONGEST].casefold()
    plain = _words(text)
    found = [Reading(words=plain)] if plain else []
    for words, spans in _dated(text):
        if spans:
            found.insert(0, Reading(words=_words(words), spans=spans))
    alone = text.strip()
    is_id = alone.isascii() and alone.isdigit() and len(alone) < _ID_FIGURES
    return Asked(readings=tuple(found), number=int(alone) if is_id else None)


def _words(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(fold(text).split()))[:MOST_WORDS]


def _dated(text: str) -> Iterator[tuple[str, tuple[Span, ...]]]:
    """Yield the text without a date in it and that date's spans, the clearest form last."""
    with_word = re.search(r"(?<![0-9])(1[89]|20)[0-9]{2}(?![0-9])", text)
    matched = next(((m, read) for form, read in _FORMS if (m := form.search(text))), None)
    parts = matched[0].groupdict() if matched is not None else {}
    month_alone = "name" in parts and "day" not in parts
    if with_word is not None and (matched is None or month_alone):
        # "April 1959" may also be somebody called April.
        yield _without(text, with_word), _year(with_word)
    if matched is not None:
        yield _without(text, matched[0]), matched[1](matched[0])


def _without(text: str, matched: re.Match[str]) -> str:
    return f"{text[: matched.start()]} {text[matched.end() :]}"


def _spans(known: str, *typed: tuple[int, int, int]) -> tuple[Span, ...]:
    """Return a span for each year, month and day that there is."""
    found: dict[Span, None] = {}
    for year, month, day in typed:
        try:
            found[first_span(dt.date(year, month, day), known)] = None
        except (ValueError, OverflowError):
            continue
    return tuple(found)


def _year(matched: re.Match[str]) -> tuple[Span, ...]:
    return _spans(YEAR, (int(matched[0]), 1, 1))


def _years(figures: str) -> tuple[int, ...]:
    """Return the year; of two figures alone it may be of either century."""
    return (int(figures),) if len(figures) == 4 else (1900 + int(figures), 2000 + int(figures))


def _iso(matched: re.Match[str]) -> tuple[Span, ...]:
    year, month, day = map(int, matched.groups())
    return _spans(DAY, (year, month, day))


def _either_order(matched: re.Match[str]) -> tuple[Span, ...]:
    one, other, figures = int(matched[1]), int(matched[2]), matched[3]
    orders = ((one, other), (other, one))
    return _spans(DAY, *((year, m, d) for year in _years(figures) for d, m in orders))


def _eight(matched: re.Match[str]) -> tuple[Span, ...]:
    text = matched[0]
    year_last = int(text[4:]), int(text[2:4]), int(text[:2])
    return _spans(DAY, (int(text[:4]), int(text[4:6]), int(text[6:])), year_last)


def _month_year(matched: re.Match[str]) -> tuple[Span, ...]:
    return _spans(MONTH, (int(matched["year"]), int(matched["month"]), 1))


def _named(matched: re.Match[str]) -> tuple[Span, ...]:
    month = next(n for n, name in enumerate(_MONTHS, 1) if name.startswith(matched["name"][:3]))
    day = matched.groupdict().get("day")
    if day is None:
        return _spans(MONTH, (int(matched["year"]), month, 1))
    return _spans(DAY, *((year, month, int(day)) for year in _years(matched["year"])))


_NAME = r"(?P<name>{})\.?".format("|".join(f"{m}|{m[:4]}|{m[:3]}" for m in _MONTHS))
_DAY = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?"
_SEPARATED = r"[ ,./-]*(?:of )?"
_FORMS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], tuple[Span, ...]]], ...] = tuple(
    (re.compile(_NOT_WITHIN.format(form)), read)
    for form, read in (
        (r"([0-9]{4})[ ./-]([0-9]{1,2})[ ./-]([0-9]{1,2})", _iso),
        (r"([0-9]{1,2})[ ./-] ?([0-9]{1,2})[ ./-] ?([0-9]{4}|[0-9]{2})", _either_order),
        (_DAY + _SEPARATED + _NAME + _SEPARATED + "(?P<year>[0-9]{4}|[0-9]{2})", _named),
        (_NAME + _SEPARATED + _DAY + "[ ,]+(?P<year>[0-9]{4})", _named),
        (_NAME + _SEPARATED + "(?P<year>[0-9]{4})", _named),
        (r"(?P<month>[0-9]{1,2})[ ./-](?P<year>[0-9]{4})", _month_year),
        (r"(?P<year>[0-9]{4})[ ./-](?P<month>[0-9]{1,2})", _month_year),
        (r"[0-9]{8}", _eight),
        (r"(?:1[89]|20)[0-9]{2}", _year),
    )
)
