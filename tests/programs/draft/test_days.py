"""Days apart, the emptiest first, and those inside a clearance."""

from __future__ import annotations

import datetime as dt
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.draft.days import apart, emptiest, gap_days, held_on, inside, spread, spread_both
from programs.week.week import WEEK
from safety.findings import Modality

some_days = st.sets(st.sampled_from(WEEK), min_size=1).map(
    lambda found: tuple(sorted(found, key=WEEK.index))
)


@pytest.mark.parametrize(
    ("a", "b", "days"), [("mon", "tue", 1), ("sun", "mon", 1), ("sat", "mon", 2), ("mon", "thu", 3)]
)
def test_gap_counts_the_week_s_end(a: str, b: str, days: int) -> None:
    assert gap_days(a, b) == gap_days(b, a) == days


@given(days=some_days, most=st.integers(1, 3))
def test_spread_never_takes_neighbours_and_takes_as_many_as_can_be(
    days: tuple[str, ...], most: int
) -> None:
    found = spread(days, most)
    assert 1 <= len(found) <= most
    assert all(gap_days(a, b) >= 2 for a, b in combinations(found, 2))
    possible = [
        n
        for n in range(1, most + 1)
        for chosen in combinations(days, n)
        if all(gap_days(a, b) >= 2 for a, b in combinations(chosen, 2))
    ]
    assert len(found) == max(possible)


def test_no_day_at_all_spreads_to_none() -> None:
    assert apart((), 2) == ((),)
    assert spread((), 2) == ()


def test_only_neighbouring_days_hold_one_session() -> None:
    assert spread(("sun", "mon"), 2) == ("sun",)


@pytest.mark.parametrize(
    ("days", "lifting", "plate"),
    [
        (WEEK, ("mon", "thu"), ("tue", "fri", "sun")),
        (("mon", "thu"), ("mon", "thu"), ("mon", "thu")),
        (("mon", "tue"), ("mon",), ("tue",)),
    ],
)
def test_two_kinds_share_as_few_days_as_can_be(
    days: tuple[str, ...], lifting: tuple[str, ...], plate: tuple[str, ...]
) -> None:
    assert spread_both(days, 2, 3) == (lifting, plate)


def test_emptiest_days_come_first() -> None:
    assert emptiest(("mon", "tue", "wed"), {"mon": 2.0, "tue": 1.0}) == ("wed", "tue", "mon")


TIMETABLE = {
    "mon": (Modality.IMPACT, Modality.BALANCE),
    "wed": (Modality.IMPACT, Modality.BALANCE),
    "fri": (Modality.IMPACT,),
}


def test_loaded_work_takes_the_first_of_its_days_and_balance_any() -> None:
    assert held_on(TIMETABLE, Modality.IMPACT, 2) == ("mon", "wed")
    assert held_on(TIMETABLE, Modality.BALANCE, 1) == ("mon", "wed")
    assert held_on(TIMETABLE, Modality.PLATE, 2) == ()


@pytest.mark.parametrize(
    ("week", "until", "left"),
    [
        (1, None, ("mon", "thu", "sun")),
        (1, dt.date(2026, 3, 8), ("mon", "thu", "sun")),
        (1, dt.date(2026, 3, 5), ("mon", "thu")),  # the last day is inside
        (1, dt.date(2026, 3, 4), ("mon",)),
        (2, dt.date(2026, 3, 8), ()),
        (2, dt.date(2026, 3, 9), ("mon",)),
    ],
)
def test_a_week_is_cut_to_the_days_inside_a_clearance(
    week: int, until: dt.date | None, left: tuple[str, ...]
) -> None:
    """Row 22b; 2 March 2026 is a Monday."""
    assert inside(("mon", "thu", "sun"), week, dt.date(2026, 3, 2), until) == left


def test_a_week_begins_on_the_day_of_the_draft() -> None:
    """Begun on a Thursday, week 1 ends on Wednesday: its Monday is the fifth day."""
    thursday = dt.date(2026, 3, 5)
    assert inside(("mon", "thu"), 1, thursday, dt.date(2026, 3, 8)) == ("thu",)
    assert inside(("mon", "thu"), 1, thursday, dt.date(2026, 3, 9)) == ("mon", "thu")
