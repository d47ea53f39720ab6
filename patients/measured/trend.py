"""Her own trend: what happened and when, the points with their errors, and what may be said."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from patients.facts.ages import add_months
from patients.facts.codes import BONE_MEDICINES, FRACTURE_SITES
from patients.facts.declared import Facts
from patients.measured.chart import Mark
from patients.measured.series import Point, Series
from patients.measured.trend_fit import Site, Slope, bend, slope
from patients.scanners.precision import FIRST_LOOK_MONTHS, TIMES_ERROR

#: A trend is told from so many scans of a site over so many months (project choice).
LEAST_SCANS, LEAST_MONTHS = 3, 24
#: A scan up to so many days after a program's day still is the scan of its start (project choice).
START_DAYS = 92
#: Of the hip one site counts: its parts are read from one scan, so their errors go together.
_HIPS = ("total_hip", "femoral_neck")
_YEAR_DAYS = 365.25
_BROKEN = "fracture, {}"


class Kind(StrEnum):
    """What may bend a trend."""

    PROGRAM = "program"
    MEDICINE = "medicine"
    FRACTURE = "fracture"


@dataclass(frozen=True, kw_only=True)
class Event:
    """Something of a day at which a trend may bend."""

    on: dt.date
    kind: Kind
    words: str


@dataclass(frozen=True, kw_only=True)
class Measured:
    """One measure over time with the error of a single measurement.

    half      of its 95 % interval; None where no error is known
    counts    from what size a change counts, where no error is known; None: neither is
    """

    series: Series
    half: float | None
    counts: float | None = None


@dataclass(frozen=True, kw_only=True)
class Told:
    """What the scans come to; sentences are empty where too little can be said.

    lacks   what is too little
    """

    sentences: tuple[str, ...]
    lacks: tuple[str, ...]


def events_of(facts: Facts, marks: Iterable[Mark], told_on: dt.date | None) -> tuple[Event, ...]:
    """Return programs, starts and stops of medicines and fractures, the earliest first.

    marks     the days of programs, from the apps further on
    told_on   the day on which the medicines were told of; months count back from it
    """
    found = [Event(on=one.on, kind=Kind.PROGRAM, words=one.label) for one in marks]
    found += _medicines(facts, told_on)
    found += [
        Event(on=one.date, kind=Kind.FRACTURE, words=_BROKEN.format(FRACTURE_SITES[one.site]))
        for one in facts.fractures or ()
        if one.date is not None
    ]
    return tuple(sorted(found, key=lambda one: (one.on, one.kind, one.words)))


def _medicines(facts: Facts, told_on: dt.date | None) -> Iterator[Event]:
    bone = facts.medicine("bone_medicine")
    name = BONE_MEDICINES.get(bone.kind or "", "bone medicine")
    began = bone.since or _months_before(told_on, bone.months)
    if began is not None:
        yield Event(on=began, kind=Kind.MEDICINE, words=f"{name} begun")
    if bone.stopped and bone.last_dose_on is not None:
        yield Event(on=bone.last_dose_on, kind=Kind.MEDICINE, words=f"{name}, last dose")
    steroid = facts.medicine("glucocorticoid")
    since = _months_before(told_on, steroid.months) if steroid.answer else None
    if since is not None:
        yield Event(on=since, kind=Kind.MEDICINE, words="glucocorticoid begun, about")


def _months_before(day: dt.date | None, months: float | None) -> dt.date | None:
    return None if day is None or months is None else add_months(day, -round(months))


def half_of(least: float) -> float:
    """Return half the 95 % interval of one measurement, from the change that counts between two."""
    return least / math.sqrt(2)


def told(measures: Sequence[Measured], events: Sequence[Event]) -> Told:
    """Return what the scans of density come to, and what is too little to say."""
    sites = _sites([one for one in measures if one.series.unit == "g/cm²"])
    if not sites:
        return Told(
            sentences=(), lacks=("No density is on record whose scanner’s error is known.",)
        )
    enough = [one for one in sites if _is_enough(one.points)]
    if not enough:
        return Told(sentences=(), lacks=tuple(_too_little(one) for one in sites))
    first = min(one.points[0].on for one in enough)
    sentences = [_slope_words(slope([one.fit(first) for one in enough]), _names(enough))]
    lacks = [_too_little(one) for one in sites if one not in enough]
    program = next((one for one in events if one.kind is Kind.PROGRAM), None)
    if program is not None:
        said, lacking = _since(program, enough, first)
        sentences += said
        lacks += lacking
        sentences += _also(events, program, enough)
    return Told(sentences=tuple(sentences), lacks=tuple(lacks))


@dataclass(frozen=True, kw_only=True)
class _Comparable:
    """A site's scans that can be held against its newest, and the error of one."""

    label: str
    site: str
    points: tuple[Point, ...]
    sd: float

    def fit(self, first: dt.date) -> Site:
        """Return it in percent of its first scan, in years from a day."""
        level = self.points[0].value
        return Site(
            site=self.site,
            years=tuple((point.on - first).days / _YEAR_DAYS for point in self.points),
            percent=tuple(100 * point.value / level for point in self.points),
            error_percent=100 * self.sd / level,
        )


def _sites(measures: Iterable[Measured]) -> list[_Comparable]:
    found = {
        one.series.measure: _Comparable(
            label=one.series.label,
            site=one.series.measure,
            points=tuple(point for point in one.series.points if point.comparable),
            sd=one.half * math.sqrt(2) / TIMES_ERROR[95],
        )
        for one in measures
        if one.half is not None
    }
    hips = [site for site in _HIPS if site in found]
    # The one with most scans to compare, the total hip where both have as many.
    kept = max(hips, key=lambda site: len(found[site].points), default=None)
    return [one for site, one in found.items() if site not in _HIPS or site == kept]


def _is_enough(points: Sequence[Point]) -> bool:
    return len(points) >= LEAST_SCANS and _months(points[0].on, points[-1].on) >= LEAST_MONTHS


def _months(first: dt.date, last: dt.date) -> float:
    return (last - first).days / _YEAR_DAYS * 12


def _too_little(one: _Comparable) -> str:
    count, months = len(one.points), round(_months(one.points[0].on, one.points[-1].on))
    scans = "one scan" if count == 1 else f"{count} scans that can be compared"
    over = "" if count == 1 else f" over {months} months"
    return (
        f"{one.label[:1].upper()}{one.label[1:]}: {scans}{over}. A trend is told from "
        f"{LEAST_SCANS} over {LEAST_MONTHS} months."
    )


def _since(
    program: Event, sites: Sequence[_Comparable], first: dt.date
) -> tuple[list[str], list[str]]:
    """Return what changed with the first program, or why that is too little to say."""
    bent = [(one, start) for one in sites if (start := _start(one.points, program.on)) is not None]
    if not bent:
        return [], [
            f"Before and since {program.words}: for that a site needs scans {FIRST_LOOK_MONTHS} "
            "months or more apart on either side of its day."
        ]
    at = [(start.on - first).days / _YEAR_DAYS for _, start in bent]
    before, change = bend([one.fit(first) for one, _ in bent], at)
    names = _names([one for one, _ in bent])
    words = f"Before {program.words}: " + _lower(_slope_words(before, names))
    verdict = (
        "which is no difference beyond the errors"
        if change.holds_none
        else f"{'less loss or more gain' if change.value > 0 else 'more loss or less gain'} since"
    )
    return [words, f"Since then the slope differs by {_interval(change)} a year, {verdict}."], []


def _start(points: Sequence[Point], day: dt.date) -> Point | None:
    """Return the scan of a program's start, where there are scans a year from it on both sides."""
    by_then = [one for one in points if one.on <= day + dt.timedelta(days=START_DAYS)]
    if not by_then:
        return None
    start = by_then[-1]
    on_both = (
        _months(points[0].on, start.on) >= FIRST_LOOK_MONTHS - 0.5,
        _months(start.on, points[-1].on) >= FIRST_LOOK_MONTHS - 0.5,
    )
    return start if all(on_both) else None


def _also(events: Sequence[Event], program: Event, sites: Sequence[_Comparable]) -> Iterator[str]:
    """Yield what else happened within the scans, which the program cannot be told apart from."""
    first = min(one.points[0].on for one in sites)
    last = max(one.points[-1].on for one in sites)
    others = [one for one in events if one.kind is not Kind.PROGRAM and first < one.on <= last]
    if others:
        named = "; ".join(f"{one.words} ({one.on:%-d %b %Y})" for one in others)
        yield f"Within the same scans: {named}. What each did cannot be told apart."
    if any(one.words == _BROKEN.format(FRACTURE_SITES["vertebra"]) for one in others):
        yield "A vertebra that broke is denser on a scan without being stronger."


def _slope_words(found: Slope, names: str) -> str:
    verdict = "no change beyond the errors"
    if not found.holds_none:
        verdict = "a gain beyond the errors" if found.value > 0 else "a loss beyond the errors"
    return f"Density changed by {_interval(found)} a year, {names}: {verdict}."


def _interval(found: Slope) -> str:
    ends = f"{_signed(found.low)} to {_signed(found.high)}"
    return f"{_signed(found.value)} % (95 % interval {ends})"


def _signed(value: float) -> str:
    shown = f"{value:+.1f}"
    return "0.0" if float(shown) == 0 else shown.replace("-", "−")


def _names(sites: Sequence[_Comparable]) -> str:
    return " and ".join(one.label for one in sites) + (" together" if len(sites) > 1 else "")


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]
