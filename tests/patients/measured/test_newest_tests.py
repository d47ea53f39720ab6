"""Tests read one by one, the newest of each, and what is too old (rulebook row 0)."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from patients.facts.declared import Tests as Taken
from patients.measured import newest_tests

DAY = dt.date(2026, 3, 2)
OLD, INSIDE = dt.date(2025, 3, 1), dt.date(2025, 3, 2)


def on(*rows: Taken, age: int = 66) -> Any:
    return newest_tests.tests_on(rows, DAY, age, "female")


def test_a_later_row_of_pressure_alone_wipes_no_other_test() -> None:
    seen = on(Taken(date=INSIDE, up_and_go_s=25), Taken(date=DAY, resting_bp=(130, 80)))
    assert (seen.read.up_and_go_s, seen.read.resting_bp) == (25, (130, 80))
    assert seen.days == {"up_and_go_s": INSIDE, "resting_bp": DAY}


def test_the_newest_counts_and_not_possible_is_a_result() -> None:
    seen = on(Taken(date=INSIDE, tandem_s=10), Taken(date=DAY, unable=("tandem_s",)))
    assert seen.read.tandem_s is None
    assert seen.unable("tandem_s")
    better = on(Taken(date=INSIDE, unable=("tandem_s",)), Taken(date=DAY, tandem_s=10))
    assert (better.read.tandem_s, better.unable("tandem_s")) == (10, False)


@pytest.mark.parametrize(
    ("date", "seconds", "read"),
    [
        (INSIDE, 8.0, 8.0),
        (OLD, 8.0, None),  # normal and too old: as never measured
        (OLD, 12.0, 12.0),  # abnormal: counts
        (None, 8.0, None),
        (None, 12.0, 12.0),
    ],
)
def test_twelve_months(date: dt.date | None, seconds: float, read: float | None) -> None:
    seen = on(Taken(date=date, up_and_go_s=seconds))
    assert seen.read.up_and_go_s == read
    assert seen.newest.up_and_go_s == seconds
    assert seen.old == (() if date == INSIDE else ("a newer Timed Up and Go",))


@pytest.mark.parametrize(
    ("pressure", "counts"),
    [((160, 100), False), ((161, 80), True), ((91, 60), False), ((90, 60), True)],
)
def test_an_old_pressure_counts_where_it_is_abnormal(
    pressure: tuple[int, int], counts: bool
) -> None:
    seen = on(Taken(date=dt.date(2025, 9, 1), resting_bp=pressure))
    assert (seen.read.resting_bp is not None) == counts
    assert on(Taken(date=dt.date(2025, 9, 2), resting_bp=pressure)).read.resting_bp == pressure


@pytest.mark.parametrize(("systolic", "counts"), [(81, False), (80, True)])
def test_an_old_standing_pressure(systolic: int, counts: bool) -> None:
    seen = on(Taken(date=OLD, standing_bp=(systolic, 50)))
    assert (seen.read.standing_bp is not None) == counts


def test_a_standing_fall_is_of_two_pressures_of_one_row() -> None:
    apart = on(Taken(date=INSIDE, resting_bp=(150, 80)), Taken(date=DAY, standing_bp=(120, 70)))
    assert apart.drops is None
    one = Taken(date=INSIDE, resting_bp=(150, 80), standing_bp=(120, 70))
    assert on(one, Taken(date=DAY, resting_bp=(120, 70))).drops is True
    assert "pressure on standing" in on(one).abnormal[-1]


@pytest.mark.parametrize(("standing", "drops"), [((130, 70), True), ((131, 71), None)])
def test_an_old_standing_fall_counts_and_an_old_steady_one_does_not(
    standing: tuple[int, int], drops: bool | None
) -> None:
    assert on(Taken(date=OLD, resting_bp=(150, 80), standing_bp=standing)).drops is drops


def test_of_two_rows_of_one_day_the_worse_is_read() -> None:
    seen = on(
        Taken(date=DAY, up_and_go_s=9, tandem_s=10), Taken(date=DAY, up_and_go_s=13, tandem_s=4)
    )
    assert (seen.read.up_and_go_s, seen.read.tandem_s) == (13, 4)


def test_a_row_without_its_day_may_be_the_newest() -> None:
    seen = on(Taken(up_and_go_s=13), Taken(date=DAY, up_and_go_s=9))
    assert seen.read.up_and_go_s == 13


PARTS = {"side_by_side_s": 10, "semi_tandem_s": 10, "tandem_s": 10, "walk_4m_s": 3.6}


def test_points_of_three_parts_of_several_days() -> None:
    seen = on(Taken(date=INSIDE, five_stands_s=10.0), Taken(date=DAY, **PARTS))
    assert seen.sppb == 12
    assert on(Taken(date=OLD, five_stands_s=10.0), Taken(date=DAY, **PARTS)).sppb is None
    low = on(Taken(date=OLD, five_stands_s=20.0, walk_4m_s=7.0, side_by_side_s=4.0))
    assert low.sppb == 3


def test_what_is_known_and_what_is_not() -> None:
    seen = on(Taken(date=DAY, walk_4m_s=3.6, unable=("one_leg_s",)))
    assert seen.known("walk_4m_s")
    assert seen.known("one_leg_s")
    assert not seen.known("tandem_s", "up_and_go_s")
    assert newest_tests.tests_on(None, DAY, 66, "female").read == Taken()
