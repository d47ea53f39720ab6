"""Bone turnover markers: units, the least change that counts, usual ranges, sampling."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType

from patients.facts.ages import within_months
from patients.facts.codes import MARKER_UNITS, MARKERS
from patients.facts.declared import Facts, Fracture, Turnover
from patients.facts.units import show_number
from patients.scanners.precision import percent_change

#: Size of each unit of mass in ng/L. Units of activity (U/L) are never converted.
_IN_NG_L = MappingProxyType({"ng/L": 1.0, "pg/mL": 1.0, "ng/mL": 1000.0, "ug/L": 1000.0})
#: The unit in which each marker is charted; bone ALP stays in the unit it came in.
USUAL_UNIT = MappingProxyType({"ctx": "ng/L", "p1np": "ug/L", "osteocalcin": "ug/L"})
#: 1.96 x the root of two.
TIMES_CV = 2.77
#: A fracture raises markers for about this long, calendar months (from memory, to be confirmed).
FRACTURE_MONTHS = 12
SAME_LABORATORY = "Check that one laboratory and method did both; it is not recorded here."
_TINY = 1e-9


@dataclass(frozen=True)
class MarkerLsc:
    """The change of a marker, in percent, beyond which it counts, and whose figure it is.

    own  it is that of the clinic's laboratory
    """

    percent: float
    source: str
    own: bool = False

    @property
    def words(self) -> str:
        """Return from what size a change counts, and whose figure it is."""
        percent = show_number(self.percent, 1).removesuffix(".0")
        size = f"A change counts where it is more than {percent} %"
        if self.own:
            return f"{size} ({self.source})."
        return f"{size} ({self.source}); the laboratory’s own figure would go before."


#: Used until the clinic gives its laboratory's own.
DEFAULT_LSC = MappingProxyType(
    {
        "ctx": MarkerLsc(56.0, "IOF and ECTS, PMC5302161"),
        "p1np": MarkerLsc(38.0, "IOF and ECTS, PMC5302161"),
        "osteocalcin": MarkerLsc(29.0, "PMID 8633185"),
        "bone_alp": MarkerLsc(24.0, "27 women sampled 7 times in 4 to 6 months, 2001"),
    }
)


@dataclass(frozen=True)
class UsualRange:
    """The range of a marker in healthy women; both ends are inside."""

    low: float
    high: float
    unit: str
    source: str


_KOREA = "J Bone Metab 2020;27(1), women in Korea, fasting"
#: By menopause ("before" or "after") and marker.
USUAL = MappingProxyType(
    {
        ("before", "ctx"): UsualRange(101, 632, "ng/L", _KOREA),
        ("before", "osteocalcin"): UsualRange(6.73, 24.27, "ug/L", _KOREA),
        ("after", "ctx"): UsualRange(124, 1020, "ng/L", _KOREA),
        ("after", "osteocalcin"): UsualRange(5.42, 41.57, "ug/L", _KOREA),
    }
)


#: What a value of a marker may be in an adult, sick or well; both ends are inside. Wide on
#: purpose: a hundredth of the usual or ten times it is a slip of the unit (project choice, for
#: the clinic to confirm).
PLAUSIBLE = MappingProxyType(
    {
        ("ctx", "ng/L"): (15.0, 5000.0),
        ("p1np", "ug/L"): (3.0, 1200.0),
        ("osteocalcin", "ug/L"): (0.5, 300.0),
        ("bone_alp", "ug/L"): (1.0, 500.0),
        ("bone_alp", "U/L"): (2.0, 1000.0),
    }
)


@dataclass(frozen=True)
class MarkerChange:
    """Two samples of one marker compared.

    verdict   rise, fall, within_error or not_comparable
    reasons   why they cannot be compared; () where they can
    cautions  what could not be checked
    percent   last less first in percent of the first; None where not comparable
    lsc       what it is held against
    """

    verdict: str
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    percent: float | None
    lsc: MarkerLsc


def converted(value: float, unit: str, wanted: str) -> float | None:
    """Return a value in another unit; None where the two measure different things."""
    if unit == wanted:
        return value
    if unit not in _IN_NG_L or wanted not in _IN_NG_L:
        return None
    return value * _IN_NG_L[unit] / _IN_NG_L[wanted]


def plausible(marker: str, unit: str) -> tuple[float, float] | None:
    """Return the range of a marker in a unit; None where it is not measured in it."""
    for (code, usual), (low, high) in PLAUSIBLE.items():
        lowest, highest = converted(low, usual, unit), converted(high, usual, unit)
        if code == marker and lowest is not None and highest is not None:
            return lowest, highest
    return None


def is_plausible(marker: str, value: float, unit: str) -> bool:
    """Tell whether a value of a marker can be one in this unit."""
    found = plausible(marker, unit)
    return found is not None and found[0] <= value <= found[1]


def unit_slip(told: Turnover) -> str | None:
    """Return the question for a marker that can be none in its unit; None where it can."""
    if is_plausible(told.marker, told.value, told.unit):
        return None
    name, unit = MARKERS[told.marker], MARKER_UNITS[told.unit]
    expected = plausible(told.marker, told.unit)
    # Of what is measured in its unit only one that it can be turned into is meant.
    near = [u for u in _ASKED_FIRST if not expected or converted(1, told.unit, u) is not None]
    meant = [u for u in near if is_plausible(told.marker, told.value, u)]
    asked = f"Did you mean {MARKER_UNITS[meant[0]]}?" if meant else "Check value and unit."
    range_ = f"from {expected[0]:g} to {expected[1]:g} {unit} is expected" if expected else ""
    why = range_ or f"it is not measured in {unit}"
    return f"{name} {told.value:g} {unit}: {why}. {asked}"


#: Of units that are one, the one that laboratories write is asked about.
_ASKED_FIRST = ("ng/mL", "ug/L", "ng/L", "pg/mL", "U/L")


def lsc_percent(cv_analytical_percent: float, cv_within_percent: float) -> float:
    """Return the LSC of a marker from its two coefficients of variation, all in percent.

    The critical difference of laboratory practice: 2.77 x sqrt(CVa^2 + CVi^2).
    """
    return TIMES_CV * math.hypot(cv_analytical_percent, cv_within_percent)


def laboratory_lsc(
    laboratory: str, told_on: dt.date, given: float | tuple[float, float]
) -> MarkerLsc:
    """Return a laboratory's own LSC with whose it is.

    given  the LSC, or the analytical and the within-person CV to work it out from, percent
    """
    told = f"laboratory {laboratory}, told {told_on.day} {told_on:%b %Y}"
    if not isinstance(given, tuple):
        return MarkerLsc(given, told, own=True)
    analytical, within = (show_number(cv, 1) for cv in given)
    how = f"worked out from its CV of {analytical} % and {within} % within a person"
    return MarkerLsc(lsc_percent(*given), f"{told}, {how}", own=True)


def compare(one: Turnover, other: Turnover, lsc: MarkerLsc | None = None) -> MarkerChange:
    """Compare two samples of one marker; the earlier is the baseline.

    A change counts where it is more than the LSC, which is the default where none is given.
    """
    first, last = sorted((one, other), key=lambda s: s.date)
    lsc = lsc or DEFAULT_LSC[first.marker]
    value = converted(last.value, last.unit, first.unit)
    if first.marker != last.marker:
        return _not_comparable("The samples are of two different markers.", lsc)
    if value is None:
        units = f"{MARKER_UNITS[first.unit]} and {MARKER_UNITS[last.unit]}"
        return _not_comparable(f"{units} measure different things.", lsc)
    percent = percent_change(first.value, value)
    return MarkerChange(verdict(percent, lsc.percent), (), _cautions(first, last), percent, lsc)


def verdict(percent: float, lsc: float) -> str:
    """Return rise, fall or within_error; a change equal to the LSC does not count."""
    if abs(percent) <= lsc + _TINY:
        return "within_error"
    return "rise" if percent > 0 else "fall"


def place(sample: Turnover, usual: UsualRange) -> str | None:
    """Return below, within or above the usual range; None where units do not convert."""
    value = converted(sample.value, sample.unit, usual.unit)
    if value is None:
        return None
    if value < usual.low - _TINY:
        return "below"
    return "above" if value > usual.high + _TINY else "within"


def sampling_cautions(sample: Turnover, facts: Facts) -> tuple[str, ...]:
    """Return what about the sampling may have moved a value; () where nothing is known to.

    Fasting, fracture and kidney: laboratory consensus, from memory, to be confirmed.
    """
    return (
        *_timing(sample),
        *_fractures(facts.fractures, sample.date),
        *_kidney(sample, facts.condition("kidney_disease").answer),
    )


def _not_comparable(reason: str, lsc: MarkerLsc) -> MarkerChange:
    return MarkerChange("not_comparable", (reason,), (), None, lsc)


def _cautions(first: Turnover, last: Turnover) -> tuple[str, ...]:
    if first.unit == last.unit:
        return (SAME_LABORATORY,)
    mixed = f"Reported in {MARKER_UNITS[first.unit]} and in {MARKER_UNITS[last.unit]}."
    return (f"{mixed} The later was turned into the earlier's unit.", SAME_LABORATORY)


def _timing(sample: Turnover) -> tuple[str, ...]:
    if sample.marker != "ctx" or sample.fasting_morning:
        return ()
    if sample.fasting_morning is None:
        return ("Not recorded whether CTX was taken fasting, before 10 in the morning.",)
    return ("CTX was not taken fasting before 10 in the morning; it swings over the day.",)


def _fractures(fractures: Iterable[Fracture] | None, day: dt.date) -> tuple[str, ...]:
    if fractures is None:
        return ("Fractures are not recorded; one in the last 12 months raises markers.",)
    dates = [f.date for f in fractures]
    if any(broken and within_months(broken, day, FRACTURE_MONTHS) for broken in dates):
        return ("A fracture in the last 12 months raises markers.",)
    if None in dates:
        return ("A fracture has no date; one in the last 12 months raises markers.",)
    return ()


def _kidney(sample: Turnover, answer: bool | None) -> tuple[str, ...]:
    if sample.marker != "ctx" or answer is False:
        return ()
    if answer is None:
        return ("Kidney disease is not recorded; it raises CTX.",)
    return ("Kidney disease raises CTX.",)
