"""Lifting: the ramps of the groups, loads and minutes."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose.limit import is_deload
from programs.dose.resistance import (
    LIMITS,
    drafted_kg,
    load_kg,
    one_rm_kg,
    ramp,
    session_min,
    top_percent,
)
from safety.findings import Limits

NO_LIMITS = Limits()


def percents(group: str, *, supervised: bool = False, limits: Limits = NO_LIMITS) -> list[float]:
    return [s.percent_1rm for s in ramp(group, supervised=supervised, limits=limits)]


def test_group_a_learns_six_weeks_then_rises_to_80() -> None:
    """Twelve at 70 %, ten at 75 %, eight at 80 %: heavy-protocol table, bmjopen 112268."""
    steps = ramp("A", supervised=False, limits=NO_LIMITS)
    assert [(s.sets, s.reps) for s in steps[:3]] == [(1, 15), (2, 15), (3, 15)]
    assert all(50 <= s.percent_1rm <= 60 and s.reps == 15 for s in steps[:6])
    assert [(s.reps, s.percent_1rm) for s in steps[6:11]] == [
        (12, 70),
        (12, 70),
        (10, 75),
        (10, 75),
        (8, 80),
    ]
    assert steps[-1].percent_1rm == 80


def test_group_b_learns_four_weeks_longer() -> None:
    """Start lower at higher risk: Giangregorio 2014, Too Fit To Fracture."""
    assert max(percents("B")[:10]) == 60
    assert percents("B")[10:16] == [65, 65, 70, 70, 75, 75]
    assert max(percents("B")) == 75
    assert max(percents("B", supervised=True)) == 80


def test_group_c_changes_one_thing_a_week_by_form_first() -> None:
    """Form before load with a vertebral fracture: PMC5101068, table T4."""
    steps = ramp("C", supervised=True, limits=NO_LIMITS)
    assert (steps[0].sets, steps[0].reps, steps[0].percent_1rm) == (1, 8, 40)
    assert steps[0].reps_in_reserve == 4
    for before, after in itertools.pairwise(steps):
        changed = [
            before.sets != after.sets,
            before.reps != after.reps,
            before.percent_1rm != after.percent_1rm,
        ]
        assert sum(changed) <= 1
        assert after.percent_1rm - before.percent_1rm in (0, 5)
    assert steps[-1].percent_1rm == 70
    assert steps[-1].reps == 12


@pytest.mark.parametrize("cap", [60, 70])
@pytest.mark.parametrize("group", ["A", "B", "C"])
def test_a_precaution_caps_every_week(group: str, cap: int) -> None:
    limits = Limits(percent_1rm=cap, reps_in_reserve=3)
    steps = ramp(group, supervised=True, limits=limits)
    assert max(s.percent_1rm for s in steps) == cap
    assert min(s.reps_in_reserve for s in steps) >= 3


@given(
    group=st.sampled_from("ABC"),
    supervised=st.booleans(),
    weeks=st.integers(1, 60),
    cap=st.none() | st.sampled_from([60.0, 70.0]),
)
def test_no_week_passes_the_top_or_rises_in_a_deload_week(
    group: str, supervised: bool, weeks: int, cap: float | None
) -> None:
    steps = ramp(group, supervised=supervised, limits=Limits(percent_1rm=cap), weeks=weeks)
    assert [s.week for s in steps] == list(range(1, weeks + 1))
    top = min(top_percent(group, supervised=supervised).value, cap or 100)
    for before, after in itertools.pairwise(steps):
        assert after.percent_1rm <= top
        assert after.reps_in_reserve >= LIMITS["reps_in_reserve"].value
        if is_deload(after.week):
            assert after.percent_1rm <= before.percent_1rm
            assert after.sets * after.reps <= before.sets * before.reps


@pytest.mark.parametrize(
    ("kg", "reps", "expected"), [(50, 10, 61.18), (40, 8, 46.52), (60, 8, 69.77)]
)
def test_one_rm_by_the_equation_of_women_after_menopause(
    kg: float, reps: int, expected: float
) -> None:
    """Kemmler and others, J Strength Cond Res 2006;20:838."""
    assert one_rm_kg(kg, reps) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(("reps", "known"), [(2, False), (3, True), (20, True), (21, False)])
def test_one_rm_only_in_the_equation_s_range(reps: int, known: bool) -> None:
    """Three to twenty repetitions: Kemmler 2006."""
    assert (one_rm_kg(40, reps) is not None) is known


@pytest.mark.parametrize(
    ("one_rm", "percent", "step", "expected"),
    [(69.8, 50, 1, 34), (69.8, 50, 2.5, 32.5), (70, 50, 5, 35), (10, 33, 0.25, 3.25)],
)
def test_load_is_rounded_down_to_the_step(
    one_rm: float, percent: float, step: float, expected: float
) -> None:
    assert load_kg(one_rm, percent, step) == expected


@pytest.mark.parametrize(("one_rm", "kg"), [(12.5, 5), (12.4, None)])
def test_no_load_of_nothing_is_drafted(one_rm: float, kg: float | None) -> None:
    """40 % of 12.4 kg is under the 5 kg step (row 19 rounds down): no number is drafted."""
    assert drafted_kg(one_rm, 40, 5) == kg


def test_minutes_of_a_session() -> None:
    """Two minutes of warm-up, four seconds a repetition, a minute's rest a set."""
    assert session_min(exercises=4, sets=3, reps=15) == 26.0
    assert session_min(exercises=2, sets=1, reps=15) == 6.0
