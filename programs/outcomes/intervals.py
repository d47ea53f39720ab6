"""Intervals of 95 %: of a count over an exposure (Poisson, exact) and of a mean change (t)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, median, quantiles, stdev

from patients.scanners.precision import chi_square_quantile

#: What lies beyond one end of an interval of 95 %.
TAIL = 0.025
#: Halvings of a search for a quantile: far beyond what is shown.
_HALVINGS = 200
_TINY = 1e-14


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A value with the ends of its interval; None: too little to tell."""

    value: float
    low: float | None
    high: float | None


def rate(count: int, exposure: float, per: float) -> Estimate | None:
    """Return how many there were per so much exposure; None without any.

    The interval is the exact one of a Poisson count: half the chi-square quantiles at twice the
    count, and at two more (Garwood 1936, from memory).
    """
    if exposure <= 0:
        return None
    low = chi_square_quantile(TAIL, 2 * count) / 2 if count else 0.0
    high = chi_square_quantile(1 - TAIL, 2 * count + 2) / 2
    times = per / exposure
    return Estimate(value=count * times, low=low * times, high=high * times)


def mean(values: Sequence[float]) -> Estimate:
    """Return the mean of paired changes with its interval by Student's t."""
    middle = fmean(values)
    if len(values) < 2:
        return Estimate(value=middle, low=None, high=None)
    half = t_quantile(len(values) - 1) * stdev(values) / math.sqrt(len(values))
    return Estimate(value=middle, low=middle - half, high=middle + half)


def middle_half(values: Sequence[float]) -> Estimate:
    """Return the median with the quartiles, ends included, between which the middle half lies."""
    if len(values) < 2:
        return Estimate(value=median(values), low=None, high=None)
    low, middle, high = quantiles(values, n=4, method="inclusive")
    return Estimate(value=middle, low=low, high=high)


def t_quantile(freedom: int) -> float:
    """Return what Student's t of a freedom stays below but for the tail of 95 %, by bisection."""
    # Of no freedom is it less than that of a normal distribution, 1.96: there the fraction settles.
    low, high = 1.9, 1000.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _beyond(middle, freedom) > TAIL:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _beyond(t: float, freedom: int) -> float:
    """Return the share of Student's t above a value that is not negative."""
    return _incomplete_beta(freedom / 2, 0.5, freedom / (freedom + t * t)) / 2


def _incomplete_beta(a: float, b: float, x: float) -> float:
    """Return the regularised incomplete beta function, for x up to (a + 1) / (a + b + 2)."""
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    front += a * math.log(x) + b * math.log(1 - x)
    return math.exp(front) / (a * _fraction(a, b, x))


def _fraction(a: float, b: float, x: float) -> float:
    """Return the continued fraction of the incomplete beta function, by Lentz's method."""
    value = upper = times = 1.0
    lower, step = 0.0, 0
    while step == 0 or abs(times - 1) > _TINY:
        part = _part(a, b, x, step)
        lower = 1 / (1 + part * lower)
        upper = 1 + part / upper
        times = upper * lower
        value, step = value * times, step + 1
    return value


def _part(a: float, b: float, x: float, step: int) -> float:
    """Return a numerator of the fraction; none before the first, whose step is 0."""
    m, odd = divmod(step + 1, 2)
    if odd:
        return -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
    return m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
