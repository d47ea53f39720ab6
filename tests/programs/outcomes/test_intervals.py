"""Intervals against SciPy's, and where there is too little to tell."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from programs.outcomes.intervals import mean, middle_half, rate, t_quantile


@pytest.mark.parametrize("count", [0, 1, 2, 7, 40, 1000])
def test_the_rate_has_the_exact_interval_of_a_poisson_count(count: int) -> None:
    found = rate(count, 2500, 1000)
    assert found is not None
    low = stats.chi2.ppf(0.025, 2 * count) / 2 if count else 0.0
    high = stats.chi2.ppf(0.975, 2 * count + 2) / 2
    assert found.value == pytest.approx(count / 2.5)
    assert (found.low, found.high) == pytest.approx((low / 2.5, high / 2.5), rel=1e-9)


def test_nothing_done_has_no_rate() -> None:
    assert rate(3, 0, 1000) is None


@pytest.mark.parametrize("freedom", [1, 2, 4, 9, 29, 200, 5000])
def test_students_t(freedom: int) -> None:
    assert t_quantile(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=1e-9)


@given(st.lists(st.floats(-50, 50), min_size=2, max_size=40))
def test_a_mean_has_its_interval(values: list[float]) -> None:
    found = mean(values)
    assert found.low is not None
    assert found.high is not None
    assert found.low <= found.value + 1e-9
    assert found.high - found.value == pytest.approx(found.value - found.low, abs=1e-9)


def test_a_mean_against_the_paired_test() -> None:
    before, after = [10.1, 12.0, 9.4, 11.8, 14.2, 8.8], [9.0, 11.1, 9.6, 10.2, 12.9, 8.9]
    found = mean([b - a for a, b in zip(before, after, strict=True)])
    interval = stats.ttest_rel(after, before).confidence_interval(0.95)
    assert (found.low, found.high) == pytest.approx((interval.low, interval.high), rel=1e-9)


def test_one_value_has_no_interval() -> None:
    for found in (mean([1.5]), middle_half([1.5])):
        assert (found.value, found.low, found.high) == (1.5, None, None)


def test_quartiles() -> None:
    found = middle_half([0.0, 25.0, 50.0, 75.0, 100.0])
    assert (found.low, found.value, found.high) == (25.0, 50.0, 75.0)
