"""Dates as people type them: each writing of one day, and what is asked or refused."""

import calendar
import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.partial_dates import MONTH, YEAR
from patients.facts.typed_dates import MONTHS, parse_typed_day, parse_typed_span, span_words
from patients.facts.units import NotADate, Unreadable
from tests.each import each

days = st.dates(dt.date(1900, 1, 1), dt.date(2199, 12, 31))
#: Writings that have one reading whatever the day: year first, day with a point, a month's name.
ONE_READING = (
    lambda d: d.isoformat(),
    lambda d: f"{d.year}/{d.month}/{d.day}",
    lambda d: f"{d.year}-{d.month}-{d.day}",
    lambda d: f"{d.day}.{d.month}.{d.year}",
    lambda d: f"{d.day:02}.{d.month:02}.{d.year}",
    lambda d: f"{d.day}. {calendar.month_name[d.month]} {d.year}",
    lambda d: f"{d.day} {calendar.month_abbr[d.month]} {d.year}",
    lambda d: f"{d.day}-{calendar.month_abbr[d.month].upper()}-{d.year}",
    lambda d: f"{calendar.month_name[d.month]} {d.day}, {d.year}",
    lambda d: f"{d.year} {calendar.month_abbr[d.month]} {d.day}",
    lambda d: f"{d.day}th of {calendar.month_name[d.month]} {d.year}",
)


@given(days, st.sampled_from(ONE_READING))
def test_every_writing_with_one_reading_gives_its_day(day, written):
    assert parse_typed_day(written(day)) == day


@given(days, st.sampled_from("/-"))
def test_strokes_are_asked_about_exactly_where_both_orders_are_days(day, sign):
    text = f"{day.day}{sign}{day.month}{sign}{day.year}"
    if day.day <= 12 and day.day != day.month:
        with pytest.raises(NotADate, match="can be two days") as asked:
            parse_typed_day(text)
        for a, b in ((day.day, day.month), (day.month, day.day)):
            assert f"{a} {calendar.month_abbr[b]} {day.year}" in str(asked.value)
            assert parse_typed_day(f"{a} {calendar.month_abbr[b]} {day.year}") is not None
    else:
        assert parse_typed_day(text) == day


@given(days)
def test_a_month_or_a_year_is_a_span_and_no_day(day):
    name, month = calendar.month_name[day.month], f"{day.month}/{day.year}"
    for text in (f"{name} {day.year}", f"{name[:3]} {day.year}", month, f"{day.year}-{day.month}"):
        span = parse_typed_span(text)
        assert (span.known, span.first) == (MONTH, day.replace(day=1))
        with pytest.raises(NotADate, match="day is needed"):
            parse_typed_day(text)
    assert parse_typed_span(str(day.year)).known == YEAR


@given(days)
def test_what_is_read_is_said_in_words_that_read_the_same(day):
    span = parse_typed_span(day.isoformat())
    assert parse_typed_span(span_words(span)) == span


@given(st.text())
def test_any_text_gives_a_span_or_a_sentence(text):
    try:
        said = f"{parse_typed_span(text).known}."
    except Unreadable as refused:
        said = str(refused)
    assert said.endswith(".")


@each(
    "text, words",
    [
        ("14 Mar 1959", "14 March 1959"),
        ("14.03.1959", "14 March 1959"),
        ("14/03/1959", "14 March 1959"),
        ("03/14/1959", "14 March 1959"),
        ("1959/3/14", "14 March 1959"),
        ("19590314", "14 March 1959"),
        ("04/04/1959", "4 April 1959"),
        ("Sept 1959", "September 1959"),
        ("sep. 1959", "September 1959"),
        ("March 1959", "March 1959"),
        ("03/1959", "March 1959"),
        ("1959", "1959"),
    ],
)
def test_readings_in_words(text, words):
    assert span_words(parse_typed_span(text)) == words


@each(
    "text, said",
    [
        ("14 Mar 59", "four figures"),
        ("14.3.59", "four figures"),
        ("31.02.1959", "The calendar has no day 1959-02-31"),
        ("0/5/1959", "The calendar has no day"),
        ("13/13/1959", "The calendar has no day"),
        ("1/1/1859", "Check the year"),
        ("19111912", "Write the date like"),
        ("99990101", "Write the date like"),
        ("14 Ju 1959", "Write the date like"),
        ("14 Mayor 1959", "Write the date like"),
        ("last spring", "Write the date like"),
        ("", "Write the date like"),
    ],
)
def test_what_has_no_one_reading_is_refused(text, said):
    with pytest.raises(NotADate) as refused:
        parse_typed_span(text)
    assert said in str(refused.value), text


def test_months_are_those_of_the_calendar():
    assert [name.capitalize() for name in MONTHS] == list(calendar.month_name)[1:]
