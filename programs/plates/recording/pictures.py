"""A recording drawn: the whole with the window that was used, a few turns of it, the panel's error.

Plain SVG in ink and greys, so that print loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from patients.measured.chart import WIDTH, element, line, svg, text, value_ticks
from programs.dose.vibration import GRAVITY_M_S2
from programs.plates.recording.gum import FloatArray
from programs.plates.recording.motion import Quantity
from programs.plates.recording.reading import Recording

_LEFT, _RIGHT, _TOP, _BOTTOM, _HEIGHT = 64, 24, 30, 44, 230
_INK, _QUIET, _HAIR, _BAND = "#1d1b18", "#5c574e", "#c9c1b0", "#ebe6da"
#: Columns in which the whole is drawn from its least to its greatest.
_COLUMNS = 420
#: Turns of the plate that are drawn one by one.
_TURNS = 6


@dataclass(frozen=True, kw_only=True)
class _Frame:
    first: float
    last: float
    low: float
    high: float

    def x(self, value: float) -> float:
        share = (value - self.first) / (self.last - self.first)
        return round(_LEFT + share * (WIDTH - _LEFT - _RIGHT), 1)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return round(_HEIGHT - _BOTTOM - share * (_HEIGHT - _TOP - _BOTTOM), 1)


def whole(found: Recording, window: tuple[float, float] | None) -> str:
    """Return the whole recording, along its strongest axis, the window that was used marked."""
    values = _strongest(found)
    frame = _framed(found.time_s, values)
    place = np.minimum((found.time_s / found.seconds * _COLUMNS).astype(np.int64), _COLUMNS - 1)
    parts = [*_window(frame, window), *_axes(frame, "time, s")]
    for column in np.unique(place):
        inside = values[place == column]
        x = frame.x((column + 0.5) / _COLUMNS * found.seconds)
        low, high = float(inside.min()), float(inside.max())
        parts.append(line(x, frame.y(low), x, frame.y(high), stroke=_INK, stroke_width=1.3))
    used = "No part of it could be used."
    if window is not None:
        used = f"Used: {window[0]:.1f} to {window[1]:.1f} s."
    return svg("whole", "The whole recording", used, _HEIGHT, parts)


def some_turns(found: Recording, window: tuple[float, float], hz: float) -> str:
    """Return a few turns of the plate in the middle of the window, sample by sample."""
    values = _strongest(found)
    middle = sum(window) / 2
    inside = np.abs(found.time_s - middle) <= _TURNS / hz / 2
    times, shown = found.time_s[inside], values[inside]
    frame = _framed(times, shown)
    points = [(frame.x(float(t)), frame.y(float(v))) for t, v in zip(times, shown, strict=True)]
    path = "M" + " L".join(f"{x} {y}" for x, y in points)
    parts = [
        *_axes(frame, "time, s"),
        element("path", d=path, fill="none", stroke=_QUIET, stroke_width=1),
        *(element("circle", cx=x, cy=y, r=2, fill=_INK) for x, y in points),
    ]
    said = f"{_TURNS} turns, each sample a dot."
    return svg("turns", "A few turns of the plate", said, _HEIGHT, parts)


def _strongest(found: Recording) -> FloatArray:
    """Return the axis that moves most, in g, its mean taken out."""
    apart = found.axes - np.mean(found.axes, axis=0)
    strongest = int(np.argmax(np.std(apart, axis=0)))
    return np.asarray(apart[:, strongest] / GRAVITY_M_S2, dtype=np.float64)


def _framed(times: FloatArray, values: FloatArray) -> _Frame:
    most = max(float(np.max(np.abs(values))), 0.01) * 1.08
    return _Frame(first=float(times[0]), last=float(times[-1]), low=-most, high=most)


def _window(frame: _Frame, window: tuple[float, float] | None) -> Iterable[str]:
    if window is None:
        return
    left, right = (frame.x(one) for one in window)
    tall = _HEIGHT - _TOP - _BOTTOM
    yield element("rect", x=left, y=_TOP, width=round(right - left, 1), height=tall, fill=_BAND)
    for x in (left, right):
        yield line(x, _TOP, x, _TOP + tall, stroke=_INK, stroke_dasharray="6 3")
    yield text((left + right) / 2, _TOP - 6, "used", text_anchor="middle")


def _axes(frame: _Frame, across: str) -> Iterable[str]:
    yield text(8, 16, "acceleration, g", font_weight="bold")
    for value in value_ticks(frame.low, frame.high):
        y = frame.y(value)
        yield line(_LEFT, y, WIDTH - _RIGHT, y, stroke=_HAIR)
        yield text(_LEFT - 8, y + 5, f"{value:g}", text_anchor="end", fill=_QUIET)
    bottom = _HEIGHT - _BOTTOM
    yield line(_LEFT, bottom, WIDTH - _RIGHT, bottom)
    for value in value_ticks(frame.first, frame.last):
        x = frame.x(value)
        yield line(x, bottom, x, bottom + 6)
        yield text(x, bottom + 21, f"{value:g}", text_anchor="middle")
    yield text(WIDTH - _RIGHT, _HEIGHT - 4, across, text_anchor="end")


# --- The panel's error ----------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class PanelError:
    """One measurement against what the panel gives.

    times   measured peak as a multiple of the panel's, with its interval
    """

    label: str
    times: Quantity


_ROW, _LABELS = 26, 250


def panel_errors(errors: Sequence[PanelError], spread: float) -> str:
    """Return the panel's error as a picture: 1 is what it says, the band what may be expected."""
    ends = [1 / spread, spread, *(e.times.low for e in errors), *(e.times.high for e in errors)]
    low, high = min(ends) - 0.05, max(ends) + 0.05

    def x(value: float) -> float:
        return round(_LABELS + (value - low) / (high - low) * (WIDTH - _LABELS - _RIGHT), 1)

    bottom = _TOP + _ROW * len(errors)
    tall, wide = bottom - _TOP, round(x(spread) - x(1 / spread), 1)
    parts = [
        element("rect", x=x(1 / spread), y=_TOP, width=wide, height=tall, fill=_BAND),
        line(x(1.0), _TOP, x(1.0), bottom, stroke=_INK, stroke_dasharray="6 3"),
        text(x(1.0), _TOP - 8, "as the panel says", text_anchor="middle"),
        line(_LABELS, bottom, WIDTH - _RIGHT, bottom),
    ]
    for value in value_ticks(low, high):
        parts.append(line(x(value), bottom, x(value), bottom + 6))
        parts.append(text(x(value), bottom + 21, f"{value:g}", text_anchor="middle"))
    for number, error in enumerate(errors):
        y = _TOP + _ROW * (number + 0.5)
        parts.append(text(_LABELS - 10, y + 5, error.label, text_anchor="end"))
        parts.append(line(x(error.times.low), y, x(error.times.high), y, stroke_width=3))
        parts.append(element("circle", cx=x(error.times.value), cy=y, r=5, fill=_INK))
    parts.append(text(WIDTH - _RIGHT, bottom + 40, "times the panel’s peak", text_anchor="end"))
    said = "; ".join(f"{e.label}: {e.times.value:.2f} times" for e in errors)
    return svg("panel", "The panel’s error", said, bottom + 46, parts)


# --- How to fix the instrument --------------------------------------------------------------


def how_to_fix() -> str:
    """Return a drawing of a telephone taped to a plate, from above and from the side."""
    parts = [
        text(170, 20, "from above", text_anchor="middle"),
        element("rect", x=40, y=34, width=260, height=150, rx=14, fill="#fff", stroke=_INK),
        *_foot(95),
        *_foot(207),
        element("rect", x=145, y=120, width=50, height=52, rx=5, fill=_BAND, stroke=_INK),
        element("path", d="M128 132 H212 M128 160 H212", stroke=_QUIET, stroke_width=9),
        text(170, 208, "between the feet, tape all round", text_anchor="middle"),
        text(540, 20, "from the side", text_anchor="middle"),
        element("rect", x=410, y=128, width=260, height=22, rx=4, fill="#fff", stroke=_INK),
        element("rect", x=500, y=118, width=80, height=10, rx=2, fill=_BAND, stroke=_INK),
        element(
            "path",
            d="M488 128 C492 112 588 112 592 128",
            fill="none",
            stroke=_QUIET,
            stroke_width=4,
        ),
        element(
            "path",
            d="M540 104 V64 M532 74 L540 62 L548 74 M540 104",
            fill="none",
            stroke=_INK,
            stroke_width=2,
        ),
        text(556, 74, "screen up: this axis is read"),
        text(540, 208, "flat on the hard plate, no case, no mat under it", text_anchor="middle"),
    ]
    said = (
        "A telephone lies flat between the feet, screen up, held down all round with tape, "
        "without its case and with nothing soft under it."
    )
    return svg("fix", "How to fix a telephone to the plate", said, 222, parts)


def _foot(x: float) -> Iterable[str]:
    yield element(
        "ellipse",
        cx=x + 18,
        cy=100,
        rx=20,
        ry=46,
        fill="#fff",
        stroke=_QUIET,
        stroke_dasharray="4 3",
    )
