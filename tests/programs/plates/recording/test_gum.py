"""Propagation of errors and the 95 % interval, against printed examples and against SciPy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from programs.plates.recording.gum import half_width, propagated


def _resistance(at: np.ndarray) -> np.ndarray:
    volts, amps, phase = at
    ratio = volts / amps
    return np.array([ratio * math.cos(phase), ratio * math.sin(phase), ratio])


def test_resistance_and_reactance_of_the_gum() -> None:
    """Example H.2 of JCGM 100:2008: 127.732, 219.847 and 254.260 ohm, from memory.

    Its inputs and their correlations were read in the manual of a package for uncertainties
    (gtc.readthedocs.io, GUM H2), which says that the GUM's own figures bear rounding errors:
    0.071, 0.295, 0.236 ohm and correlations -0.588, -0.485, 0.993.
    """
    at = np.array([4.999, 19.661e-3, 1.04446])
    sizes = np.array([3.2e-3, 9.5e-6, 7.5e-4])
    together = np.array([[1, -0.36, 0.86], [-0.36, 1, -0.65], [0.86, -0.65, 1]])
    values, spread = propagated(_resistance, at, np.outer(sizes, sizes) * together)
    errors = np.sqrt(np.diag(spread))
    assert values == pytest.approx([127.732, 219.847, 254.260], abs=2e-3)
    assert errors == pytest.approx([0.071, 0.295, 0.236], abs=2e-3)
    between = spread / np.outer(errors, errors)
    found = [between[0, 1], between[0, 2], between[1, 2]]
    assert found == pytest.approx([-0.588, -0.485, 0.993], abs=0.01)


def test_a_sum_of_errors_adds_in_squares() -> None:
    values, spread = propagated(
        lambda p: np.array([p[0] + 2 * p[1]]), np.array([1.0, 2.0]), np.diag([9.0, 4.0])
    )
    assert values == pytest.approx([5.0])
    assert spread[0, 0] == pytest.approx(9 + 4 * 4)


def test_a_normal_error_alone() -> None:
    assert half_width(2.0) == pytest.approx(2 * stats.norm.ppf(0.975), rel=1e-3)


def test_one_limit_alone_is_a_rectangle() -> None:
    """95 % of an error that is anywhere within 1 alike lie within 0.95."""
    assert half_width(0.0, [1.0]) == pytest.approx(0.95, rel=3e-3)


def test_two_equal_limits_are_a_triangle() -> None:
    """Of a triangle of half-width 2 the 95 % reach to 2 (1 - sqrt(0.05))."""
    assert half_width(0.0, [1.0, 1.0]) == pytest.approx(2 * (1 - math.sqrt(0.05)), rel=2e-3)


def test_many_parts_together_against_drawn_errors() -> None:
    rng = np.random.default_rng(5)
    drawn = rng.normal(0, 0.3, 400_000)
    for limit in (1.0, 0.5, 0.2):
        drawn = drawn + rng.uniform(-limit, limit, drawn.size)
    expected = float(np.quantile(np.abs(drawn), 0.95))
    assert half_width(0.3, [1.0, 0.5, 0.2]) == pytest.approx(expected, rel=5e-3)


def test_no_error_has_no_interval() -> None:
    assert half_width(0.0, [0.0]) == 0.0
