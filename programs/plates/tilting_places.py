"""Measurements at places of a tilting plate: how it tilts, and how far a foot moves on it.

A measurement near the axis moves less than one further out, so where it was made decides what it
tells. Of one place the axis is taken to lie in the middle; two places say where it lies.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from patients.facts.declared_plate import Plate
from programs.dose.plate_settings import SIDE_ALTERNATING
from programs.plates.measured_motion import Measurement

_SCALED = ("mm", "mm_half", "g", "g_half")


@dataclass(frozen=True, kw_only=True)
class Tilting:
    """What two places of one setting under one load come to; values with half of their interval.

    foot     displacement in mm of a foot where the plate says that feet stand; None where it
             says nothing
    why_not  why they give no geometry; empty where they do
    """

    near: Measurement
    far: Measurement
    degrees: tuple[float, float] = (0.0, 0.0)
    axis_mm: tuple[float, float] = (0.0, 0.0)
    foot: tuple[float, float] | None = None
    why_not: str = ""


def to_foot(plate: Plate, measured: Measurement) -> Measurement:
    """Return what was measured at a place as a foot would have it, the axis in the middle."""
    foot = plate.foot_distance_mm
    if plate.motion != SIDE_ALTERNATING or not measured.axis_mm or foot is None:
        return measured
    times = foot / measured.axis_mm
    values = {name: getattr(measured, name) for name in _SCALED}
    scaled = {name: value * times for name, value in values.items() if value is not None}
    return replace(measured, axis_mm=foot, **scaled)


def at_foot(plate: Plate, measured: Iterable[Measurement]) -> tuple[Measurement, ...]:
    """Return the measurements as a foot has them: of two places, by where the axis really lies."""
    held = tuple(measured)
    told = [one for one in tiltings(plate, held) if one.foot is not None]
    settled = {_setting(one.near) for one in told}
    alone = (to_foot(plate, m) for m in held if not m.axis_mm or _setting(m) not in settled)
    return (*alone, *(_together(plate, one) for one in told))


def _together(plate: Plate, found: Tilting) -> Measurement:
    assert found.foot is not None
    mm, half = found.foot
    newest = max(found.near, found.far, key=lambda m: m.on)
    return replace(newest, axis_mm=plate.foot_distance_mm, mm=mm, mm_half=half, g=None, g_half=None)


def tiltings(plate: Plate, measured: Iterable[Measurement]) -> tuple[Tilting, ...]:
    """Return what each pair of places tells, the nearest and the furthest of one setting."""
    if plate.motion != SIDE_ALTERNATING:
        return ()
    by_setting: dict[object, dict[float, Measurement]] = {}
    for one in sorted(measured, key=lambda m: m.on):
        if one.axis_mm and one.true_mm is not None:
            by_setting.setdefault(_setting(one), {})[one.axis_mm] = one
    return tuple(_pairs(plate, by_setting.values()))


def _pairs(plate: Plate, places: Iterable[dict[float, Measurement]]) -> Iterator[Tilting]:
    for of_setting in places:
        if len(of_setting) > 1:
            yield _tilting(plate, of_setting[min(of_setting)], of_setting[max(of_setting)])


def _setting(measured: Measurement) -> tuple[float, float | None, float]:
    return measured.set_hz, measured.set_mm, measured.load_kg


def _tilting(plate: Plate, near: Measurement, far: Measurement) -> Tilting:
    # It needs NumPy, which no other page does.
    from programs.plates.recording.motion import Quantity
    from programs.plates.recording.refused import BadRecording
    from programs.plates.recording.tilting import Place, tilt

    def place(one: Measurement, own_half_mm: float) -> Place:
        mm = Quantity(value=one.true_mm or 0.0, half=one.mm_half or 0.0)
        return Place(distance_mm=one.axis_mm or 0.0, mm=mm, own_half_mm=own_half_mm)

    try:
        # What both measurements share is not kept: each value is told by the wider of the two
        # ways to take it, as shared by both and as each one's own.
        apart, shared = (
            tilt(*(place(one, (one.mm_half or 0.0) * own) for one in (near, far)))
            for own in (1.0, 0.0)
        )
    except BadRecording as bad:
        return Tilting(near=near, far=far, why_not=str(bad))

    def wider(*of: Quantity) -> tuple[float, float]:
        return of[0].value, max(one.half for one in of)

    foot = plate.foot_distance_mm
    return Tilting(
        near=near,
        far=far,
        degrees=wider(apart.degrees, shared.degrees),
        axis_mm=wider(apart.axis_mm, shared.axis_mm),
        foot=wider(apart.displacement(foot), shared.displacement(foot)) if foot else None,
    )
