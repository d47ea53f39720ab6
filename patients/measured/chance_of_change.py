"""How large a true change of a marker or a function test is, for its next result to show it.

For density there are trials by which her change can be followed month by month (chance_of_seeing).
For these there are none of loading, so the chance stands against the size of the true change: one
just as large as the change that counts is seen every other time, and now and then chance alone
looks like a change.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from statistics import NormalDist
from types import MappingProxyType

from patients.measured.chance_of_seeing import FOUR_IN_FIVE
from patients.measured.function_tests import CHANGE_THAT_COUNTS
from patients.measured.turnover import TIMES_CV, MarkerLsc

#: Nothing falls by more; two large CVs make a larger LSC.
_ALL_PERCENT = 100
#: Points of a curve.
_POINTS = 60
_ONCE, _TWICE = math.sqrt(2), math.sqrt(1 + 1 / 2)
_NORMAL = NormalDist()


@dataclass(frozen=True, kw_only=True)
class Seen:
    """Which true changes in one direction a measure shows.

    half, four_in_five
               the size that is seen with that chance, one measurement each day
    twice      the size seen four times in five where the mean of two is taken on the later day
    by_chance  the chance that such a change is read where there is none
    curve      sizes from none on, and the chance of each
    """

    half: float
    four_in_five: float
    twice: float
    by_chance: float
    curve: tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True)
class Detectable:
    """The least change of a test that is beyond its error in 95 of 100, and whose figure it is.

    share  where it grows with the result: the share of it; size is None then
    """

    source: str
    size: float | None = None
    share: float | None = None

    def at(self, result: float) -> float:
        """Return it at a result, in its unit."""
        return self.size if self.size is not None else (self.share or 0.0) * result


#: Of the tests whose error in one person was found. Of gait speed and the SPPB only changes that
#: matter were, and those are no error.
DETECTABLE = MappingProxyType(
    {
        "up_and_go_s": Detectable(size=2.0, source="PMC6521916, table 2"),
        "chair_stands_30s": Detectable(
            size=2.5,
            source="knee arthritis, dro.deakin.edu.au 20597538; a second try alone adds 0.5 to 0.8",
        ),
        "grip_kg": Detectable(share=0.1, source="under 10 % of the result, Suzuki 2019"),
    }
)


def of_test(measure: str, result: float) -> Seen | None:
    """Return the true changes that a test shows, in its unit; None where its error is not known.

    result  her newest, from which the change is to come
    """
    error = DETECTABLE.get(measure)
    if error is None or result <= 0:
        return None
    one = error.at(result) / TIMES_CV
    return _seen(CHANGE_THAT_COUNTS[measure][0], one, lambda change: change)


def falls_of(least: MarkerLsc) -> Seen | None:
    """Return the true falls that a marker shows, percent; None where no fall is so large.

    A marker's error is a share of its value, so that errors are alike on the scale of logarithms,
    where a fall has further to go than a rise (log-normal reference change values; from memory,
    to be confirmed).
    """
    if least.percent >= _ALL_PERCENT:
        return None
    return _seen(
        -math.log1p(-least.percent / 100),
        _log_error(least),
        lambda change: -100 * math.expm1(-change),
    )


def rises_of(least: MarkerLsc) -> Seen:
    """Return the true rises that a marker shows, percent; as falls_of."""
    return _seen(
        math.log1p(least.percent / 100), _log_error(least), lambda change: 100 * math.expm1(change)
    )


def _log_error(least: MarkerLsc) -> float:
    """Return the error of one sample on the scale of logarithms, from the LSC."""
    return math.sqrt(math.log1p((least.percent / 100 / TIMES_CV) ** 2))


def _seen(counts_from: float, one: float, size: Callable[[float], float]) -> Seen:
    """Return what is seen where each measurement has an error of one standard deviation.

    size  gives a change of this scale as it is printed
    """
    once, twice = one * _ONCE, one * _TWICE
    further = _NORMAL.inv_cdf(FOUR_IN_FIVE)
    end = counts_from + 3 * once
    steps = [end * step / _POINTS for step in range(_POINTS + 1)]
    return Seen(
        half=size(counts_from),
        four_in_five=size(counts_from + further * once),
        twice=size(counts_from + further * twice),
        by_chance=_NORMAL.cdf(-counts_from / once),
        curve=tuple((size(step), _NORMAL.cdf((step - counts_from) / once)) for step in steps),
    )
