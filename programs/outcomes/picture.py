"""The figures as pictures: a row each, its value, and the range around it.

Plain SVG as the house draws it, in ink and greys. The page puts the same numbers in a table.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from patients.facts.units import show_number
from patients.measured.chart import WIDTH, element, line, svg, text, value_ticks
from programs.outcomes.figures import DENSITY, MIDDLE, VERDICTS, Figure

_LEFT, _RIGHT, _ROW, _TOP = 250, 40, 34, 16
_INK, _QUIET, _HAIR = "#1d1b18", "#5c574e", "#c9c1b0"
#: From a gain to what cannot be compared.
_GREYS = dict(zip(VERDICTS.values(), (_INK, "#8f887b", "#d8d1c2", "#ffffff"), strict=True))
_KEY_PX = 178


@dataclass(frozen=True, kw_only=True)
class _Row:
    """Values in units of the axis; words as the table has them."""

    label: str
    value: float
    low: float | None
    high: float | None
    words: str


def words_of(one: Figure) -> str:
    """Return a figure's value and range in words; empty where it is not told."""
    found = one.estimate
    if found is None:
        return ""
    value = f"{show_number(found.value, one.decimals)} {one.unit}"
    if found.low is None or found.high is None:
        return value
    low, high = (show_number(end, one.decimals) for end in (found.low, found.high))
    return f"{value} ({low} to {high})"


def adherence(figures: Iterable[Figure]) -> str:
    """Return of each kind of loading the middle half of the people; empty without any."""
    rows = [_row(one, one.group) for one in figures if one.measure == MIDDLE and one.estimate]
    ends = (0.0, 100.0)
    return _ranges("done", "Sessions done of those planned, percent", rows, ends, "percent")


def harms(figures: Iterable[Figure]) -> str:
    """Return each harm per thousand sessions with its interval; empty without any."""
    rows = [_row(one, one.measure) for one in figures if one.estimate]
    most = max((row.high or row.value for row in rows), default=0.0)
    name = "days per 1000 sessions"
    return _ranges("harms", "Harms per thousand sessions", rows, (0.0, most or 1.0), name)


def function(figures: Iterable[Figure]) -> str:
    """Return each mean change in steps that count, better to the right; empty without any."""
    rows = [_in_steps(one) for one in figures if one.estimate]
    ends = [end for row in rows for end in (row.low, row.high, row.value) if end is not None]
    low, high = min([-1.0, *ends]), max([1.0, *ends])
    name = "in changes that count; to the right is better"
    return _ranges("function", "Mean change of the function tests", rows, (low, high), name)


def density(figures: Sequence[Figure]) -> str:
    """Return of each site whose split is told whole the shares of gain, no change and loss."""
    sites = dict.fromkeys(one.group for one in figures if one.topic == DENSITY)
    held = {site: _shares(site, figures) for site in sites}
    told = {site: shares for site, shares in held.items() if shares}
    if not told:
        return ""
    bottom = _TOP + _ROW * len(told)
    parts = [part for i, row in enumerate(told.items()) for part in _bar(*row, _middle(i))]
    said = "; ".join(
        f"{site}: {', '.join(f'{people} {words}' for words, people in shares.items())}"
        for site, shares in told.items()
    )
    parts += _key(bottom + 14)
    return svg("density", "Density beyond the error, people by site", said, bottom + 44, parts)


def _row(one: Figure, label: str) -> _Row:
    assert one.estimate is not None
    found = one.estimate
    label = label[:1].upper() + label[1:]
    return _Row(label=label, value=found.value, low=found.low, high=found.high, words=words_of(one))


def _in_steps(one: Figure) -> _Row:
    assert one.estimate is not None
    found, step = one.estimate, one.better / one.scale
    ends = [end * step for end in (found.low, found.high) if end is not None]
    row = _row(one, one.measure)
    low, high = (min(ends), max(ends)) if ends else (None, None)
    return _Row(label=row.label, value=found.value * step, low=low, high=high, words=row.words)


def _ranges(
    name: str, title: str, rows: Sequence[_Row], ends: tuple[float, float], axis: str
) -> str:
    if not rows:
        return ""
    bottom = _TOP + _ROW * len(rows)
    parts = [*_axis(ends, bottom, axis)]
    parts += [part for i, row in enumerate(rows) for part in _range(row, ends, _middle(i))]
    said = "; ".join(f"{row.label}: {row.words}" for row in rows)
    return svg(name, title, said, bottom + 46, parts)


def _middle(row: int) -> float:
    return _TOP + _ROW * (row + 0.5)


def _x(value: float, ends: tuple[float, float]) -> float:
    share = (value - ends[0]) / (ends[1] - ends[0])
    return round(_LEFT + share * (WIDTH - _LEFT - _RIGHT), 1)


def _axis(ends: tuple[float, float], bottom: float, words: str) -> Iterator[str]:
    yield line(_LEFT, bottom, WIDTH - _RIGHT, bottom)
    for value in value_ticks(*ends):
        x = _x(value, ends)
        yield line(x, _TOP, x, bottom + 6, stroke=_QUIET if value == 0 else _HAIR)
        yield text(x, bottom + 22, show_number(value, _decimals(value)), text_anchor="middle")
    yield text(WIDTH - _RIGHT, bottom + 40, words, text_anchor="end", fill=_QUIET)


def _decimals(value: float) -> int:
    return len(f"{value:.10f}".rstrip("0").partition(".")[2])


def _range(row: _Row, ends: tuple[float, float], y: float) -> Iterator[str]:
    yield text(_LEFT - 10, y + 5, row.label, text_anchor="end")
    if row.low is not None and row.high is not None:
        yield line(_x(row.low, ends), y, _x(row.high, ends), y, stroke=_QUIET, stroke_width=3)
    yield element("circle", cx=_x(row.value, ends), cy=round(y, 1), r=5, fill=_INK)


def _shares(site: str, figures: Iterable[Figure]) -> dict[str, int]:
    """Return how many people each verdict has; nothing where any of them is not told."""
    cells = {one.measure: one.people for one in figures if one.group == site}
    split = {words: cells[words] for words in VERDICTS.values() if words in cells}
    told = split and all(people.isdecimal() for people in split.values())
    return {words: int(people) for words, people in split.items()} if told else {}


def _bar(site: str, shares: dict[str, int], y: float) -> Iterator[str]:
    yield text(_LEFT - 10, y + 5, site, text_anchor="end")
    ends, before = (0.0, float(sum(shares.values()))), 0
    for words, people in shares.items():
        x, right = _x(before, ends), _x(before + people, ends)
        before += people
        if people:
            box = {"x": x, "y": round(y - 11, 1), "width": round(right - x, 1), "height": 22}
            yield element("rect", **box, fill=_GREYS[words], stroke=_INK)


def _key(y: float) -> Iterator[str]:
    for index, (words, grey) in enumerate(_GREYS.items()):
        x = 8 + index * _KEY_PX
        yield element("rect", x=x, y=y, width=14, height=14, fill=grey, stroke=_INK)
        yield text(x + 20, y + 12, words)
