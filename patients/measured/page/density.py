"""Density of each site over time: the picture, the scans in a table, when a change could show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from patients.facts.declared import Scan
from patients.facts.units import clean_text, show_number
from patients.measured import density_history
from patients.measured.chance_chart import chance_chart, words
from patients.measured.chance_of_seeing import USUAL_LOSS, Chances, chances
from patients.measured.chart import Mark, chart
from patients.measured.density import SITES
from patients.measured.density_history import Kept, Line
from patients.measured.page.words import VERDICTS, density_change, density_sentence, lsc_words
from patients.measured.series import density_series
from patients.scanners import precision
from patients.scanners.precision import Change, Lsc

#: RMS-SD in g/cm2 by site, of each scanner by its name in small letters.
ClinicErrors = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True)
class Held:
    """A change in words: its size, the verdict with its sign, and why there is none."""

    text: str
    verdict: str
    sign: str
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """One scan in words."""

    kept: Kept
    bmd: str
    t: str
    z: str
    against_baseline: Held | None
    against_last: Held | None
    is_baseline_the_last: bool


@dataclass(frozen=True)
class ChanceRow:
    """The chance of seeing a gain as in one trial, in words."""

    found: Chances
    change: str
    when: str
    best: str
    twice: str


@dataclass(frozen=True)
class DensityBlock:
    """One site for reading.

    sentences     the newest scan against the baseline and, where it is another, the last
    picture       SVG over time; "" with a single scan, which shows no change
    chances       of seeing a gain as in each trial; () where nothing can be said
    chance_picture  SVG of them by month; "" without one
    """

    site: str
    label: str
    rows: tuple[Row, ...]
    sentences: tuple[str, ...]
    error: str
    is_clinics: bool
    cautions: tuple[str, ...]
    picture: str
    has_hollow: bool
    chances: tuple[ChanceRow, ...]
    chance_picture: str


def density_blocks(
    scans: Sequence[Scan],
    parts: Sequence[str | None],
    errors: ClinicErrors,
    marks: Sequence[Mark] = (),
    loss_percent_a_year: float = USUAL_LOSS,
) -> tuple[DensityBlock, ...]:
    """Return every site that has a density; parts gives each scan's vertebrae or side.

    loss_percent_a_year: what she is taken to lose without training.
    """
    found = (_block(site, scans, parts, errors, marks, loss_percent_a_year) for site in SITES)
    return tuple(block for block in found if block is not None)


def least_of(scan: Scan, errors: ClinicErrors) -> Lsc | None:
    """Return the LSC of a scan's site, by its scanner's own study where there is one."""
    return precision.lsc(scan.site, errors.get(clean_text(scan.scanner or "").casefold()))


def _block(
    site: str,
    scans: Sequence[Scan],
    parts: Sequence[str | None],
    errors: ClinicErrors,
    marks: Sequence[Mark],
    loss: float,
) -> DensityBlock | None:
    kept = density_history.of_each_day(scans, site, parts)
    if not kept:
        return None
    least = least_of(kept[-1].scan, errors)
    lines = density_history.lines(kept, least)
    series = density_series(scans, site, least, parts)
    assert series is not None
    seen = () if least is None else chances(site, least, kept[-1].bmd_g_cm2, loss)
    return DensityBlock(
        site=site,
        label=series.label,
        rows=tuple(map(_row, reversed(lines))),
        sentences=tuple(_sentences(lines[-1])),
        error=lsc_words(least),
        is_clinics=least is not None and least.source == precision.CLINIC_SOURCE,
        cautions=series.cautions if len(kept) > 1 else (),
        picture=chart(series, marks, name=f"chart-{site}") if len(kept) > 1 else "",
        has_hollow=not all(point.comparable for point in series.points),
        chances=tuple(map(_chance_row, seen)),
        chance_picture=chance_chart(seen, name=f"chance-{site}") if seen else "",
    )


def _chance_row(found: Chances) -> ChanceRow:
    return ChanceRow(
        found=found,
        change=f"{show_number(found.change_percent, 1)} %",
        when=words(found),
        best=f"month {found.best}: {found.at_best:.0%}",
        twice=f"{found.twice:.0%}",
    )


def _sentences(line: Line) -> Iterable[str]:
    if line.against_baseline is None or line.against_last is None:
        yield "One scan so far. A change can be judged once there is a second."
        return
    assert line.baseline is not None
    assert line.last is not None
    yield f"Since {_day(line.baseline)}: {density_sentence(line.against_baseline)}"
    if line.last is not line.baseline:
        yield f"Since {_day(line.last)}, the scan before: {density_sentence(line.against_last)}"


def _day(kept: Kept) -> str:
    return f"{kept.scan.date:%-d %b %Y}"


def _row(line: Line) -> Row:
    scan = line.kept.scan
    return Row(
        kept=line.kept,
        bmd=show_number(line.kept.bmd_g_cm2, 3),
        t=_score(scan.t),
        z=_score(scan.z),
        against_baseline=_held(line.against_baseline),
        against_last=_held(line.against_last),
        is_baseline_the_last=line.baseline is line.last,
    )


def _score(score: float | None) -> str:
    return "–" if score is None else show_number(score, 1)


def _held(change: Change | None) -> Held | None:
    if change is None:
        return None
    word, sign = VERDICTS[change.verdict]
    return Held(density_change(change), word, sign, change.reasons)
