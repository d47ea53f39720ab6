"""Her own trend for reading: one picture of all that was measured, its table, what it comes to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from patients.facts.ages import add_months
from patients.facts.codes import MARKERS
from patients.facts.declared import Facts, Scan, Tests
from patients.facts.units import show_number
from patients.measured import turnover
from patients.measured.density import SITES
from patients.measured.density_history import of_each_day
from patients.measured.function_tests import CHANGE_THAT_COUNTS, measures
from patients.measured.page.density import ClinicErrors, least_of
from patients.measured.page.markers import LaboratoryLscs
from patients.measured.series import density_series, function_series, marker_series
from patients.measured.trend import Event, Measured, Told, half_of, told
from patients.measured.trend_chart import trend_chart

#: What happened longer before the first measurement bends no trend that is seen here.
_MONTHS_BEFORE = 24


@dataclass(frozen=True, kw_only=True)
class TrendLine:
    """One line of the table: a value with its error, or an event, of a day."""

    on: dt.date
    what: str
    value: str = ""
    error: str = ""
    is_event: bool = False


@dataclass(frozen=True, kw_only=True)
class TrendBlock:
    """The whole of it; lines are newest first.

    once   what was measured once, which stands in the table alone
    """

    picture: str
    lines: tuple[TrendLine, ...]
    told: Told
    once: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Known:
    """What was measured, and the errors in use."""

    facts: Facts
    parts: Sequence[str | None]
    tests: Sequence[Tests]
    errors: ClinicErrors
    lscs: LaboratoryLscs


def trend_block(known: Known, events: Sequence[Event]) -> TrendBlock | None:
    """Return her own trend; None where nothing was measured twice."""
    found = tuple(_all(known))
    drawn = [one for one in found if len(one.series.points) > 1]
    if not drawn:
        return None
    first = min(point.on for one in found for point in one.series.points)
    since = add_months(first, -_MONTHS_BEFORE)
    near = [one for one in events if one.on >= since]
    lines = [*_values(found), *_events(near)]
    return TrendBlock(
        picture=trend_chart(drawn, near),
        lines=tuple(sorted(lines, key=lambda one: one.on, reverse=True)),
        told=told(found, near),
        once=tuple(one.series.label for one in found if one not in drawn),
    )


def _all(known: Known) -> Iterator[Measured]:
    scans: tuple[Scan, ...] = known.facts.scans or ()
    for site in SITES:
        kept = of_each_day(scans, site, known.parts)
        if not kept:
            continue
        least = least_of(kept[-1].scan, known.errors)
        series = density_series(scans, site, least, known.parts)
        assert series is not None
        half = None if least is None else half_of(least.at(series.baseline.value))
        yield Measured(series=series, half=half)
    own = turnover.DEFAULT_LSC | known.lscs
    for marker in MARKERS:
        series = marker_series(known.facts.turnover or (), marker, own[marker])
        if series is not None:
            half = half_of(series.points[0].value * own[marker].percent / 100)
            yield Measured(series=series, half=half)
    for measure in measures(Tests()):
        series = function_series(known.tests, measure)
        if series is not None:
            counts = CHANGE_THAT_COUNTS.get(measure)
            yield Measured(series=series, half=None, counts=counts[0] if counts else None)


def _values(found: Sequence[Measured]) -> Iterator[TrendLine]:
    for one in found:
        series = one.series
        for point in series.points:
            hollow = "" if point.comparable else "; cannot be compared with the newest"
            yield TrendLine(
                on=point.on,
                what=series.label,
                value=f"{show_number(point.value, series.decimals)} {series.unit}".strip(),
                error=f"{_error(one)}{hollow}",
            )


def _error(one: Measured) -> str:
    unit, decimals = one.series.unit, one.series.decimals
    if one.half is not None:
        return f"± {show_number(one.half, max(decimals, 1))} {unit}".strip()
    if one.counts is not None:
        return f"not known; a change counts from {one.counts:g} {unit}".strip()
    return "not known"


def _events(events: Sequence[Event]) -> Iterator[TrendLine]:
    for one in events:
        yield TrendLine(on=one.on, what=one.words, is_event=True)
