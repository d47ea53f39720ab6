"""The map as a picture: a row for each program, grouped by what it found, hers as a line.

Ink and greys on a light sheet. A gain is filled, anything else hollow; a square was held against
a sham. The page puts the same in a table.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from patients.measured.chart import WIDTH, element, line, svg, text
from programs.plates.evidence.trial import Direction
from programs.trial_map.published import SITES, Published, rounded
from programs.trial_map.the_map import HEADS, TrialMap

_LEFT, _RIGHT, _TOP, _ROW, _AXIS = 236, 40, 52, 21, 48
_INK, _QUIET, _HAIR, _PAPER = "#1d1b18", "#5c574e", "#c9c1b0", "#ffffff"
#: A longer citation is named by author and year.
_LETTERS = 30


@dataclass(frozen=True, kw_only=True)
class _Scale:
    """Where an amount lies: tenfold steps are equally wide."""

    low: float
    high: float

    def x(self, amount: float) -> float:
        """Return the place across."""
        share = (math.log10(amount) - self.low) / (self.high - self.low)
        return round(_LEFT + share * (WIDTH - _LEFT - _RIGHT), 1)


def picture(shown: TrialMap, site: str) -> str:
    """Return the SVG for a site; nothing where no program on the axis has a result there."""
    rows = list(_rows(shown, site))
    if not rows:
        return ""
    scale, bottom = _scale(shown), _TOP + _ROW * len(rows) + 6
    parts = [*_axis(scale, bottom, shown.axis)]
    for number, row in enumerate(rows):
        parts += _row(row, _TOP + _ROW * (number + 0.5), scale)
    if shown.hers is not None:
        parts += _hers(shown.hers, scale, bottom)
    where = SITES[site]
    return svg(
        f"map-{shown.modality}-{site}",
        f"Trials by load times count: {where}",
        _said(shown, site),
        bottom + _AXIS,
        parts,
    )


def _said(shown: TrialMap, site: str) -> str:
    told = [line for line in shown.says if line.lower().startswith(SITES[site])]
    hers = [] if shown.hers is None else [f"This program: {shown.hers_words}."]
    return " ".join((*told, *hers))


def _rows(shown: TrialMap, site: str) -> Iterator[tuple[str, Published | None]]:
    for direction, head in HEADS.items():
        lane = shown.lane(site, direction)
        if lane:
            yield f"{head[:1].upper()}{head[1:]}", None
            yield from ((str(direction), one) for one in lane)


def _scale(shown: TrialMap) -> _Scale:
    amounts = [
        end for one in shown.placed if one.amount for end in (one.amount.low, one.amount.high)
    ]
    amounts += [] if shown.hers is None else [shown.hers]
    low, high = math.floor(math.log10(min(amounts))), math.ceil(math.log10(max(amounts)))
    return _Scale(low=low, high=max(high, low + 1))


def _axis(scale: _Scale, bottom: float, words: str) -> Iterator[str]:
    for step in range(int(scale.low), int(scale.high) + 1):
        x = scale.x(10.0**step)
        yield line(x, _TOP, x, bottom, stroke=_HAIR)
        yield text(x, bottom + 18, rounded(10.0**step), text_anchor="middle")
    yield line(_LEFT, bottom, WIDTH - _RIGHT, bottom)
    yield text(WIDTH - _RIGHT, bottom + 38, words, text_anchor="end", fill=_QUIET)


def _row(row: tuple[str, Published | None], y: float, scale: _Scale) -> Iterator[str]:
    words, one = row
    if one is None or one.amount is None:
        yield text(0, y + 5, words, font_weight="bold")
        return
    yield text(14, y + 5, _short(one.citation))
    low, high = scale.x(one.amount.low), scale.x(one.amount.high)
    if high > low:
        yield line(low, y, high, y, stroke_width=2)
    fill = _INK if words == Direction.BETTER else _PAPER
    look = {"fill": fill, "stroke": _INK, "stroke_width": 2}
    middle = (low + high) / 2
    if one.sham:
        yield element("rect", x=round(middle - 5, 1), y=y - 5, width=10, height=10, **look)
    else:
        yield element("circle", cx=round(middle, 1), cy=y, r=5.5, **look)


def _hers(amount: float, scale: _Scale, bottom: float) -> Iterator[str]:
    x = scale.x(amount)
    anchor = "end" if x > WIDTH - 130 else "start" if x < _LEFT + 60 else "middle"
    yield text(x, 16, "This program", text_anchor=anchor, font_weight="bold")
    yield text(x, 32, rounded(amount), text_anchor=anchor)
    yield line(x, 38, x, bottom, stroke_width=2, stroke_dasharray="7 4")
    yield element(
        "path", d=f"M{x - 6} {_TOP - 12} L{x + 6} {_TOP - 12} L{x} {_TOP - 2} Z", fill=_INK
    )


def _short(citation: str) -> str:
    return citation if len(citation) <= _LETTERS else citation.partition(",")[0]
