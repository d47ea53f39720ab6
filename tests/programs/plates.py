"""Plates and a person to judge them for, for the tests of the plate."""

from __future__ import annotations

from dataclasses import replace

from patients.facts import Displacement, FrequencyRange, Plate
from programs.dose.plate import PlateFit, PlateStep, choose_plate, fit_plate, ramp


def span(low: float, high: float, step: float = 1.0) -> FrequencyRange:
    return FrequencyRange(from_hz=low, to_hz=high, step_hz=step)


def shown(*mm: float, reads_as: str | None = "peak_to_peak") -> Displacement:
    return Displacement(settings=mm, reads_as=reads_as)


VERTICAL = Plate(
    name="vertical",
    motion="vertical",
    frequency_hz=span(20, 50),
    displacement_mm=shown(1.0, 2.0, 4.0),
    rail=True,
    load_limit_kg=120,
)
TILTING = replace(
    VERTICAL,
    name="tilting",
    motion="side_alternating",
    frequency_hz=span(5, 30),
    displacement_mm=shown(2.0, 3.0, 5.0, 8.0),
)
GENTLE = replace(
    VERTICAL,
    name="gentle",
    motion="low_magnitude",
    frequency_hz=span(30, 37),
    displacement_mm=None,
    fixed_g=0.3,
)


def judge(plate: Plate, **known: object) -> PlateFit:
    person = {"weight_kg": 62.0, "support_rail": None, "fragile": False, "watched": True}
    return fit_plate(plate, **(person | known))  # type: ignore[arg-type]


def steps_of(plate: Plate, *, fragile: bool = False, **more: object) -> tuple[PlateStep, ...]:
    fit = judge(plate, fragile=fragile)
    return ramp(fit, fragile=fragile, **({"start_dose_only": False} | more))  # type: ignore[arg-type]


def start_of(plate: Plate, **known: object) -> tuple[float, float | None]:
    fit = judge(plate, **known)
    assert fit.start is not None, fit.reasons
    return fit.start.frequency_hz, fit.start.displacement_mm


def rungs(steps: tuple[PlateStep, ...]) -> list[tuple[int, str]]:
    return [(step.week, step.changed) for step in steps if step.changed]


def chosen(*plates: Plate, **known: object) -> str | None:
    person = {"weight_kg": 62.0, "support_rail": True, "fragile": False, "watched": True}
    fit = choose_plate(plates, **(person | known))  # type: ignore[arg-type]
    return fit.plate.name if fit else None
