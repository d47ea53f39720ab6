"""When a program is looked at again: weeks of the episode, ends of clearances (rows 26g, 29)."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from programs.review.dates import last_week_of, next_dates
from tests.programs.logs import START


def dates(weeks: int, days: int = 0, **more: Any) -> tuple[float, float, int]:
    """Return the weeks of the episode of the next review and tests, and the months of density."""
    day = START + dt.timedelta(weeks=weeks, days=days)
    told: dict[str, Any] = {"last_week": last_week_of(START), "ends": (), "stopped": False}
    found = next_dates(START, day, **told | more)
    months = (found.density.year - START.year) * 12 + found.density.month - START.month
    return (found.review - START).days / 7, (found.tests - START).days / 7, months


@pytest.mark.parametrize(
    ("weeks", "review", "tests", "months"),
    [
        (0, 4, 12, 12),
        (3, 4, 12, 12),
        (4, 12, 12, 12),
        (12, 26, 26, 12),  # its last week is 25, within 14 days of 26
        (26, 52, 52, 12),
        (52, 78, 78, 12),
        (53, 78, 78, 24),
        (78, 104, 104, 24),
        (200, 208, 208, 48),
    ],
)
def test_weeks_of_the_episode(weeks: int, review: int, tests: int, months: int) -> None:
    assert dates(weeks) == (review, tests, months)


def test_the_last_week_where_no_other_is_near() -> None:
    last = START + dt.timedelta(weeks=40)
    assert dates(26, last_week=last)[0] == 40
    assert dates(40, last_week=last)[0] == 52
    assert dates(26, last_week=START + dt.timedelta(weeks=50))[0] == 52
    assert dates(26, last_week=START + dt.timedelta(weeks=49, days=6))[0] == 49 + 6 / 7


def test_sooner_on_a_stop() -> None:
    """Within two weeks: project choice, for the row says only sooner."""
    assert dates(4, stopped=True)[0] == 6
    assert dates(11, stopped=True)[0] == 12


@pytest.mark.parametrize(
    ("end", "review"),
    [
        (dt.timedelta(weeks=10), 8),
        (dt.timedelta(weeks=6), 4 + 6 / 7),  # two weeks before is today: within the week
        (dt.timedelta(weeks=4, days=3), 4 + 3 / 7),
        (dt.timedelta(weeks=3), 12),  # has ended
        (dt.timedelta(weeks=30), 12),
    ],
)
def test_two_weeks_before_a_clearance_ends(end: dt.timedelta, review: float) -> None:
    assert dates(4, ends=(START + end,))[0] == pytest.approx(review)
