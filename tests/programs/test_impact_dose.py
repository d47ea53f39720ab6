"""Impact: the ladder climbed, the count, the days and the index."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose.impact import (
    LIMITS,
    ImpactStep,
    cap_bw,
    osteogenic_index,
    ramp,
    session_min,
)
from programs.dose.limit import is_deload
from programs.exercises import impact_ladder
from safety.findings import Limits

STEP = frozenset({"step"})


@pytest.mark.parametrize(("group", "own"), [("A", 4.0), ("B", 3.0), ("C", 1.5)])
def test_cap_is_the_group_s_or_the_finding_s(group: str, own: float) -> None:
    assert cap_bw(group, Limits()) == own
    assert cap_bw(group, Limits(impact_bw=2.0)) == min(own, 2.0)
    assert cap_bw(group, Limits(impact_bw=1.5)) == 1.5


def test_starts_with_ten_on_a_low_rung_three_days() -> None:
    first = ramp("A", cap=4.0, days=6, equipment=STEP)[0]
    assert (first.impacts, first.days, first.minutes) == (10, 3, None)
    assert first.exercise.peak_bw is not None
    assert first.exercise.peak_bw <= 2.0


def test_count_rises_to_fifty_then_days_then_the_rung() -> None:
    """Fifty impacts, sets of ten: UK consensus, Brooke-Wavell 2022."""
    steps = ramp("A", cap=4.0, days=6, equipment=STEP)
    assert [s.impacts for s in steps[:6]] == [10, 20, 30, 30, 40, 50]
    assert steps[6].days == 4
    assert steps[8].exercise is not steps[0].exercise
    assert steps[8].impacts == 30
    assert [s.exercise.code for s in steps[8:17:4]] == [
        e.code for e in impact_ladder(4.0, STEP)[1:4]
    ]


def test_group_b_rises_every_second_week() -> None:
    steps = ramp("B", cap=3.0, days=6, equipment=STEP)
    assert [s.impacts for s in steps[:9]] == [10, 10, 20, 20, 30, 30, 40, 40, 50]


def test_group_c_walks() -> None:
    """Twenty minutes of brisk walking with vertebral fractures: Brooke-Wavell 2022."""
    steps = ramp("C", cap=1.5, days=6)
    assert all(s.impacts is None and s.days == 4 for s in steps)
    assert [s.minutes for s in steps[:8]] == [5, 5, 10, 10, 15, 15, 20, 20]
    assert steps[-1].minutes == 20
    assert session_min(steps[-1]) == 20.0


@given(
    group=st.sampled_from("AB"),
    cap=st.sampled_from([2.0, 3.0, 4.0]),
    days=st.integers(1, 7),
    weeks=st.integers(1, 60),
)
def test_one_thing_rises_at_a_time_and_no_limit_is_passed(
    group: str, cap: float, days: int, weeks: int
) -> None:
    steps = ramp(group, cap=cap, days=days, equipment=STEP, weeks=weeks)
    ladder = impact_ladder(cap, STEP)
    for before, after in itertools.pairwise(steps):
        rung_up = ladder.index(after.exercise) - ladder.index(before.exercise)
        more = (after.impacts or 0) - (before.impacts or 0)
        assert rung_up in (0, 1)
        assert more <= 10
        assert sum((rung_up > 0, more > 0, after.days > before.days)) <= 1
        assert (after.impacts or 0) <= LIMITS["impacts"].value
        assert after.days <= min(days, LIMITS["sessions"].value)
        assert (after.exercise.peak_bw or 0) <= cap
        if is_deload(after.week):
            assert (after.exercise, after.impacts, after.days) == (
                before.exercise,
                before.impacts,
                before.days,
            )


def test_minutes_of_counted_impacts() -> None:
    step = ImpactStep(
        week=1, exercise=impact_ladder(4.0, STEP)[0], days=3, impacts=50, minutes=None
    )
    assert session_min(step) == 7.5


@pytest.mark.parametrize(
    ("peak_bw", "impacts", "sessions", "expected", "within"),
    [
        (3.0, 50, 1, 11.80, 0.01),
        (4.0, 50, 1, 15.73, 0.01),
        (4.0, 100, 1, 18.46, 0.01),
        (4.387, 10, 5, 52.6, 0.1),
        (2.0, 10, 3, 14.4, 0.05),
    ],
)
def test_osteogenic_index(
    peak_bw: float, impacts: int, sessions: int, expected: float, within: float
) -> None:
    """Turner and Robling 2003; the weekly row as printed in PMC3737855."""
    found = osteogenic_index(peak_bw, impacts, sessions)
    assert found == pytest.approx(expected, abs=within)


def test_osteogenic_index_of_a_step_class() -> None:
    """1.40 body weights, 4,194 cycles: the paper's mean is 12.0 (PMC2465063)."""
    assert osteogenic_index(1.40, 4194, 1) == pytest.approx(12.0, abs=0.8)
