"""Finding a person by any part of a name, date of birth, record number or id; a slip is forgiven.

Whatever is typed, a search takes no more than a set number of rows from an index, so that it
takes no longer where many people are on record.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from patients.asked_for import Asked, Reading
from patients.facts.partial_dates import DAY, MONTH, YEAR, Span
from patients.models.finding import CLOSED, JOINED, TRIGRAM, Findable, WordKey, containing, holding
from patients.models.patient import ERASED
from patients.names import SHORTEST_SLIPPED, keys_of, one_less, one_slip

#: People that one search finds at most; beyond, more is asked for (project choice).
MOST = 100
#: Rows of a page.
PAGE = 50
#: Words taken for what was meant by one that may be a slip (project choice).
_MOST_MEANT = 12

#: How each word asked for stands in those of a person: by itself, as a start, anywhere.
_Texts = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Found:
    """Whom a search finds, the likeliest first: each by the number of her record.

    joined  those that stand under another record
    more    there are more than it gives
    exact   so many of them as it was typed; those after differ by a slip. None: all of them
    """

    numbers: tuple[int, ...]
    joined: frozenset[int] = frozenset()
    more: bool = False
    exact: int | None = None


def found(asked: Asked, *, closed: bool = False) -> Found:
    """Return whom a search finds; who was closed only where asked for.

    Records that stand under another person's are among them: they lead to hers.
    """
    # Not by the states wanted: an index of them would be taken for a way to the rows.
    left_out = (ERASED,) if closed else (ERASED, CLOSED)
    rows = Findable.objects.exclude(state__in=left_out)
    typed, plainly = _typed(rows, asked)
    if len(typed) >= PAGE or plainly or not asked.readings:
        return _found(typed)
    meant = {word: names for word in _words(asked) if (names := _meant(word))}
    return _found({**typed, **_alike(rows, asked, meant, typed)}, typed)


def _found(states: Mapping[int, str], typed: Mapping[int, str] | None = None) -> Found:
    numbers = tuple(states)
    return Found(
        numbers=numbers[:MOST],
        joined=frozenset(n for n in numbers[:MOST] if states[n] == JOINED),
        more=len(numbers) > MOST,
        exact=None if typed is None else len(typed),
    )


def _typed(rows: QuerySet[Findable], asked: Asked) -> tuple[dict[int, str], bool]:
    """Return number and state of whom it was typed for: by id, by whole words, starts, parts.

    And whether somebody was named plainly, by two whole words or more: no slip is looked for.
    """
    states: dict[int, str] = {}
    if asked.number is not None:
        states |= dict(rows.filter(patient=asked.number).values_list("patient_id", "state"))
    ranked = {row for reading in asked.readings for row in _ranked(rows, reading)}
    # Sorted here: the database would have to find everybody first.
    for _, _, number, state in sorted(ranked):
        states.setdefault(number, state)
    several = any(len(reading.words) > 1 for reading in asked.readings)
    return states, several and any(rank == 0 for rank, *_ in ranked)


def _ranked(rows: QuerySet[Findable], reading: Reading) -> Iterator[tuple[int, str, int, str]]:
    """Yield rank, place in a list, number and state of each row that a reading finds."""
    rows_found = parts = _rows_of(rows, _part(reading), reading.spans)
    if len(parts) > MOST and reading.words:
        # Not all were looked at: the likeliest must be among them.
        named = _are_names(reading)
        rows_found = _rows_of(rows, _whole(reading), reading.spans) if named else []
        if len(rows_found) <= MOST:
            rows_found += _rows_of(rows, _start(reading), reading.spans)
        if len(rows_found) <= MOST:
            rows_found += parts
    for sort_key, number, state, words in rows_found:
        yield _rank(reading, words), sort_key, number, state


def _are_names(reading: Reading) -> bool:
    """Tell whether somebody may have each word whole: no index finds quickly that nobody has."""
    long = {word for word in reading.words if keys_of(word)}
    known = WordKey.objects.filter(key__in=long, word__in=long).values_list("word", flat=True)
    return long <= set(known)


def _rank(reading: Reading, words: str) -> int:
    if all(f" {word} " in words for word in reading.words):
        return 0
    return 1 if all(f" {word}" in words for word in reading.words) else 2


def _whole(reading: Reading) -> _Texts:
    return tuple((f" {word} ",) for word in reading.words)


def _start(reading: Reading) -> _Texts:
    return tuple((f" {word}",) for word in reading.words)


def _part(reading: Reading) -> _Texts:
    return tuple((w if len(w) >= TRIGRAM else f" {w}",) for w in reading.words)


def _alike(
    rows: QuerySet[Findable],
    asked: Asked,
    meant: Mapping[str, tuple[str, ...]],
    typed: Mapping[int, str],
) -> dict[int, str]:
    """Return number and state of those found with a slip put right, one at most in a word."""
    found: set[tuple[str, int, str]] = set()
    for reading in asked.readings:
        if not any(word in meant for word in reading.words):
            continue
        texts = tuple(
            tuple(f" {one} " for one in (word, *meant.get(word, ()))) for word in reading.words
        )
        found |= {row[:3] for row in _rows_of(rows, texts, reading.spans)}
    return {number: state for _, number, state in sorted(found) if number not in typed}


def _rows_of(
    rows: QuerySet[Findable], texts: _Texts, spans: tuple[Span, ...]
) -> list[tuple[str, int, str, str]]:
    """Return the first rows that hold one of each group of texts and are born in a span."""
    if spans:
        # By birth, whose index holds the words: fewer are born in a year than called alike.
        rows = rows.filter(born_within(spans))
        long: _Texts = ()
    else:
        long = tuple(group for group in texts if len(group[0]) >= TRIGRAM)
    if long:
        rows = rows.filter(holding(long))
    elif texts and not spans:
        rows = rows.filter(_begins(texts[0][0].strip()))
    rows = rows.filter(containing(tuple(group for group in texts if group not in long)))
    return list(rows.values_list("sort_key", "patient_id", "state", "words")[: MOST + 1])


def _begins(letter: str) -> Q:
    """Return the condition that the family name begins so, for the index of that column."""
    return Q(sort_key__gte=letter, sort_key__lt=chr(ord(letter) + 1))


def born_within(spans: tuple[Span, ...], of: str = "") -> Q:
    """Return the condition that she may be born in one of them.

    of   the way from the rows asked for to Findable, like "findable__"
    """
    asked = Q()
    for span in spans:
        asked |= Q(**{f"{of}born__range": (span.first, span.last)})
        if span.known == DAY:
            asked |= _known_as(of, span.first.replace(day=1), MONTH)
        asked |= _known_as(of, span.first.replace(month=1, day=1), YEAR)
    return asked


def _known_as(of: str, first: dt.date, known: str) -> Q:
    return Q(**{f"{of}born": first, f"{of}born_is": known})


def _words(asked: Asked) -> set[str]:
    return {word for reading in asked.readings for word in reading.words}


def _meant(word: str) -> tuple[str, ...]:
    """Return the words of names that this one may be a slip of."""
    if len(word) < SHORTEST_SLIPPED - 1 or not word.isalpha():
        return ()
    near = WordKey.objects.filter(key__in=one_less(word)).values_list("word", flat=True)
    return tuple(sorted({name for name in near if one_slip(word, name)}))[:_MOST_MEANT]
