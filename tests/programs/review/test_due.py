"""When a review is due: weeks 4, 12, 26 and 52 (rulebook row 29)."""

import datetime as dt

import pytest

from programs.review.due import Due, due_of

START = dt.date(2026, 3, 2)


def after(days: int) -> dt.date:
    """Return the day so many days into the program."""
    return START + dt.timedelta(days=days)


@pytest.mark.parametrize(
    ("days", "week"), [(27, None), (28, 4), (83, 4), (84, 12), (182, 26), (363, 26), (364, 52)]
)
def test_the_newest_week_that_is_over_is_due(days: int, week: int | None) -> None:
    found = due_of(START, None, after(days))
    assert found == (week and Due(week=week, since=after(7 * week)))


@pytest.mark.parametrize(("held", "due"), [(20, True), (21, False), (28, False), (40, False)])
def test_a_review_counts_from_a_week_before(held: int, due: bool) -> None:
    assert (due_of(START, after(held), after(45)) is not None) == due


def test_an_older_review_does_not_count_for_a_later_week() -> None:
    assert due_of(START, after(30), after(84)) == Due(week=12, since=after(84))
