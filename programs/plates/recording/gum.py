"""Uncertainty as the GUM has it: errors propagated to first order, and a 95 % interval of the sum.

JCGM 100:2008 for the law of propagation, with the parameters' covariances. The interval is that of
the distributions convolved (as JCGM 101:2008 propagates them): a limit such as "within 3 %" is a
rectangle, and where a rectangle is the largest part, twice its standard uncertainty is too much.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
COVERAGE = 0.95
#: Points over which the distribution of the error is worked out, and how far it reaches.
_POINTS, _SIGMAS = 2048, 6.0


def propagated(
    function: Callable[[FloatArray], FloatArray], at: FloatArray, covariance: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return what a function comes to, and the covariance of its results to first order."""
    values = function(at)
    steps = np.maximum(np.sqrt(np.diag(covariance)), 1e-9 * np.maximum(np.abs(at), 1e-9))
    slopes = np.empty((values.size, at.size))
    for index, step in enumerate(steps):
        beside = np.zeros_like(at)
        beside[index] = step
        slopes[:, index] = (function(at + beside) - function(at - beside)) / (2 * step)
    return values, slopes @ covariance @ slopes.T


def half_width(sigma: float, limits: Sequence[float] = ()) -> float:
    """Return half of the 95 % interval of an error: a normal part and rectangles of these limits.

    limits: half-widths, each of an error that is anywhere within it alike.
    """
    reach = sum(limits) + _SIGMAS * sigma
    if not reach:
        return 0.0
    angles = math.pi * np.arange(_POINTS // 2 + 1) / (1.1 * reach)
    shape = np.exp(-((sigma * angles) ** 2) / 2)
    for limit in limits:
        shape = shape * np.sinc(limit * angles / math.pi)
    density = np.fft.irfft(shape, _POINTS)[: _POINTS // 2]
    inside = 2 * np.cumsum(density) - density - density[0]
    step = 2 * 1.1 * reach / _POINTS
    return float(np.interp(COVERAGE, inside, step * np.arange(inside.size)))
