"""The clinic's plates, in the order of the story: added, changed, measured, retired."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from patients.actions import scanners
from programs.actions import plates
from programs.actions.plate_recordings import take_recording
from programs.models.plates import ClinicPlate
from programs.plates.measured_motion import Measurement
from programs.plates.recording import reading
from tests.kills.harness import Step
from tests.programs.actions.test_plate_recordings import ASKED, TRUE
from tests.programs.plates.recordings import csv_of
from tests.programs.rows import DAY
from tests.programs.sample_plates import VERTICAL


def of_plates(who: dict[str, Any]) -> Iterator[tuple[str, Step]]:
    """Yield each action on a plate once."""
    yield "add_plates", lambda: plates.add_plates(plates=[VERTICAL], **who)
    plate = ClinicPlate.objects.get()
    changed = replace(VERTICAL, price=690)
    yield "change_plate", lambda: plates.change_plate(row=plate, plate=changed, version=1, **who)
    measured = Measurement(on=DAY, load_kg=68.0, set_hz=30.0, set_mm=1.0, mm=1.1)
    yield "add_measurement", lambda: plates.add_measurement(row=plate, measured=measured, **who)
    file = scanners.park(name="plate.csv", content=csv_of(TRUE), **who)
    yield (
        "take_recording",
        lambda: take_recording(
            row=plate, parked=file, asked=ASKED, choices=reading.Choices(), **who
        ),
    )
    plate = ClinicPlate.objects.get()
    yield (
        "repair_plate",
        lambda: plates.repair_plate(
            row=plate, on=who["at"].date(), version=2, reason="New spring", **who
        ),
    )
    yield "retire_plate", lambda: plates.retire_plate(row=plate, version=3, reason="Sold", **who)
