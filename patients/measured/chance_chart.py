"""The chance of seeing a gain as a picture: a curve for each trial, half and four in five named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patients.measured.chance_of_seeing import END_MONTHS, FOUR_IN_FIVE, HALF, Chances
from patients.measured.chart import WIDTH, element, line, svg, text
from patients.scanners.precision import FIRST_LOOK_MONTHS

_LEFT, _RIGHT, _TOP, _BOTTOM, _HEIGHT = 54, 20, 26, 44, 280
_INK, _QUIET, _HAIR, _BAND = "#1d1b18", "#5c574e", "#c9c1b0", "#ebe6da"
#: Each curve has a dash of its own, so that none is told by colour.
_DASHES = ("", "8 3", "2 3", "10 3 2 3", "14 4", "5 5")
_LINE = 20


def chance_chart(found: Sequence[Chances], name: str) -> str:
    """Return the SVG of the curves, their names under them."""
    height = _HEIGHT + _LINE * len(found) + 8
    parts = [*_frame()]
    for number, one in enumerate(found):
        parts += _curve(one, number)
    said = "; ".join(f"{one.trial.label}: {words(one)}" for one in found)
    return svg(name, "The chance of seeing a gain, by month", said, height, parts)


def words(one: Chances) -> str:
    """Return when half a chance and four in five are reached, in words."""
    if one.half is None:
        most = f"{one.at_best:.0%}".replace("%", " %")
        return f"never half a chance; {most} from month {one.best} on"
    later = "four in five never"
    if one.four_in_five is not None:
        later = f"four in five in month {one.four_in_five}"
    return f"half a chance in month {one.half}, {later}"


def _x(month: float) -> float:
    return round(_LEFT + month / END_MONTHS * (WIDTH - _LEFT - _RIGHT), 1)


def _y(share: float) -> float:
    return round(_HEIGHT - _BOTTOM - share * (_HEIGHT - _TOP - _BOTTOM), 1)


def _frame() -> Iterable[str]:
    wide = round(_x(FIRST_LOOK_MONTHS) - _LEFT, 1)
    tall = _HEIGHT - _TOP - _BOTTOM
    yield element("rect", x=_LEFT, y=_TOP, width=wide, height=tall, fill=_BAND)
    yield text(_LEFT + 6, _TOP + 16, "too early", fill=_QUIET)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        yield line(_LEFT, _y(share), WIDTH - _RIGHT, _y(share), stroke=_HAIR)
        yield text(_LEFT - 8, _y(share) + 5, f"{share:.0%}", text_anchor="end", fill=_QUIET)
    for share, said in ((HALF, "half a chance"), (FOUR_IN_FIVE, "four in five")):
        yield line(_LEFT, _y(share), WIDTH - _RIGHT, _y(share), stroke_dasharray="3 4")
        yield text(WIDTH - _RIGHT, _y(share) - 5, said, text_anchor="end")
    bottom = _y(0)
    yield line(_LEFT, bottom, WIDTH - _RIGHT, bottom)
    for month in range(0, END_MONTHS + 1, 6):
        yield line(_x(month), bottom, _x(month), bottom + 6)
        yield text(_x(month), bottom + 21, str(month), text_anchor="middle")
    yield text(WIDTH - _RIGHT, bottom + 39, "months from the start", text_anchor="end")


def _curve(one: Chances, number: int) -> Iterable[str]:
    points = " L".join(f"{_x(m)} {_y(share)}" for m, share in enumerate(one.by_month))
    drawn = {"fill": "none", "stroke": _INK, "stroke_width": 2}
    if dash := _DASHES[number % len(_DASHES)]:
        drawn["stroke_dasharray"] = dash
    yield element("path", d=f"M{points}", **drawn)
    y = _HEIGHT + 6 + _LINE * (number + 0.5)
    yield element("path", d=f"M{_LEFT} {y} H{_LEFT + 44}", **drawn)
    yield text(_LEFT + 54, y + 5, f"{one.trial.label}: {words(one)}")
