"""Bone markers over time: values in one table with verdicts, what moved them, the picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from patients.facts.codes import MARKER_UNITS, MARKERS
from patients.facts.declared import Facts, Turnover
from patients.facts.units import show_against, show_number
from patients.measured import chance_of_change, turnover
from patients.measured.chart import Mark, chart
from patients.measured.page.density import Held
from patients.measured.page.seen import SeenBlock, seen_block
from patients.measured.page.words import VERDICTS, signed
from patients.measured.series import marker_series
from patients.measured.turnover import MarkerChange, MarkerLsc

#: The LSC of the clinic's own laboratory, of each marker for which it gave one.
LaboratoryLscs = Mapping[str, MarkerLsc]


@dataclass(frozen=True)
class MarkerRow:
    """One sample in words; place is below, within or above the usual range, or ""."""

    sample: Turnover
    value: str
    against_first: Held | None
    against_last: Held | None
    place: str
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class MarkerBlock:
    """One marker for reading.

    usual    the range of healthy women in words, or ""
    picture  SVG over time; "" with a single sample, which shows no change
    seen     which true changes the laboratory's error lets through
    """

    marker: str
    label: str
    rows: tuple[MarkerRow, ...]
    error: str
    usual: str
    cautions: tuple[str, ...]
    picture: str
    seen: SeenBlock


def marker_blocks(
    facts: Facts, lscs: LaboratoryLscs, marks: Sequence[Mark] = ()
) -> tuple[MarkerBlock, ...]:
    """Return every marker that was ever taken; a laboratory's own LSC goes before the default."""
    own = turnover.DEFAULT_LSC | lscs
    found = (_block(marker, facts, own[marker], marks) for marker in MARKERS)
    return tuple(block for block in found if block is not None)


def _block(
    marker: str, facts: Facts, least: MarkerLsc, marks: Sequence[Mark]
) -> MarkerBlock | None:
    series = marker_series(facts.turnover or (), marker, least)
    if series is None:
        return None
    samples = sorted((s for s in facts.turnover or () if s.marker == marker), key=lambda s: s.date)
    rows = [_row(samples[: i + 1], facts, least) for i in range(len(samples))]
    return MarkerBlock(
        marker=marker,
        label=series.label,
        rows=tuple(reversed(rows)),
        error=least.words,
        usual=_usual(marker, facts),
        cautions=series.cautions,
        picture=chart(series, marks, name=f"chart-{marker}") if len(samples) > 1 else "",
        seen=_seen(marker, series.label, least),
    )


def _seen(marker: str, label: str, least: MarkerLsc) -> SeenBlock:
    rise = ("A rise", chance_of_change.rises_of(least))
    fall = chance_of_change.falls_of(least)
    found = [rise] if fall is None else [("A fall", fall), rise]
    return seen_block(marker, label, found, "%", least.words)


def _row(until: Sequence[Turnover], facts: Facts, least: MarkerLsc) -> MarkerRow:
    *before, sample = until
    usual = _range(sample.marker, facts)
    return MarkerRow(
        sample=sample,
        value=f"{sample.value:g} {MARKER_UNITS[sample.unit]}",
        against_first=_held(before[0], sample, least) if before else None,
        against_last=_held(before[-1], sample, least) if before else None,
        place=(turnover.place(sample, usual) or "") if usual else "",
        cautions=turnover.sampling_cautions(sample, facts),
    )


def _held(earlier: Turnover, later: Turnover, least: MarkerLsc) -> Held:
    change = turnover.compare(earlier, later, least)
    word, sign = VERDICTS[change.verdict]
    return Held(_percent(change, least), word, sign, change.reasons)


def _percent(change: MarkerChange, least: MarkerLsc) -> str:
    """Return the change with the decimals it takes to stay on its side of the LSC."""
    if change.percent is None:
        return ""
    # Rounded first: the last digits are the computer's.
    size = show_against(round(abs(change.percent), 6), least.percent, 0)
    decimals = len(size.partition(".")[2])
    return f"{signed(change.percent, decimals)} %"


def _range(marker: str, facts: Facts) -> turnover.UsualRange | None:
    return turnover.USUAL.get((facts.person.menopause or "", marker))


def _usual(marker: str, facts: Facts) -> str:
    found = _range(marker, facts)
    if found is None:
        return ""
    low, high = (show_number(end, 2).rstrip("0").rstrip(".") for end in (found.low, found.high))
    return f"Usual: {low} to {high} {MARKER_UNITS[found.unit]} ({found.source})."
