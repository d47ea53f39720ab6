"""Real recordings: a person is never taken for a plate, and a tone in real noise is found.

Forty seconds of three accelerometers worn at ankle, thigh and trunk, 64 samples a second, in
steps of about 0.01 g: the Daphnet data of gait (record S06R02E0; Bächlin 2010, UCI Machine
Learning Repository, CC BY 4.0), as aeon 1.6.0 carries it. No open recording of a plate was found.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import math
from pathlib import Path

import numpy as np
import pytest

from programs.dose.vibration import GRAVITY_M_S2
from programs.plates.recording.reading import Choices
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.worked import Asked, Worked, read, worked

WORN = Path(__file__).with_name("worn_by_a_person.csv.gz")
RATE = 64
#: Where each was worn, and the first sample of the ten seconds in which it was held most still.
STILL_FROM = {"ankle": 640, "leg": 512, "trunk": 448}
STILL = 10 * RATE


@pytest.fixture(scope="module")
def held() -> dict[str, np.ndarray]:
    """The times, s, and the acceleration where each was worn, thousandths of g."""
    with gzip.open(WORN, "rt") as file:
        rows = list(csv.DictReader(file))
    worn = {
        where: np.array([[float(row[f"{where}_{axis}"]) for axis in "xyz"] for row in rows])
        for where in STILL_FROM
    }
    return {"time": np.array([int(row["ms"]) / 1000 for row in rows]), **worn}


def told(time_s: np.ndarray, axes: np.ndarray, set_hz: float) -> Worked:
    lines = ["time (s),x (mg),y (mg),z (mg)"]
    lines += [
        f"{at:.3f},{x:.0f},{y:.0f},{z:.0f}" for at, (x, y, z) in zip(time_s, axes, strict=True)
    ]
    asked = Asked(
        on=dt.date(2026, 3, 2), load_kg=0, set_hz=set_hz, instrument="phone", mounting="taped"
    )
    return worked(read("\n".join(lines).encode(), Choices()), asked)


@pytest.mark.parametrize("where", STILL_FROM)
@pytest.mark.parametrize("set_hz", [15.0, 20.0, 25.0])
def test_a_person_is_never_taken_for_a_plate(
    held: dict[str, np.ndarray], where: str, set_hz: float
) -> None:
    """Standing, walking and what lies between, in stretches of 20 s."""
    for start in range(0, len(held["time"]) - 2 * STILL + 1, STILL):
        part = slice(start, start + 2 * STILL)
        with pytest.raises(BadRecording, match=r"plate r[au]n|neither gravity nor nothing"):
            told(held["time"][part], held[where][part], set_hz)


@pytest.mark.parametrize("where", STILL_FROM)
def test_what_64_samples_a_second_cannot_see_is_said(
    held: dict[str, np.ndarray], where: str
) -> None:
    part = slice(STILL_FROM[where], STILL_FROM[where] + STILL)
    with pytest.raises(BadRecording, match="samples 64 times a second and cannot see above 26 Hz"):
        told(held["time"][part], held[where][part], 30.0)


@pytest.mark.parametrize("where", STILL_FROM)
@pytest.mark.parametrize(("hz", "mm"), [(14.0, 2.0), (17.3, 1.0), (20.0, 2.0), (22.7, 1.0)])
def test_a_tone_is_found_in_real_noise(
    held: dict[str, np.ndarray], where: str, hz: float, mm: float
) -> None:
    """A plate's tone along gravity, added to what an instrument that was worn really wrote."""
    part = slice(STILL_FROM[where], STILL_FROM[where] + STILL)
    time_s, axes = held["time"][part], held[where][part]
    up = axes.mean(axis=0) / np.linalg.norm(axes.mean(axis=0))
    peak = (2 * math.pi * hz) ** 2 * mm / 2 / GRAVITY_M_S2
    found = told(time_s, axes + np.outer(peak * np.sin(2 * math.pi * hz * time_s), up), hz).motion
    assert abs(found.hz.value - hz) <= min(found.hz.half, 0.05)
    assert abs(found.mm.value - mm) <= min(found.mm.half, 0.02 * mm)
