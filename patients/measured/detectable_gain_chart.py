"""When gains as large as those of trials would pass the scanner's error, as a picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patients.measured.chart import WIDTH, element, line, svg, text
from patients.measured.trial_gains import Look
from patients.scanners.precision import FIRST_LOOK_MONTHS

#: The picture ends here; what shows later is drawn as an arrow.
END_MONTHS = 72
_LEFT, _RIGHT, _ROW, _TOP = 190, 40, 30, 40
_QUIET = "#5c574e"


def look_chart(looks: Sequence[Look], name: str = "looks") -> str:
    """Return the SVG: a row for each gain, from its earliest month to its latest."""
    bottom = _TOP + _ROW * len(looks)
    rows = [_row(look, _TOP + _ROW * (i + 0.5)) for i, look in enumerate(looks)]
    parts = (*_axis(bottom), *(part for row in rows for part in row))
    said = "; ".join(f"{look.trial.label}: {look_words(look)}" for look in looks)
    return svg(name, "When a change could show", said, bottom + 44, parts)


def look_words(look: Look) -> str:
    """Return when an average gain would show, with its interval, in words."""
    average = _months(look.at.months)
    if not look.trial.has_interval:
        return average
    return f"{average} ({_months(look.at.early_months)} to {_months(look.at.late_months)})"


def _months(months: int | None) -> str:
    return "never" if months is None else f"month {months}"


def _axis(bottom: float) -> Iterable[str]:
    yield line(_LEFT, bottom, WIDTH - _RIGHT, bottom)
    for months in range(0, END_MONTHS + 1, 12):
        x = _x(months)
        yield line(x, bottom, x, bottom + 6)
        yield text(x, bottom + 22, str(months), text_anchor="middle")
    yield text(WIDTH - _RIGHT, bottom + 40, "months from the start", text_anchor="end")
    x = _x(FIRST_LOOK_MONTHS)
    yield line(x, 22, x, bottom, stroke_dasharray="6 3")
    yield text(x + 5, 16, f"no look before month {FIRST_LOOK_MONTHS}")


def _row(look: Look, y: float) -> Iterable[str]:
    early, middle, late = look.at.early_months, look.at.months, look.at.late_months
    yield text(_LEFT - 10, y + 5, look.trial.label, text_anchor="end")
    if look.trial.has_interval:
        yield line(_x(early), y, _x(late), y, stroke_width=3, stroke=_QUIET)
    if _is_inside(late):
        yield from _dots((middle,), y)
        return
    x = _x(late)
    yield element("path", d=f"M{x - 8},{y - 6} L{x + 2},{y} L{x - 8},{y + 6} Z", fill=_QUIET)
    yield from _dots((middle,) if _is_inside(middle) else (), y)


def _dots(months: Iterable[int | None], y: float) -> Iterable[str]:
    for month in months:
        yield element("circle", cx=_x(month), cy=y, r=5, fill="#1d1b18")
        yield text(_x(month), y - 9, str(month), text_anchor="middle")


def _is_inside(months: int | None) -> bool:
    return months is not None and months <= END_MONTHS


def _x(months: int | None) -> float:
    shown = END_MONTHS if months is None else min(months, END_MONTHS)
    return round(_LEFT + shown / END_MONTHS * (WIDTH - _LEFT - _RIGHT), 1)
