"""An age told as "about 70": a birth year estimated, and what of it rules read."""

import datetime as dt

import pytest

from patients.facts.partial_dates import DAY, YEAR, ages_on
from patients.facts.typed_dates import EstimatedYear, parse_birth, span_words
from patients.facts.units import NotADate
from safety.situation import situation
from tests.people import steady

TODAY = dt.date(2026, 3, 2)


@pytest.mark.parametrize(
    "typed",
    [
        *("about 70", "About 70", "about 70 years", "about 70 years old", "~70", "~ 70"),
        *("c. 70", "ca 70", "circa 70", "around 70", "approx. 70", "roughly 70 yrs"),
        "about 1956",
    ],
)
def test_an_age_told_as_about_70_is_an_estimated_year_of_birth(typed):
    span = parse_birth(typed, TODAY)
    assert isinstance(span, EstimatedYear)
    assert (span.first, span.last) == (dt.date(1956, 1, 1), dt.date(1956, 12, 31))
    assert span.known == YEAR
    assert span_words(span) == "born about 1956, a year estimated from the age"


def test_the_age_that_was_told_is_the_greatest_that_she_can_have():
    """So an age of 75 counts as 75, where rules are more careful, and one of 18 as 17."""
    for day in (TODAY, dt.date(2026, 12, 31), dt.date(2027, 1, 1)):
        first = parse_birth("about 75", day).first
        told = steady(person={"born": f"{first.year}"}, as_of=day.isoformat())
        assert ages_on(told.person.born, day)[1] == 75
        assert situation(told).age == 75
        assert situation(told).youngest in (74, 75)


@pytest.mark.parametrize("typed", ["70", "7", "70 years", "70 years old", "105 y"])
def test_a_bare_age_is_asked_about_and_never_taken_for_a_year(typed):
    with pytest.raises(NotADate, match=f"write it like “about {typed}”"):
        parse_birth(typed, TODAY)


@pytest.mark.parametrize("typed", ["about 300", "about 1850", "about", "about seventy", "about -5"])
def test_what_is_no_age_is_refused(typed):
    with pytest.raises(NotADate):
        parse_birth(typed, TODAY)


@pytest.mark.parametrize("typed, known", [("1956", YEAR), ("29 Feb 1956", DAY)])
def test_a_date_is_read_as_before_and_is_no_estimate(typed, known):
    span = parse_birth(typed, TODAY)
    assert not isinstance(span, EstimatedYear)
    assert span.known == known
