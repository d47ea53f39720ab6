"""Plates and a person to judge them for, for the tests of the plate."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

from patients.facts.declared_plate import Displacement, FrequencyRange, Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.plate import PlateFit, PlateStep, choose_plate, fit_plate, ramp
from programs.dose.plate_limits import FRAGILE_G


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


def held(fragile: bool, clinic: Clinic = AS_PUBLISHED) -> float | None:
    """Return what the peak of a person is held to before any review, in g."""
    return clinic.value(FRAGILE_G) if fragile else None


def judge(plate: Plate, *, fragile: bool = False, **known: object) -> PlateFit:
    """Judge a plate for a person; a fragile one is watched, and held to 1 g unless it is told."""
    return fit_plate(plate, **_person(fragile, known))  # type: ignore[arg-type]


def _person(fragile: bool, known: dict[str, object]) -> dict[str, object]:
    cap_g = held(fragile, cast("Clinic", known.get("clinic", AS_PUBLISHED)))
    usual = {"weight_kg": 62.0, "support_rail": None, "watched": True}
    return usual | {"watch": fragile, "cap_g": cap_g} | known


def steps_of(plate: Plate, *, fragile: bool = False, **more: object) -> tuple[PlateStep, ...]:
    """Return the ramp of a plate that is judged before the clinic's own limits are asked."""
    cap_g = more.setdefault("cap_g", held(fragile))
    fit = judge(plate, fragile=fragile, cap_g=cap_g)
    return ramp(fit, **({"start_dose_only": False} | more))  # type: ignore[arg-type]


def start_of(plate: Plate, **known: object) -> tuple[float, float | None]:
    fit = judge(plate, **known)
    assert fit.start is not None, fit.reasons
    return fit.start.frequency_hz, fit.start.displacement_mm


def rungs(steps: tuple[PlateStep, ...]) -> list[tuple[int, str]]:
    return [(step.place, step.changed) for step in steps if step.changed]


def chosen(*plates: Plate, fragile: bool = False, **known: object) -> str | None:
    person = _person(fragile, {"support_rail": True} | known)
    fit = choose_plate(plates, **person)  # type: ignore[arg-type]
    return fit.plate.name if fit else None
