"""Two bouts of impact on a day: how far apart, what the second counts, how the count is shared."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose.impact import counted_min, osteogenic_index
from programs.dose.two_bouts import far_enough, in_two, index_of_one, index_of_two, regained
from programs.exercises import EXERCISES


@pytest.mark.parametrize(("hours", "enough"), [(7.9, False), (8.0, True), (8.1, True), (0, False)])
def test_eight_hours_are_enough_and_less_is_not(hours: float, enough: bool) -> None:
    """About 8 hours restored the full response in rats: Robling 2001."""
    assert far_enough(hours) is enough


@pytest.mark.parametrize(
    ("hours", "share"), [(8, 0.736), (4, 0.487), (1, 0.154), (0, 0.0), (-3, 0.0)]
)
def test_what_bone_has_regained(hours: float, share: float) -> None:
    """1 - e^(-t/6), t in hours: Turner and Robling 2003, from memory."""
    assert regained(hours) == pytest.approx(share, abs=0.0005)


def test_two_bouts_of_fifty_count_half_as_much_again_as_one_of_a_hundred() -> None:
    """2 x 50 at 4 body weights, 8 hours apart: 27.31, 1.48 times one bout of 100.

    Turner and Robling 2003, from memory; computed by hand from the formula.
    """
    found = index_of_two(4.0, (50, 50), 8)
    assert found == pytest.approx(27.31, abs=0.01)
    assert found / index_of_one(4.0, 100) == pytest.approx(1.48, abs=0.005)


@pytest.mark.parametrize(
    ("impacts", "shared"),
    [(0, (0, 0)), (10, (10, 0)), (15, (10, 5)), (20, (10, 10)), (50, (30, 20)), (100, (50, 50))],
)
def test_a_count_is_shared_in_whole_sets(impacts: int, shared: tuple[int, int]) -> None:
    """Sets of ten with a minute's rest: UK consensus, Brooke-Wavell 2022."""
    assert in_two(impacts) == shared


@given(impacts=st.integers(1, 100), peak=st.sampled_from([2.0, 3.0, 4.0]), hours=st.integers(0, 24))
def test_shared_it_is_the_same_count_in_the_same_minutes(
    impacts: int, peak: float, hours: int
) -> None:
    first, second = in_two(impacts)
    assert (first + second, first >= second >= 0) == (impacts, True)
    assert counted_min(first) + counted_min(second) == pytest.approx(counted_min(impacts))
    two = index_of_two(peak, (first, second), hours)
    both = index_of_one(peak, first) + index_of_one(peak, second)
    assert index_of_one(peak, first) <= two <= both
    if second and far_enough(hours):
        assert two > index_of_one(peak, impacts)


def test_one_bout_counts_as_the_week_does_for_the_spine() -> None:
    """Row 20: the spine reads all force and all contacts; fifty impacts of 4 give 15.73."""
    jump = EXERCISES["small_jump"]
    assert index_of_one(4.0, 50) == pytest.approx(15.73, abs=0.005)
    assert index_of_one(4.0, 50) == pytest.approx(osteogenic_index(jump, 50, 1).spine)
