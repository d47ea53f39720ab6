"""Effort scales, steps of load, and a load found without a test."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose import balance, effort, impact, resistance
from programs.dose.effort import (
    next_trial_kg,
    step_kg,
    two_for_two,
)


@pytest.mark.parametrize(
    ("goal", "last_sets", "rises"),
    [
        (10, (12, 12), True),
        (10, (12, 11), False),
        (10, (11, 12), False),
        (10, (12,), False),
        (10, (), False),
        (10, (8, 13, 12), True),
    ],
)
def test_two_for_two(goal: int, last_sets: tuple[int, ...], rises: bool) -> None:
    """Two above the goal in the last set, two sessions running: a public coaching page, 3 x 10."""
    assert two_for_two(goal, last_sets) == rises


def test_a_step_is_two_to_ten_percent() -> None:
    """ACSM 2009, MSSE 41:687: 20 kg may become 20.4 to 22.0 kg."""
    assert step_kg(20) == pytest.approx((20.4, 22.0))


@pytest.mark.parametrize(
    ("score", "left", "next_load"), [(8, 2, "keep"), (9, 1, "lower"), (10, 0, "lower")]
)
def test_effort_by_what_is_left(score: int, left: int, next_load: str) -> None:
    """PMC11057620, table T4: 8 leaves two and keeps the load, 10 leaves none and lowers it."""
    row = effort.RESERVE_ROWS[score]
    assert (row.least_left, row.most_left, row.next_load) == (left, left, next_load)


def test_effort_of_five_or_six_leaves_four_to_six() -> None:
    """PMC11603803, table T3."""
    rows = effort.RESERVE_ROWS[5:7]
    assert {(row.least_left, row.most_left) for row in rows} == {(4, 6)}


def test_every_score_has_its_row() -> None:
    assert [row.effort for row in effort.RESERVE_ROWS] == list(range(11))


def test_balance_of_twenty_minutes_a_day_meets_the_weekly_aim_and_fifteen_does_not() -> None:
    """Too Fit To Fracture, table T6: 120 minutes a week."""
    assert balance.STEADY_MIN <= 20 * 7
    assert balance.STEADY_MIN > 15 * 7


@pytest.mark.parametrize(("sets", "each", "meets"), [(3, 10, False), (5, 10, True), (3, 20, True)])
def test_sets_of_impacts_that_meet_fifty(sets: int, each: int, meets: bool) -> None:
    """UK consensus 2022: about 50 impacts a session, 3 to 5 sets of 10 to 20."""
    assert (sets * each >= impact.MOST_IMPACTS) == meets


def test_one_and_a_half_sessions_a_week_are_under_the_floor() -> None:
    """Under two a week did no better than none over 12 years: Kemmler 2013."""
    assert resistance.SESSIONS_A_WEEK > 1.5
    assert resistance.LIMITS["sessions"].value == 2


@pytest.mark.parametrize(
    ("load", "left", "expected"),
    [(20, 4, 20), (20, 6, 21), (20, 10, 22), (20, 2, 19), (20, 0, 18), (10, 5, 10)],
)
def test_next_trial_load(load: float, left: int, expected: float) -> None:
    """Four wanted in reserve, 1 kg steps: about 2.5 % a repetition, 10 % at most."""
    assert next_trial_kg(load, left=left, wanted_left=4, step=1) == expected


@given(
    load=st.integers(1, 200),
    left=st.integers(0, 20),
    wanted=st.integers(0, 6),
    step=st.sampled_from([0.5, 1, 2.5]),
)
def test_a_trial_never_rises_by_more_than_a_step(
    load: int, left: int, wanted: int, step: float
) -> None:
    found = next_trial_kg(load, left=left, wanted_left=wanted, step=step)
    assert 0 <= found <= step_kg(load)[1]
    if left <= wanted:
        assert found <= load


def test_finding_a_load_is_told_in_steps() -> None:
    assert len(effort.FIND_A_LOAD) == 5
    assert all(step.endswith(".") for step in effort.FIND_A_LOAD)
