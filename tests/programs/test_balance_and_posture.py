"""Balance and posture: minutes and rungs."""

from __future__ import annotations

import itertools

import pytest

from programs.dose import balance, posture
from programs.dose.limit import is_deload
from programs.exercises import BALANCE_RUNGS


@pytest.mark.parametrize(("risk", "goal"), [("low", 120), ("intermediate", 180), ("high", 180)])
def test_goal_follows_fall_risk(risk: str, goal: int) -> None:
    """Two hours: Giangregorio 2014. Three hours a week: PMC7689963."""
    assert balance.goal_min(risk) == goal
    assert balance.ramp(goal)[-1] == goal


def test_minutes_rise_from_75_and_never_in_a_deload_week() -> None:
    """Fifteen to thirty minutes more a week: from memory, to be confirmed."""
    minutes = balance.ramp(180)
    assert minutes[0] == 75
    for week, (before, after) in enumerate(itertools.pairwise(minutes), start=2):
        assert 0 <= after - before <= 30
        assert not is_deload(week) or after == before


def test_rungs_are_climbed_and_end_at_the_top() -> None:
    rungs = [balance.rung(week, near_support=False) for week in range(1, 60)]
    assert rungs[0] == 1
    assert max(rungs) == BALANCE_RUNGS
    assert all(0 <= b - a <= 1 for a, b in itertools.pairwise(rungs))
    near = [balance.rung(week, near_support=True) for week in range(1, 60)]
    assert all(slow <= quick for slow, quick in zip(near, rungs, strict=True))


def test_posture_from_five_to_ten_minutes_a_day() -> None:
    """Five to ten minutes a day: PMC5101068, table T4."""
    minutes = [posture.minutes_a_day(week) for week in range(1, 27)]
    assert minutes[0] == minutes[1] == 5
    assert minutes[2] == 6
    assert minutes[-1] == max(minutes) == 10
    assert all(b - a in (0, 1) for a, b in itertools.pairwise(minutes))
    assert all(minutes[w - 1] == minutes[w - 2] for w in range(4, 27, 4))
