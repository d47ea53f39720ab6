import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.ages import add_months, age_on, days_between, within_months

DAYS = st.dates(dt.date(1900, 1, 1), dt.date(2150, 12, 31))


def d(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def test_age_is_not_a_year_too_high_on_leap_day():
    assert age_on(d("2003-03-01"), d("2024-02-29")) == 20


@pytest.mark.parametrize(
    "day, age",
    [("2025-02-28", 76), ("2025-03-01", 77), ("2024-02-28", 75), ("2024-02-29", 76)],
)
def test_leap_day_birthday_falls_on_the_first_of_march(day, age):
    assert age_on(d("1948-02-29"), d(day)) == age


@pytest.mark.parametrize("day, age", [("2009-08-13", 49), ("2009-08-14", 50)])
def test_age_rises_on_the_birthday(day, age):
    assert age_on(d("1959-08-14"), d(day)) == age


def test_age_is_nought_on_the_day_of_birth():
    assert age_on(d("1959-08-14"), d("1959-08-14")) == 0


def test_age_before_birth_is_refused():
    with pytest.raises(ValueError, match="before the date of birth"):
        age_on(d("1959-08-14"), d("1959-08-13"))


@pytest.mark.parametrize(
    "day, months, result",
    [
        ("2026-01-31", 1, "2026-02-28"),
        ("2024-01-31", 1, "2024-02-29"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2026-03-02", -24, "2024-03-02"),
        ("2026-11-15", 2, "2027-01-15"),
        ("2026-12-31", 0, "2026-12-31"),
        ("2026-01-15", -1, "2025-12-15"),
        ("2026-03-31", -1, "2026-02-28"),
    ],
)
def test_months_are_calendar_months_clipped_to_the_month_end(day, months, result):
    assert add_months(d(day), months) == d(result)


@given(DAYS, st.integers(-600, 600))
def test_months_land_in_the_month_asked_for(day, months):
    later = add_months(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day <= day.day


@pytest.mark.parametrize(
    "event, day, inside",
    [
        ("2024-03-02", "2026-03-02", True),
        ("2024-03-02", "2026-03-03", False),
        ("2024-03-02", "2024-03-02", True),
        ("2024-03-02", "2024-03-01", False),
        ("2024-02-29", "2026-02-28", True),
        ("2024-02-29", "2026-03-01", False),
    ],
)
def test_last_day_of_the_months_is_inside(event, day, inside):
    assert within_months(d(event), d(day), 24) is inside


def test_days_between_are_signed():
    assert days_between(d("2026-01-01"), d("2026-03-26")) == 84
    assert days_between(d("2026-03-26"), d("2026-01-01")) == -84


@given(DAYS, DAYS)
def test_age_and_months_agree(born, day):
    if day < born:
        return
    years = age_on(born, day)
    assert within_months(born, day, 12 * (years + 1))
