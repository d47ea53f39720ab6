"""Where a program stands by the calendar: both sides of its last week, and of the four after it."""

from __future__ import annotations

import datetime as dt

import pytest

from programs.signed.term import Term, last_day, term_on

START = dt.date(2026, 3, 2)


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (-1, Term.RUNNING),
        (0, Term.RUNNING),
        (26 * 7 - 1, Term.RUNNING),
        (26 * 7, Term.LAST_DOSE),
        (30 * 7 - 1, Term.LAST_DOSE),
        (30 * 7, Term.ENDED),
    ],
)
def test_where_it_stands(days: int, expected: Term) -> None:
    assert term_on(START, START + dt.timedelta(days=days)) is expected


def test_the_last_day_is_the_last_at_the_last_dose() -> None:
    last = last_day(START)
    assert term_on(START, last) is Term.LAST_DOSE
    assert term_on(START, last + dt.timedelta(days=1)) is Term.ENDED
