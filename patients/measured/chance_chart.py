"""The chance of seeing a change as a picture, half and four in five named.

Of density by month, a curve for each trial; of a marker or a test by the size of a true change.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patients.measured.chance_of_change import Seen
from patients.measured.chance_of_seeing import END_MONTHS, FOUR_IN_FIVE, HALF, Chances
from patients.measured.chart import WIDTH, element, line, svg, text, value_ticks
from patients.scanners.precision import FIRST_LOOK_MONTHS

_LEFT, _RIGHT, _TOP, _BOTTOM, _HEIGHT = 54, 20, 26, 44, 280
_INK, _QUIET, _HAIR, _BAND = "#1d1b18", "#5c574e", "#c9c1b0", "#ebe6da"
#: Each curve has a dash of its own, so that none is told by colour.
_DASHES = ("", "8 3", "2 3", "10 3 2 3", "14 4", "5 5")
_LINE = 20
_TINY = 1e-9


def chance_chart(found: Sequence[Chances], name: str) -> str:
    """Return the SVG of the curves, their names under them."""
    height = _HEIGHT + _LINE * len(found) + 8
    parts = [*_too_early(), *_frame(), *_months()]
    for number, one in enumerate(found):
        points = [(_x(month), share) for month, share in enumerate(one.by_month)]
        parts += _curve(points, f"{one.trial.label}: {words(one)}", number)
    said = "; ".join(f"{one.trial.label}: {words(one)}" for one in found)
    return svg(name, "The chance of seeing a gain, by month", said, height, parts)


def size_chart(found: Sequence[tuple[str, Seen]], name: str, unit: str) -> str:
    """Return the SVG of the chance by the size of a true change; each curve has its name."""
    end = min(seen.curve[-1][0] for _, seen in found)
    parts = [*_frame(), *_sizes(end, unit)]
    for number, (label, seen) in enumerate(found):
        within = [(size, share) for size, share in seen.curve if size <= end + _TINY]
        parts += _curve([(_at(size, end), share) for size, share in within], label, number)
    said = "; ".join(f"{label}: {size_words(seen, unit)}" for label, seen in found)
    height = _HEIGHT + _LINE * len(found) + 8
    return svg(name, "The chance of seeing a true change, by its size", said, height, parts)


def size_words(seen: Seen, unit: str) -> str:
    """Return from what size a true change is seen, in words."""
    half, four = f"{seen.half:.3g}", f"{seen.four_in_five:.3g}"
    return f"half a chance at {half} {unit}, four in five at {four} {unit}"


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


def _at(size: float, end: float) -> float:
    return round(_LEFT + size / end * (WIDTH - _LEFT - _RIGHT), 1)


def _too_early() -> Iterable[str]:
    wide = round(_x(FIRST_LOOK_MONTHS) - _LEFT, 1)
    tall = _HEIGHT - _TOP - _BOTTOM
    yield element("rect", x=_LEFT, y=_TOP, width=wide, height=tall, fill=_BAND)
    yield text(_LEFT + 6, _TOP + 16, "too early", fill=_QUIET)


def _frame() -> Iterable[str]:
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        yield line(_LEFT, _y(share), WIDTH - _RIGHT, _y(share), stroke=_HAIR)
        yield text(_LEFT - 8, _y(share) + 5, f"{share:.0%}", text_anchor="end", fill=_QUIET)
    for share, said in ((HALF, "half a chance"), (FOUR_IN_FIVE, "four in five")):
        yield line(_LEFT, _y(share), WIDTH - _RIGHT, _y(share), stroke_dasharray="3 4")
        yield text(WIDTH - _RIGHT, _y(share) - 5, said, text_anchor="end")
    yield line(_LEFT, _y(0), WIDTH - _RIGHT, _y(0))


def _months() -> Iterable[str]:
    for month in range(0, END_MONTHS + 1, 6):
        yield from _tick(_x(month), str(month))
    yield _along("months from the start")


def _sizes(end: float, unit: str) -> Iterable[str]:
    for size in value_ticks(0, end):
        yield from _tick(_at(size, end), f"{size:g}")
    yield _along(f"size of the true change, {unit}")


def _tick(x: float, said: str) -> Iterable[str]:
    bottom = _y(0)
    yield line(x, bottom, x, bottom + 6)
    yield text(x, bottom + 21, said, text_anchor="middle")


def _along(said: str) -> str:
    return text(WIDTH - _RIGHT, _y(0) + 39, said, text_anchor="end")


def _curve(points: Iterable[tuple[float, float]], said: str, number: int) -> Iterable[str]:
    """Draw a curve through where it lies across and its chance, with its name under the picture."""
    through = " L".join(f"{x} {_y(share)}" for x, share in points)
    drawn = {"fill": "none", "stroke": _INK, "stroke_width": 2}
    if dash := _DASHES[number % len(_DASHES)]:
        drawn["stroke_dasharray"] = dash
    yield element("path", d=f"M{through}", **drawn)
    y = _HEIGHT + 6 + _LINE * (number + 0.5)
    yield element("path", d=f"M{_LEFT} {y} H{_LEFT + 44}", **drawn)
    yield text(_LEFT + 54, y + 5, said)
