"""Precision of a density scanner, the least change that counts, and two scans compared."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, variance
from types import MappingProxyType

from patients.facts.ages import days_between
from patients.facts.declared import Scan
from patients.facts.units import clean_text

#: Least significant change as a multiple of the precision error, by confidence in percent:
#: 1.96 and 1.28 times the root of two (ISCD glossary; the 80 % figure as printed by a
#: teaching page on the LSC).
TIMES_ERROR = MappingProxyType({95: 2.77, 80: 1.81})
#: Degrees of freedom of a precision study: 30 people twice, or 15 three times (ISCD).
ENOUGH_FREEDOM = 30
#: Poorest precision error acceptable of one technologist, in percent, and the default where
#: a clinic has measured none of its own (ISCD, from memory, to be confirmed).
DEFAULT_ERROR_PERCENT = MappingProxyType(
    {"lumbar_spine": 1.9, "total_hip": 1.8, "femoral_neck": 2.5}
)
DEFAULT_SOURCE = "default, not this clinic’s"
CLINIC_SOURCE = "this clinic's own precision study"
#: First look at density after a start, calendar months (project choice, to be confirmed).
FIRST_LOOK_MONTHS = 12
DAYS_A_YEAR = 365.25
#: The precision study of a spine is of L1 to L4; each other set of vertebrae has one of its own
#: (ISCD 2023, reporting fewer than four vertebrae, J Clin Densitom 27:101436, abstract).
OTHER_VERTEBRAE = (
    "The least significant change is that of L1 to L4; for other vertebrae it has to be worked "
    "out anew (ISCD 2023)."
)
#: Differences smaller than this are the computer's, not the scanner's.
_TINY = 1e-9


@dataclass(frozen=True)
class Precision:
    """The outcome of a precision study at one site.

    rms_sd_g_cm2  root mean square of the people's standard deviations
    cv_percent    root mean square of their coefficients of variation
    freedom       degrees of freedom: repeats less one, summed over the people
    people        how many were scanned
    """

    rms_sd_g_cm2: float
    cv_percent: float
    freedom: int
    people: int

    @property
    def enough(self) -> bool:
        """Tell whether the study is as large as ISCD asks for."""
        return self.freedom >= ENOUGH_FREEDOM

    def upper_limit_g_cm2(self, confidence_percent: float = 90) -> float:
        """Return the upper end of the confidence interval of the precision error, g/cm2.

        The interval is two-sided, so the default leaves 5 % above (Glüer 1995).
        """
        tail = (1 - confidence_percent / 100) / 2
        return self.rms_sd_g_cm2 * math.sqrt(self.freedom / chi_square_quantile(tail, self.freedom))


@dataclass(frozen=True)
class Lsc:
    """Least significant change of one site; exactly one of the two sizes is given.

    source  whose precision error it rests on
    """

    source: str
    g_cm2: float | None = None
    percent: float | None = None

    def at(self, bmd_g_cm2: float) -> float:
        """Return it in g/cm2 for a baseline density."""
        if self.g_cm2 is not None:
            return self.g_cm2
        return bmd_g_cm2 * (self.percent or 0.0) / 100


@dataclass(frozen=True)
class Change:
    """Two scans of one site compared.

    verdict          gain, loss, within_error or not_comparable
    reasons          why they cannot be compared; () where they can
    cautions         what could not be checked
    days             between the scans
    g_cm2, percent, percent_per_year, lsc_g_cm2
                     last less first, and what it is held against; None where not
                     comparable; the yearly figure also where both are of one day
    """

    verdict: str
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    days: int
    g_cm2: float | None = None
    percent: float | None = None
    percent_per_year: float | None = None
    lsc_g_cm2: float | None = None


def precision(people: Sequence[Sequence[float]]) -> Precision:
    """Return the precision of a study: for each person her repeated densities in g/cm2.

    Variances are pooled by their degrees of freedom, which for equal repeats is the mean
    of the squared SDs (ISCD glossary; Glüer 1995). Raises ValueError for nobody, or for a
    person scanned once.
    """
    if not people or any(len(repeats) < 2 for repeats in people):
        raise ValueError("A precision study needs at least two scans of each person.")
    freedom = sum(len(repeats) - 1 for repeats in people)
    sd = math.sqrt(sum((len(r) - 1) * variance(r) for r in people) / freedom)
    cv = math.sqrt(sum((len(r) - 1) * variance(r) / fmean(r) ** 2 for r in people) / freedom)
    return Precision(sd, 100 * cv, freedom, len(people))


def least_significant(error: float, confidence_percent: int = 95) -> float:
    """Return the LSC of a precision error, in the error's unit; confidence 95 or 80."""
    return TIMES_ERROR[confidence_percent] * error


def lsc(site: str, clinic_error_g_cm2: Mapping[str, float] | None = None) -> Lsc | None:
    """Return the LSC (95 %) of a site: the clinic's own, else the default, else None.

    clinic_error_g_cm2 holds the clinic's RMS-SD by site.
    """
    own = (clinic_error_g_cm2 or {}).get(site)
    if own is not None:
        return Lsc(CLINIC_SOURCE, g_cm2=least_significant(own))
    default = DEFAULT_ERROR_PERCENT.get(site)
    if default is None:
        return None
    return Lsc(DEFAULT_SOURCE, percent=least_significant(default))


def percent_change(first: float, last: float) -> float:
    """Return the change from first to last, in percent of the first."""
    return 100 * (last - first) / first


def per_year(change: float, days: int) -> float | None:
    """Return a change spread evenly over 365.25 days; None where no day lies between."""
    return change * DAYS_A_YEAR / days if days else None


def compare(
    one: Scan,
    other: Scan,
    least: Lsc | None,
    parts: tuple[str | None, str | None] = (None, None),
) -> Change:
    """Compare two scans of one site; the earlier is the baseline.

    parts are the vertebrae or the side of each, as "L1-L4" or "left"; None is not recorded.
    A change as large as the LSC counts (ISCD glossary). Scans of two scanners, or of a
    scanner nobody recorded, get no verdict and no percent.
    """
    first, last = sorted((one, other), key=lambda s: s.date)
    days = days_between(first.date, last.date)
    cautions = _cautions(first.site, parts)
    reasons = _bars(first, last, least, parts)
    if reasons or least is None or first.bmd_g_cm2 is None or last.bmd_g_cm2 is None:
        return Change("not_comparable", reasons, cautions, days)
    change, size = last.bmd_g_cm2 - first.bmd_g_cm2, least.at(first.bmd_g_cm2)
    percent = percent_change(first.bmd_g_cm2, last.bmd_g_cm2)
    yearly = per_year(percent, days)
    return Change(verdict(change, size), (), cautions, days, change, percent, yearly, size)


def verdict(change: float, least: float) -> str:
    """Return gain, loss or within_error; a change equal to the least counts."""
    if abs(change) < least - _TINY:
        return "within_error"
    return "gain" if change > 0 else "loss"


def chi_square_quantile(probability: float, freedom: int) -> float:
    """Return the value that a chi-square of that freedom stays below, by bisection."""
    low, high = 0.0, freedom + 20 * math.sqrt(2 * freedom) + 40
    for _ in range(200):
        middle = (low + high) / 2
        if _chi_square_below(middle, freedom) < probability:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _chi_square_below(value: float, freedom: int) -> float:
    """Return the regularised lower incomplete gamma function by its series."""
    half, shape = value / 2, freedom / 2
    term = total = math.exp(shape * math.log(half) - half - math.lgamma(shape + 1))
    step = shape
    while term > total * 1e-17:
        step += 1
        term *= half / step
        total += term
    return total


def _bars(
    first: Scan, last: Scan, least: Lsc | None, parts: tuple[str | None, str | None]
) -> tuple[str, ...]:
    bars = {
        "The scans are of two different sites.": first.site != last.site,
        "A density in g/cm² is missing.": None in (first.bmd_g_cm2, last.bmd_g_cm2),
        "The scanner of a scan is not recorded.": not (
            _plain(first.scanner) and _plain(last.scanner)
        ),
        "The scans are of two different scanners.": _differ(first.scanner, last.scanner),
        f"The {_part_name(first.site)} differ.": _differ(*parts),
        "No least significant change is known for this site.": least is None,
        OTHER_VERTEBRAE: first.site == "lumbar_spine"
        and not _differ(*parts)
        and not all(map(_is_whole_spine, parts)),
    }
    return tuple(reason for reason, holds in bars.items() if holds)


def _is_whole_spine(vertebrae: str | None) -> bool:
    """Tell L1 to L4, however it is written; what is not recorded or has no number passes."""
    numbers = re.findall(r"\d", vertebrae or "")
    return not numbers or numbers in (["1", "4"], ["1", "2", "3", "4"])


def _cautions(site: str, parts: tuple[str | None, str | None]) -> tuple[str, ...]:
    if all(parts):
        return ()
    return (f"Check the reports: the {_part_name(site)} must be the same; not recorded here.",)


def _part_name(site: str) -> str:
    return "vertebrae" if site == "lumbar_spine" else "sides"


def _differ(one: str | None, other: str | None) -> bool:
    return "" not in (_plain(one), _plain(other)) and _plain(one) != _plain(other)


def _plain(name: str | None) -> str:
    return clean_text(name or "").casefold()
