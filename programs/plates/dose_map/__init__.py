"""A map of the plate's dose: frequency against displacement, with limits and ramp."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.plate import PlateFit, PlateStep
from programs.dose.plate_edit import all_settings, allowed_settings
from programs.dose.plate_fit import top_g
from programs.dose.plate_settings import LOW_MAGNITUDE, VERTICAL, Setting
from programs.dose.vibration import displacement_for_g
from programs.plates.dose_map import layers
from programs.plates.dose_map.frame import (
    BOTTOM,
    HEIGHT,
    INK,
    LEFT,
    PALE,
    PAPER,
    WIDTH,
    Frame,
    element,
    round_up,
)

__all__ = ["DoseMapRow", "dose_map_rows", "dose_map_svg"]


@dataclass(frozen=True, kw_only=True)
class DoseMapRow:
    """One row of the map as a table; None where the map has nothing to say.

    what    the weeks of the ramp, or the limit
    mm      peak to peak; on a low-magnitude plate worked out from its g
    panel   what the plate's own panel shows
    """

    what: str
    hz: float | None
    mm: float | None
    panel: float | None
    peak_g: float | None
    note: str


def dose_map_svg(
    fit: PlateFit,
    steps: tuple[PlateStep, ...],
    *,
    title: str,
    cap_g: float | None = None,
    clinic: Clinic = AS_PUBLISHED,
    nominal: Plate | None = None,
) -> str:
    """Return the map as one SVG element, readable without colour; presentation attributes only.

    steps: the ramp; empty where nothing is drafted, and the map then shows the plate alone.
    cap_g: what the peak of a fragile person is held to; None: she is not held.
    nominal: the plate as its panel says, where it was measured: both stand side by side.
    """
    plate, cap = fit.plate, top_g(cap_g, clinic)
    every = all_settings(plate)
    allowed = set(allowed_settings(plate, cap_g=cap_g, clinic=clinic))
    zone = layers.zone_of(plate.motion, cap, clinic)
    frame = _frame(plate.motion, every)
    own_g = every[0].peak_g if plate.motion == LOW_MAGNITUDE and every else None
    body = (
        *layers.limits(frame, zone),
        *layers.lines_of_g(frame, own_g),
        *layers.axes(frame),
        *layers.labels_of_g(frame, own_g),
        *(layers.nominal_marks(frame, every, all_settings(nominal)) if nominal else ()),
        *layers.setting_marks(frame, every, allowed),
        *layers.limit_labels(frame, zone),
        *layers.ramp_path(frame, steps),
        *_key(measured=nominal is not None),
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img">'
        f"{element('title', title)}{''.join(body)}</svg>"
    )


def _frame(motion: str, every: tuple[Setting, ...]) -> Frame:
    """Return the part of the plane that holds the limits and most of the plate's settings."""
    speeds = [at.frequency_hz for at in every]
    travels = [layers.travel_of(at) for at in every]
    if motion == LOW_MAGNITUDE:
        low = max(5.0, min(speeds, default=30.0) - 5)
        high = max(max(speeds, default=40.0) + 5, low + 15)
        return Frame(low_hz=low, high_hz=high, high_mm=round_up(displacement_for_g(low, 1.05), 0.1))
    low, high, tall, most = (15.0, 55.0, 3.0, 5.0) if motion == VERTICAL else (5.0, 32.0, 6.0, 10.0)
    far = min(max(travels, default=0.0), most)
    return Frame(low_hz=low, high_hz=high, high_mm=max(tall, round_up(far + 0.2, 0.5)))


def _key(*, measured: bool) -> tuple[str, ...]:
    """Return what the marks mean, in two lines under the map."""
    y = BOTTOM + 60.0
    dot: dict[str, Any] = {"cy": y - 4, "r": 2.2, "stroke": INK}
    box: dict[str, Any] = {"y": y - 12, "width": 22, "height": 14, "stroke": INK}
    line: dict[str, Any] = {"y1": y - 4, "y2": y - 4, "stroke": INK, "stroke_width": 3.5}
    return (
        element("circle", cx=LEFT + 5, fill=INK, **dot),
        _said(LEFT + 14, y, "setting allowed"),
        element("circle", cx=LEFT + 130, fill=PAPER, **dot),
        _said(LEFT + 139, y, "not allowed"),
        element("line", x1=LEFT + 230, x2=LEFT + 254, **line),
        _said(LEFT + 260, y, "ramp, with its weeks"),
        element("rect", x=LEFT + 410, fill=PAPER, stroke_dasharray="5 4", **box),
        _said(LEFT + 438, y, "start"),
        element("rect", x=LEFT + 490, fill=PALE, **box),
        _said(LEFT + 518, y, "not drafted"),
        _said(LEFT, y + 22, "Lines: equal peak acceleration, in g."),
        *((_said(LEFT + 260, y + 22, _SHIFTED),) if measured else ()),
    )


_SHIFTED = "Grey stroke: from what the panel says to what was measured."


def _said(x: float, y: float, words: str) -> str:
    return element("text", words, x=x, y=y, font_size=13, fill=INK)


# --- The same as a table ------------------------------------------------------------------


def dose_map_rows(
    fit: PlateFit,
    steps: tuple[PlateStep, ...],
    *,
    cap_g: float | None = None,
    clinic: Clinic = AS_PUBLISHED,
) -> tuple[DoseMapRow, ...]:
    """Return what the map shows as rows: the ramp's settings with their weeks, then the limits."""
    return (
        *(_ramp_row(steps, *stay) for stay in layers.stays(steps)),
        *_limit_rows(fit, top_g(cap_g, clinic), clinic),
    )


def _ramp_row(steps: tuple[PlateStep, ...], at: Setting, first: int, last: int) -> DoseMapRow:
    weeks = f"week {first}" if first == last else f"weeks {first} to {last}"
    changed = [step.changed for step in steps if first <= step.place <= last and step.changed]
    return DoseMapRow(
        what=weeks,
        hz=at.frequency_hz,
        mm=round(layers.travel_of(at), 3),
        panel=at.panel,
        peak_g=round(at.peak_g, 2),
        note="; ".join(changed),
    )


def _limit_rows(fit: PlateFit, cap: float, clinic: Clinic) -> Iterator[DoseMapRow]:
    zone = layers.zone_of(fit.plate.motion, cap, clinic)
    if zone.start is not None:
        yield DoseMapRow(
            what="start, at most",
            hz=zone.start.high_hz,
            mm=zone.start.high_mm,
            panel=None,
            peak_g=None,
            note="",
        )
    yield DoseMapRow(
        what="ceiling",
        hz=zone.top_hz if math.isfinite(zone.top_hz) else None,
        mm=zone.top_mm if math.isfinite(zone.top_mm) else None,
        panel=None,
        peak_g=zone.top_g,
        note=zone.past,
    )
