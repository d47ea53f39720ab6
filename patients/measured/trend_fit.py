"""Her own trend of density as a mixed model in closed form: sites with slopes of their own.

For one person, each site j has its own level and its own slope b_j, spread about a common slope
with variance tau2:

    y_ij = a_j + b_j t_ij + c_j max(t_ij - t0, 0) + e_ij,   b_j ~ N(b, tau2),   c_j likewise

y is the density in percent of the site's first, t is in years, t0 is the change point, and the
error e_ij is known: that of the scanner's precision study. So each site is least squares with a
known variance, and the common slope is the mean of the sites weighted by 1 / (v_j + tau2), with
tau2 by the moments of DerSimonian and Laird (1986; common practice, from memory). Nothing is
iterated, and nothing is estimated from a handful of scans that a precision study knows better.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

#: The 95 % interval of a normal error of known size.
TIMES = 1.96


@dataclass(frozen=True, kw_only=True)
class Site:
    """The scans of a site that can be compared: years, percent of the first, and their error.

    error_percent   one standard deviation of a scan
    """

    site: str
    years: tuple[float, ...]
    percent: tuple[float, ...]
    error_percent: float


@dataclass(frozen=True, kw_only=True)
class Slope:
    """A slope in percent a year with its standard error, and how far sites differ beyond it."""

    value: float
    error: float
    spread: float = 0.0

    @property
    def low(self) -> float:
        """Return the lower end of its 95 % interval."""
        return self.value - TIMES * self.error

    @property
    def high(self) -> float:
        """Return the upper end of its 95 % interval."""
        return self.value + TIMES * self.error

    @property
    def holds_none(self) -> bool:
        """Tell whether no slope at all lies within the interval."""
        return self.low <= 0 <= self.high


def slope(sites: Sequence[Site]) -> Slope:
    """Return the common slope over all scans; each site has scans of two days or more."""
    return _common([_of_site(site, None)[0] for site in sites])


def bend(sites: Sequence[Site], at_years: Sequence[float]) -> tuple[Slope, Slope]:
    """Return the common slope before a change point, and how much it is another one after.

    at_years   of the scan of the point, of each site; it has scans before that one and after
    """
    found = [_of_site(site, at) for site, at in zip(sites, at_years, strict=True)]
    return _common([one[0] for one in found]), _common([one[1] for one in found])


def _of_site(site: Site, at_years: float | None) -> tuple[Slope, ...]:
    years = np.array(site.years)
    columns = [np.ones_like(years), years]
    if at_years is not None:
        columns.append(np.maximum(years - at_years, 0))
    design = np.column_stack(columns)
    spread = np.linalg.inv(design.T @ design)
    fitted = spread @ design.T @ np.array(site.percent)
    errors = site.error_percent * np.sqrt(np.diag(spread))
    return tuple(
        Slope(value=float(value), error=float(error))
        for value, error in zip(fitted[1:], errors[1:], strict=True)
    )


def _common(found: Sequence[Slope]) -> Slope:
    """Return the mean of slopes, with the spread between them in its error."""
    weights = [1 / one.error**2 for one in found]
    whole = math.fsum(weights)
    mean = math.fsum(w * one.value for w, one in zip(weights, found, strict=True)) / whole
    beyond = math.fsum(w * (one.value - mean) ** 2 for w, one in zip(weights, found, strict=True))
    room = whole - math.fsum(w**2 for w in weights) / whole
    spread = max(0.0, (beyond - (len(found) - 1)) / room) if len(found) > 1 else 0.0
    widened = [1 / (one.error**2 + spread) for one in found]
    total = math.fsum(widened)
    value = math.fsum(w * one.value for w, one in zip(widened, found, strict=True)) / total
    return Slope(value=value, error=math.sqrt(1 / total), spread=math.sqrt(spread))
