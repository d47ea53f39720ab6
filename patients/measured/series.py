"""One measure over time: its points, the error around the first, and what has changed.

Nothing is drawn here; a chart takes a series as it is. To start from a later baseline, pass
the results from that day on.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType

from patients.facts.codes import MARKER_UNITS, MARKERS, SCAN_SITES
from patients.facts.declared import Scan, Tests, Turnover
from patients.measured import density_history, function_tests, turnover
from patients.measured.density_history import Kept
from patients.measured.turnover import MarkerLsc
from patients.scanners import precision
from patients.scanners.precision import Lsc

#: Unit and decimals of each measure of function.
_FUNCTION_UNITS = MappingProxyType(
    {
        "up_and_go_s": ("s", 1),
        "chair_stands_30s": ("", 0),
        "five_stands_s": ("s", 1),
        "side_by_side_s": ("s", 1),
        "semi_tandem_s": ("s", 1),
        "tandem_s": ("s", 1),
        "one_leg_s": ("s", 1),
        "grip_kg": ("kg", 1),
        "gait_m_s": ("m/s", 2),
        "sppb": ("", 0),
    }
)


@dataclass(frozen=True)
class Point:
    """One value of a day; comparable tells whether it can be held against the newest."""

    on: dt.date
    value: float
    comparable: bool = True


@dataclass(frozen=True)
class Step:
    """The newest value against an earlier one.

    verdict   density: gain, loss; markers: rise, fall; both: within_error, not_comparable.
              function: better, worse, no_clear_change
    reasons   why there is no verdict; () where there is one
    percent   change in percent of the earlier; None where not comparable, or from nought
    """

    since: dt.date
    verdict: str
    reasons: tuple[str, ...]
    percent: float | None


@dataclass(frozen=True)
class Series:
    """A measure over time, oldest first.

    baseline          the first point comparable with the newest; a lone point is its own
    band              low and high end of the error around the baseline; None where unknown
    against_baseline  the newest against the baseline; None with one point, or where no
                      change that counts is known
    against_last      the newest against the one before, the same way
    cautions          what could not be checked or drawn
    """

    measure: str
    label: str
    unit: str
    decimals: int
    points: tuple[Point, ...]
    baseline: Point
    band: tuple[float, float] | None
    against_baseline: Step | None
    against_last: Step | None
    cautions: tuple[str, ...]


def density_series(
    scans: Iterable[Scan], site: str, least: Lsc | None, parts: Iterable[str | None] = ()
) -> Series | None:
    """Return the density of one site over time; None where no scan gives one.

    One scan a day (see `density_history`). Scans of another scanner, side or vertebrae than
    the newest stay in the picture, marked not comparable.
    """
    kept = density_history.of_each_day(scans, site, parts)
    if not kept:
        return None
    newest = kept[-1]
    points = tuple(Point(k.scan.date, k.bmd_g_cm2, _comparable(k, newest, least)) for k in kept)
    start = next(index for index, point in enumerate(points) if point.comparable)
    baseline = points[start]
    steps = [_density_step(kept[i], newest, least) for i in _earlier(start, len(kept))]
    return Series(
        measure=site,
        label=SCAN_SITES[site],
        unit="g/cm²",
        decimals=3,
        points=points,
        baseline=baseline,
        band=None if least is None else _around(baseline.value, least.at(baseline.value)),
        against_baseline=steps[0] if steps else None,
        against_last=steps[1] if steps else None,
        cautions=density_history.change(newest, newest, least).cautions,
    )


def marker_series(
    samples: Iterable[Turnover], marker: str, lsc: MarkerLsc | None = None
) -> Series | None:
    """Return one turnover marker over time in one unit; None where there is no sample.

    The unit is the marker's usual one, or else the newest sample's; samples that do not
    convert to the newest's unit are left out and said.
    """
    taken = sorted((s for s in samples if s.marker == marker), key=lambda s: s.date)
    if not taken:
        return None
    unit = _unit(taken[-1])
    drawn = [(s, v) for s in taken if (v := turnover.converted(s.value, s.unit, unit)) is not None]
    points = tuple(Point(s.date, value) for s, value in drawn)
    least = lsc or turnover.DEFAULT_LSC[marker]
    steps = [_marker_step(drawn[i][0], drawn[-1][0], least) for i in _earlier(0, len(drawn))]
    return Series(
        measure=marker,
        label=MARKERS[marker],
        unit=MARKER_UNITS[unit],
        decimals=_decimals(points, 3 if unit == "ng/mL" else 1),
        points=points,
        baseline=points[0],
        band=_around(points[0].value, points[0].value * least.percent / 100),
        against_baseline=steps[0] if steps else None,
        against_last=steps[1] if steps else None,
        cautions=(
            *_not_drawn(len(taken) - len(drawn), "in another unit"),
            turnover.SAME_LABORATORY,
        ),
    )


def function_series(tests: Iterable[Tests], measure: str) -> Series | None:
    """Return one measure of function over time; None where it was never measured.

    Measures are those of `function_tests.measures`: gait speed and SPPB beside the tests.
    """
    taken = [(t.date, v) for t in tests if (v := function_tests.measures(t)[measure]) is not None]
    points = tuple(sorted((Point(day, v) for day, v in taken if day), key=lambda p: p.on))
    if not points:
        return None
    unit, decimals = _FUNCTION_UNITS[measure]
    counts = function_tests.CHANGE_THAT_COUNTS.get(measure)
    steps = [_function_step(measure, points[i], points[-1]) for i in _earlier(0, len(points))]
    return Series(
        measure=measure,
        label=function_tests.LABELS[measure],
        unit=unit,
        decimals=decimals,
        points=points,
        baseline=points[0],
        band=None if counts is None else _around(points[0].value, counts[0]),
        against_baseline=steps[0] if steps else None,
        against_last=steps[1] if steps else None,
        cautions=_not_drawn(len(taken) - len(points), "without a date"),
    )


def _comparable(kept: Kept, newest: Kept, least: Lsc | None) -> bool:
    return kept is newest or not density_history.change(kept, newest, least).reasons


def _earlier(start: int, count: int) -> tuple[int, ...]:
    """Return where the baseline and the one before the newest stand; () with one point."""
    return () if count < 2 else (min(start, count - 2), count - 2)


def _density_step(kept: Kept, newest: Kept, least: Lsc | None) -> Step:
    found = density_history.change(kept, newest, least)
    return Step(kept.scan.date, found.verdict, found.reasons, found.percent)


def _marker_step(sample: Turnover, newest: Turnover, least: MarkerLsc) -> Step:
    found = turnover.compare(sample, newest, least)
    return Step(sample.date, found.verdict, found.reasons, found.percent)


def _function_step(measure: str, point: Point, newest: Point) -> Step | None:
    found = function_tests.change(measure, point.value, newest.value)
    if found is None:
        return None
    percent = precision.percent_change(point.value, newest.value) if point.value else None
    return Step(point.on, found.verdict, (), percent)


def _unit(newest: Turnover) -> str:
    usual = turnover.USUAL_UNIT.get(newest.marker, newest.unit)
    return newest.unit if turnover.converted(1, newest.unit, usual) is None else usual


def _decimals(points: Iterable[Point], most: int) -> int:
    """Return the fewest decimals that show every value as it is, up to the most."""
    values = [round(point.value, most) for point in points]
    return next(n for n in range(most + 1) if all(round(v, n) == v for v in values))


def _around(value: float, error: float) -> tuple[float, float]:
    return value - error, value + error


def _not_drawn(count: int, why: str) -> tuple[str, ...]:
    return (f"Left out, {why}: {count}.",) if count else ()
