"""A week on the plate as its plate is known to move now, whatever was known when it was signed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from patients.facts.declared import Facts
from patients.facts.declared_plate import Plate
from programs.dose.plate_edit import all_settings
from programs.dose.plate_settings import panel_hz
from programs.week.week import Part, PlateWeek


def as_moved(part: Part, facts: Facts) -> Part:
    """Return what a week holds; of a plate that is measured today, the motion of its setting.

    Her paper named what the panel shows, so that is what she did. A plate that was not measured,
    and a setting that it does not have, tell nothing else than was told.
    """
    plates: Iterable[Plate] = (facts.resources.plates or ()) if facts.resources else ()
    if not isinstance(part, PlateWeek):
        return part
    found = (_at(part, plate) for plate in plates if plate.name == part.plate and plate.panel)
    return next((moved for moved in found if moved is not None), part)


def _at(part: PlateWeek, plate: Plate) -> PlateWeek | None:
    for at in all_settings(plate):
        if (panel_hz(plate, at.frequency_hz), at.panel) == (part.shown_hz, part.setting):
            return replace(
                part,
                frequency_hz=at.frequency_hz,
                displacement_mm=at.displacement_mm,
                peak_g=round(at.peak_g, 2),
                panel_hz=part.shown_hz,
            )
    return None
