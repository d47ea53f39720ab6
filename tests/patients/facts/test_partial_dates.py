"""Dates of which only the month or the year is known."""

import copy
import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.partial_dates import (
    FIRST,
    KNOWN,
    LAST,
    Told,
    ages_on,
    kept_span,
    known_of,
    parse_span,
    span_text,
    told_day,
    told_text,
    told_words,
    typed_span,
)
from patients.facts.units import NotADate

D = dt.date.fromisoformat


@pytest.mark.parametrize(
    ("text", "first", "last", "known"),
    [
        ("2011", "2011-01-01", "2011-12-31", "year"),
        (" 2012-02 ", "2012-02-01", "2012-02-29", "month"),
        ("2011-12", "2011-12-01", "2011-12-31", "month"),
        ("2011-05-03", "2011-05-03", "2011-05-03", "day"),
    ],
)
def test_read_as_typed(text, first, last, known):
    span = parse_span(text)
    assert (span.first, span.last, span.known) == (D(first), D(last), known)
    assert typed_span(span.last, known) == text.strip()


@pytest.mark.parametrize("text", ["", "11", "05/2011", "2011-5", "2011-05-03-01", "about 2011"])
def test_another_order_is_refused(text):
    with pytest.raises(NotADate, match="like 2011, 2011-05 or 2011-05-03"):
        parse_span(text)


@pytest.mark.parametrize(
    ("text", "why"),
    [("2011-13", "calendar"), ("2011-02-30", "calendar"), ("1811", "Check the year")],
)
def test_no_such_day(text, why):
    with pytest.raises(NotADate, match=why):
        parse_span(text)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2011", "2011-12-31"),
        ("2026", "2026-03-02"),  # it cannot be later than the day of the entry
        ("2026-03", "2026-03-02"),
        ("2026-02", "2026-02-28"),
        ("2026-04", "2026-04-01"),  # still after the day, so still refused
        ("2027", "2027-01-01"),
        ("2026-03-03", "2026-03-03"),
    ],
)
def test_the_latest_day_that_is_not_after_the_entry(text, day):
    assert parse_span(text).until(D("2026-03-02")) == D(day)


@given(
    broke=st.dates(dt.date(1950, 1, 1), dt.date(2026, 3, 2)),
    size=st.sampled_from([4, 7, 10]),
)
def test_never_read_as_older_than_it_is(broke, size):
    """A fracture typed by year or month is kept on a day no earlier than it broke."""
    kept = parse_span(broke.isoformat()[:size]).until(dt.date(2026, 3, 2))
    assert broke <= kept <= dt.date(2026, 3, 2)


@pytest.mark.parametrize(
    ("day", "known", "text"),
    [
        ("2011-12-31", "year", "2011 (year only)"),
        ("2011-05-31", "month", "May 2011 (month only)"),
        ("2011-05-03", "day", "3 May 2011"),
    ],
)
def test_said(day, known, text):
    assert span_text(D(day), known) == text
    assert known in KNOWN


@pytest.mark.parametrize(
    ("kept", "typed", "may_be_one"),
    [
        (("2011-12-31", "year"), "2011-05", True),
        (("2011-12-31", "year"), "2012", False),
        (("2011-12-31", "year"), "2010-12-31", False),
        (("2011-05-31", "month"), "2011-05-01", True),
        (("2011-05-31", "month"), "2011-04-30", False),
        (("2011-05-03", "day"), "2011", True),
        (("2011-05-03", "day"), "2011-05-04", False),
        (("2026-03-02", "year"), "2026-03-03", False),
    ],
)
def test_which_may_be_the_same_day(kept, typed, may_be_one):
    day, known = kept
    assert kept_span(D(day), known).overlaps(parse_span(typed)) is may_be_one


def test_a_copy_of_a_told_date_knows_what_was_told():
    told = copy.deepcopy(Told(2019, 12, 31, "year"))
    assert (told, told_text(told), told_words(told)) == (
        dt.date(2019, 12, 31),
        "2019",
        "2019 (year only)",
    )
    assert known_of(told + dt.timedelta(days=1)) == "day"


def test_a_told_date_is_read_on_its_careful_side():
    latest = dt.date(2026, 3, 2)
    assert told_day(parse_span("2026"), LAST, latest) == latest
    assert told_day(parse_span("2026"), FIRST, latest) == dt.date(2026, 1, 1)
    assert told_day(parse_span("2019-05"), LAST, latest) == dt.date(2019, 5, 31)
    assert told_day(parse_span("2019"), LAST, None) == dt.date(2019, 12, 31)


def test_the_ages_that_a_year_of_birth_can_mean():
    day = dt.date(2026, 3, 2)
    assert ages_on(Told(1946, 1, 1, "year"), day) == (79, 80)
    assert ages_on(Told(2026, 1, 1, "year"), day) == (0, 0)
    assert ages_on(dt.date(1946, 3, 2), day) == (80, 80)
