"""The scans of one site, one for each day, each held against the baseline and the last."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, zip_longest

from patients.facts.declared import Scan
from patients.facts.units import clean_text
from patients.scanners import precision
from patients.scanners.precision import Change, Lsc


@dataclass(frozen=True)
class Kept:
    """A scan with its density in g/cm2, and its vertebrae or side; None is not recorded."""

    scan: Scan
    bmd_g_cm2: float
    part: str | None


@dataclass(frozen=True)
class Line:
    """One scan, held against the baseline and against the one before.

    Both are None for the first scan. The baseline is the earliest that can be compared with
    it; where none can, both are the one before, and the change says why.
    """

    kept: Kept
    baseline: Kept | None = None
    against_baseline: Change | None = None
    last: Kept | None = None
    against_last: Change | None = None


def of_each_day(
    scans: Iterable[Scan], site: str, parts: Iterable[str | None] = ()
) -> tuple[Kept, ...]:
    """Return the scans of a site that give a density, one a day, oldest first.

    parts gives the vertebrae or side of each scan in turn, as "L1-L4" or "left". Of several
    scans of a day the one of the newest's part is taken, and of those the lowest.
    """
    kept = [
        Kept(scan, scan.bmd_g_cm2, part or None)
        for scan, part in zip_longest(scans, parts)
        if scan is not None and scan.site == site and scan.bmd_g_cm2 is not None
    ]
    newest = max((_of_day(day) for day in _days(kept)), key=_day_of, default=None)
    return tuple(_of_day(day, newest) for day in _days(kept))


def lines(kept: Sequence[Kept], least: Lsc | None) -> tuple[Line, ...]:
    """Return each scan with its changes, oldest first."""
    return tuple(_line(kept[: i + 1], least) for i in range(len(kept)))


def change(one: Kept, other: Kept, least: Lsc | None) -> Change:
    """Compare two scans with their vertebrae or sides."""
    first, last = sorted((one, other), key=_day_of)
    return precision.compare(first.scan, last.scan, least, (first.part, last.part))


def is_too_soon(found: Change) -> bool:
    """Tell of a change within the error, looked for before the first look at density."""
    first_look_days = precision.DAYS_A_YEAR * precision.FIRST_LOOK_MONTHS / 12
    return found.verdict == "within_error" and found.days < round(first_look_days)


def _line(until: Sequence[Kept], least: Lsc | None) -> Line:
    *before, this = until
    if not before:
        return Line(this)
    fit = (kept for kept in before if not change(kept, this, least).reasons)
    baseline, last = next(fit, before[-1]), before[-1]
    return Line(this, baseline, change(baseline, this, least), last, change(last, this, least))


def _days(kept: Iterable[Kept]) -> list[list[Kept]]:
    return [list(day) for _, day in groupby(sorted(kept, key=_day_of), key=_day_of)]


def _day_of(kept: Kept) -> dt.date:
    return kept.scan.date


def _of_day(day: Sequence[Kept], newest: Kept | None = None) -> Kept:
    same = [k for k in day if newest is not None and _plain(k.part) == _plain(newest.part)]
    return min(same or day, key=lambda k: k.bmd_g_cm2)


def _plain(part: str | None) -> str:
    return clean_text(part or "").casefold()
