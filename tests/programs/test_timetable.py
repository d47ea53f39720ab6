"""Days apart, weeks that fit, and what gives way."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose.resistance import LiftingStep
from programs.timetable import (
    WEEK,
    Shape,
    Wanted,
    best_fit,
    emptiest,
    fit,
    gap_days,
    shapes,
    spread,
)
from programs.value import ranks
from safety.findings import Modality

HIP = ranks(("hip",), balance_first=False)
NOTHING_OUT: frozenset[Modality] = frozenset()
LIFTING = LiftingStep(week=1, sets=3, reps=15, percent_1rm=50, reps_in_reserve=4)


def wanted(days: tuple[str, ...], **changes: object) -> Wanted:
    full: dict[str, object] = {
        "lifting": LIFTING,
        "lift_days": spread(days, 2),
        "plate_min": 7.0,
        "plate_days": spread(days, 3),
        "impact_min": 3.0,
        "impact_days": days[:3],
        "balance_min": 75,
        "posture_min_a_day": 5,
    }
    return Wanted(**{**full, **changes})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("a", "b", "days"), [("mon", "tue", 1), ("sun", "mon", 1), ("sat", "mon", 2), ("mon", "thu", 3)]
)
def test_gap_counts_the_week_s_end(a: str, b: str, days: int) -> None:
    assert gap_days(a, b) == gap_days(b, a) == days


@given(
    days=st.sets(st.sampled_from(WEEK), min_size=1).map(
        lambda found: tuple(sorted(found, key=WEEK.index))
    ),
    most=st.integers(1, 3),
)
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


def test_only_neighbouring_days_hold_one_session() -> None:
    assert spread(("sun", "mon"), 2) == ("sun",)


def test_spread_keeps_off_busy_days_where_it_can() -> None:
    assert spread(WEEK, 3, frozenset({"mon", "wed", "fri"})) == ("tue", "thu", "sat")


def test_emptiest_days_come_first() -> None:
    assert emptiest(("mon", "tue", "wed"), {"mon": 2.0, "tue": 1.0}) == ("wed", "tue", "mon")


def test_shapes_give_way_in_the_rulebook_s_order() -> None:
    """Lowest ranks shrink, exercises go to two, lowest ranks drop, sets go to one."""
    found = shapes(HIP)
    assert found[0] == Shape()
    assert not found[1].posture_every_day
    assert found[1].full_balance
    assert not found[2].full_balance
    assert [s.exercises for s in found[3:5]] == [3, 2]
    dropped = [s.dropped for s in found[5:9]]
    assert dropped[0] == {Modality.POSTURE}
    assert dropped[-1] == {Modality.POSTURE, Modality.BALANCE, Modality.PLATE, Modality.IMPACT}
    assert [s.cut_sets for s in found[9:11]] == [2, 1]
    assert found[-2].lifting_sessions == 1
    assert Modality.RESISTANCE not in found[-2].dropped
    assert Modality.RESISTANCE in found[-1].dropped


def test_rank_one_is_the_last_to_drop_before_lifting() -> None:
    falls = ranks(("falls",), balance_first=True)
    found = shapes(falls)
    first_without = next(i for i, s in enumerate(found) if Modality.BALANCE in s.dropped)
    assert found[first_without - 1].cut_sets == 1


def test_with_room_all_of_it_fits_and_minutes_add_up() -> None:
    days = ("mon", "wed", "fri", "sat")
    week = fit(wanted(days), Shape(), days, 60)
    assert week is not None
    assert set(week.days) == set(Modality)
    assert week.minutes == pytest.approx(26 * 2 + 7 * 3 + 3 * 3 + 75 + 5 * 4)
    assert week.balance_min == 75


def test_shrunk_posture_takes_the_emptiest_days() -> None:
    days = ("mon", "wed", "fri", "sat")
    shape = Shape(posture_every_day=False, full_balance=False)
    week = fit(wanted(days, balance_min=200), shape, days, 47)
    assert week is not None
    assert len(week.days[Modality.POSTURE]) == 2
    assert not set(week.days[Modality.POSTURE]) & set(spread(days, 2))


def test_balance_below_ten_minutes_a_day_does_not_fit() -> None:
    days = ("mon", "thu")
    shape = Shape(full_balance=False, dropped=frozenset({Modality.POSTURE, Modality.PLATE}))
    none = wanted(days, impact_min=0.0, impact_days=())
    assert fit(none, shape, days, 35.9) is None
    assert fit(none, shape, days, 36) is not None


def test_dropped_balance_comes_back_on_the_days_that_have_ten_minutes() -> None:
    days = ("mon", "wed", "fri")
    asked = wanted(days, plate_min=0.0, plate_days=(), impact_min=0.0, impact_days=())
    found = best_fit(asked, HIP, NOTHING_OUT, days, 20)
    lifts = found.days[Modality.RESISTANCE]
    assert len(lifts) == 2
    assert found.days[Modality.BALANCE] == tuple(day for day in days if day not in lifts)
    assert found.balance_min >= 10


@pytest.mark.parametrize(
    ("minutes", "sets", "kept"), [(15, 3, False), (12, 2, False), (9, 1, True)]
)
def test_sets_come_back_before_what_gave_way_before_them(
    minutes: int, sets: int, kept: bool
) -> None:
    """Row 24: the lowest ranks drop out, then sets go to one. Ten minutes of balance beside two
    short lifting sessions have no room here, so balance drops and its minutes are free again."""
    days, falls = ("mon", "thu"), ranks(("falls",), balance_first=True)
    asked = wanted(
        days,
        lifting=replace(LIFTING, reps=12),
        plate_min=0.0,
        plate_days=(),
        impact_min=0.0,
        impact_days=(),
        posture_min_a_day=3,
    )
    found = best_fit(asked, falls, NOTHING_OUT, days, minutes)
    assert min(asked.lifting.sets, found.shape.cut_sets or 3) == sets  # type: ignore[union-attr]
    assert Modality.BALANCE not in found.days
    assert (Modality.POSTURE in found.days) is kept


@pytest.mark.parametrize(
    ("posture", "minutes"),
    [(5, {"mon": 0, "wed": 10, "fri": 0}), (6, {"mon": 0, "wed": 15, "fri": 0})],
)
def test_what_comes_back_leaves_the_more_valuable_balance(
    posture: int, minutes: dict[str, int]
) -> None:
    """Row 24: of a faller's week posture gives way first, and its six minutes on Wednesday
    would leave nine for balance, which needs ten; five leave it ten."""
    days, falls = ("mon", "wed", "fri"), ranks(("falls",), balance_first=True)
    asked = wanted(
        days,
        lifting=replace(LIFTING, sets=2, reps=9),
        plate_min=0.0,
        plate_days=(),
        impact_min=0.0,
        impact_days=(),
        posture_min_a_day=posture,
    )
    found = best_fit(asked, falls, NOTHING_OUT, days, 15)
    assert found.balance_on == minutes
    assert {"mon", "fri"} <= set(found.days[Modality.POSTURE])


def test_posture_leaves_balance_a_day_where_it_can() -> None:
    """Row 24: posture, here worth more, is shrunk to two days: not to Tuesday and Thursday, which
    have no room for it, and not to more of the others than it needs."""
    days = ("tue", "wed", "thu", "fri", "sat", "sun")
    rank = ranks(("spine", "hip"), balance_first=False)
    asked = wanted(
        days,
        lifting=replace(LIFTING, sets=1, reps=8),
        plate_min=5.0,
        impact_min=4.5,
        posture_min_a_day=9,
    )
    found = best_fit(asked, rank, NOTHING_OUT, days, 16)
    assert len(found.days[Modality.POSTURE]) >= 2
    assert found.balance_min >= 10


@pytest.mark.parametrize(("minutes", "posture"), [(21, 7), (20, 6), (19, 5), (18, None)])
def test_posture_comes_back_with_as_few_as_five_minutes(minutes: int, posture: int | None) -> None:
    """Row 22: 5 to 10 minutes; for the spine it is worth more than balance (row 23)."""
    days, spine = ("mon", "wed", "fri"), ranks(("spine",), balance_first=False)
    asked = wanted(
        days,
        plate_min=0.0,
        plate_days=(),
        impact_min=0.0,
        impact_days=(),
        posture_min_a_day=7,
    )
    found = best_fit(asked, spine, NOTHING_OUT, days, minutes)
    assert (found.posture_min if Modality.POSTURE in found.days else None) == posture


def test_nothing_fits_in_no_time() -> None:
    days = ("mon", "thu")
    found = best_fit(wanted(days), HIP, NOTHING_OUT, days, 1)
    assert found.minutes <= 2
    assert Modality.RESISTANCE not in found.days


@given(
    days=st.sets(st.sampled_from(WEEK), min_size=1).map(
        lambda found: tuple(sorted(found, key=WEEK.index))
    ),
    minutes=st.integers(1, 120),
    sets=st.integers(1, 3),
    reps=st.integers(8, 15),
    plate_min=st.floats(0, 30),
    balance_min=st.integers(0, 180),
    aim=st.sampled_from(["hip", "spine", "wrist", "falls", "strength"]),
)
def test_a_fitted_week_never_passes_the_minutes_of_any_day(
    days: tuple[str, ...],
    minutes: int,
    sets: int,
    reps: int,
    plate_min: float,
    balance_min: int,
    aim: str,
) -> None:
    lifting = LiftingStep(week=1, sets=sets, reps=reps, percent_1rm=50, reps_in_reserve=4)
    asked = wanted(days, lifting=lifting, plate_min=plate_min, balance_min=balance_min)
    found = best_fit(asked, ranks((aim,), balance_first=False), NOTHING_OUT, days, minutes)
    assert all(used <= minutes + 1e-6 for used in found.minutes_on.values())
    assert found.balance_min <= balance_min
    lifts = found.days.get(Modality.RESISTANCE, ())
    if minutes >= 8 and len(asked.lift_days) == 2:
        assert len(lifts) == 2
