"""The geometry of a tilting plate from two places."""

from __future__ import annotations

import math

import numpy as np
import pytest

from programs.dose.vibration import displacement_at_foot_mm
from programs.plates.recording.motion import Quantity
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.tilting import Place, tilt


def place(distance_mm: float, mm: float, half: float = 0.05, own: float = 0.01) -> Place:
    return Place(distance_mm=distance_mm, mm=Quantity(value=mm, half=half), own_half_mm=own)


def test_the_angle_of_the_example() -> None:
    """A tilt of 1.19 degrees gives 2.5 and 7.5 mm at 60 and 180 mm (2 r sin of the angle)."""
    near, far = (place(r, displacement_at_foot_mm(r, 1.19)) for r in (60, 180))
    found = tilt(far, near)
    assert found.degrees.value == pytest.approx(1.19)
    assert found.axis_mm.value == pytest.approx(0, abs=1e-6)
    assert found.displacement(120).value == pytest.approx(displacement_at_foot_mm(120, 1.19))


def test_an_axis_off_the_middle() -> None:
    found = tilt(place(60, 2 * 50 * 0.02), place(180, 2 * 170 * 0.02))
    assert found.axis_mm.value == pytest.approx(10)


def test_the_interval_holds_the_truth_as_often_as_it_says() -> None:
    """Places off by up to 2 mm, a common error of scale, noise: 2,000 times."""
    rng = np.random.default_rng(3)
    held = {"angle": 0, "foot": 0}
    for _ in range(2000):
        scale = 1 + rng.normal(0, 0.02)
        noise = rng.normal(0, 0.02, 2)
        at = np.array([70.0, 170.0]) + rng.uniform(-2, 2, 2)
        true = [displacement_at_foot_mm(r, 1.2) for r in at]
        seen = [mm * scale + n for mm, n in zip(true, noise, strict=True)]
        own = 1.96 * 0.02
        places = [
            place(r, mm, math.hypot(1.96 * 0.02 * mm, own), own)
            for r, mm in zip((70, 170), seen, strict=True)
        ]
        found = tilt(*places)
        held["angle"] += found.degrees.low <= 1.2 <= found.degrees.high
        foot = found.displacement(120)
        held["foot"] += foot.low <= displacement_at_foot_mm(120, 1.2) <= foot.high
    assert all(0.93 <= count / 2000 <= 0.98 for count in held.values()), held


@pytest.mark.parametrize(
    "near, far, why",
    [
        (place(60, 2), place(99, 3), "39 mm apart"),
        (place(60, 2), place(100, 2), "moves no more than the near one"),
    ],
)
def test_two_places_that_give_none(near: Place, far: Place, why: str) -> None:
    with pytest.raises(BadRecording, match=why):
        tilt(near, far)
