"""When a time is over, and which times may be set."""

from __future__ import annotations

import datetime as dt

import pytest

from programs.retention import over_on, why_not_years


@pytest.mark.parametrize(
    ("last", "years", "since"),
    [
        (dt.date(2018, 3, 2), 8, dt.date(2026, 3, 3)),
        (dt.date(2016, 2, 29), 8, dt.date(2024, 3, 1)),
        (dt.date(2016, 2, 29), 7, dt.date(2023, 3, 1)),
        (dt.date(2018, 12, 31), 1, dt.date(2020, 1, 1)),
    ],
)
def test_the_last_day_of_the_last_year_still_counts(
    last: dt.date, years: int, since: dt.date
) -> None:
    assert over_on(last, years) == since


@pytest.mark.parametrize(("years", "may"), [(None, True), (1, True), (100, True), (0, False)])
def test_which_times_may_be_set(years: int | None, may: bool) -> None:
    assert (why_not_years(years) == "") is may
    assert why_not_years(101) == "Write 1 to 100 years, or leave it empty."
