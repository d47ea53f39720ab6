"""What measurements at places of a tilting plate tell, and what of them counts for a foot."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from programs.dose.vibration import displacement_at_foot_mm
from programs.plates.measured_motion import Measurement, known_plate, strength
from programs.plates.tilting_places import at_foot, tiltings, to_foot
from tests.programs.sample_plates import TILTING, VERTICAL

ON = dt.date(2026, 2, 10)
#: Feet 60 mm from the axis, tilt 1.19 degrees: 2.5 mm there, 7.5 mm at 180 mm (2 r sin).
PLATE = replace(TILTING, displacement_mm=None, foot_distance_mm=60, tilt_degrees=1.19)


def found(axis_mm: float | None, mm: float | None = None, **more: float) -> Measurement:
    """Return a measurement of the plate as it should tilt, unless told otherwise."""
    if mm is None and axis_mm:
        mm = displacement_at_foot_mm(axis_mm, 1.19)
    held = {"load_kg": 68.0, "set_hz": 12.0} | more
    return Measurement(on=ON, axis_mm=axis_mm, mm=mm, **held)  # type: ignore[arg-type]


def test_a_place_far_out_tells_what_a_foot_does() -> None:
    far = found(180, mm_half=0.3, g=2.4, g_half=0.15)
    foot = to_foot(PLATE, far)
    assert foot.mm == pytest.approx(2.5, abs=0.01)
    assert (foot.mm_half, foot.g, foot.g_half) == pytest.approx((0.1, 0.8, 0.05))
    assert strength(PLATE, replace(foot, g=None)) == pytest.approx(1, abs=0.01)
    assert to_foot(PLATE, foot) == foot


def test_where_no_place_is_known_it_is_taken_as_the_foots() -> None:
    unknown = found(None, 2.4)
    assert to_foot(PLATE, unknown) == unknown
    away = replace(PLATE, foot_distance_mm=None)
    assert to_foot(away, found(180)) == found(180)
    assert to_foot(VERTICAL, found(180)) == found(180)
    assert tiltings(VERTICAL, [found(60), found(180)]) == ()


def test_two_places_tell_the_angle_and_the_axis() -> None:
    (one,) = tiltings(PLATE, [found(180, mm_half=0.1), found(70, mm_half=0.1)])
    assert (one.near.axis_mm, one.far.axis_mm) == (70, 180)
    assert one.degrees[0] == pytest.approx(1.19)
    assert one.axis_mm[0] == pytest.approx(0, abs=1e-6)
    assert one.foot is not None
    assert one.foot[0] == pytest.approx(2.5, abs=0.01)
    # Half of 0.1 mm over 110 mm, and 2 mm of place: not less than either alone.
    assert one.degrees[1] > 0.02
    assert one.foot[1] >= 0.1
    (bare,) = tiltings(replace(PLATE, foot_distance_mm=None), [found(180), found(70)])
    assert bare.foot is None


def test_an_axis_off_the_middle_moves_the_foot_further_than_one_place_says() -> None:
    """The axis lies 20 mm to the other side: each place moves as one 20 mm further out."""
    near, far = (found(at, displacement_at_foot_mm(at + 20, 1.19)) for at in (100, 180))
    (told,) = at_foot(PLATE, [near, far])
    assert told.mm == pytest.approx(displacement_at_foot_mm(80, 1.19))
    assert told.mm_half is not None
    assert to_foot(PLATE, far).mm < told.mm  # type: ignore[operator]
    tilt = known_plate(PLATE, at_foot(PLATE, [near, far])).plate.tilt_degrees
    assert tilt is not None
    assert tilt > 1.19 * 80 / 60


def test_of_a_pair_the_peak_stands_no_longer_for_one_place() -> None:
    (told,) = at_foot(PLATE, [found(70, g=1.0), found(180, g=2.0)])
    assert (told.axis_mm, told.g, told.g_half) == (60, None, None)


def test_other_settings_and_loads_stay_apart() -> None:
    alone = found(180, set_hz=15.0)
    empty = found(70, load_kg=0.0)
    assert tiltings(PLATE, [found(180), empty, alone]) == ()
    assert len(at_foot(PLATE, [found(70), found(180), alone])) == 2


def test_places_too_near_each_other_say_why_not_and_count_alone() -> None:
    pair = [found(170), found(180)]
    (one,) = tiltings(PLATE, pair)
    assert "10 mm apart" in one.why_not
    assert one.foot is None
    assert at_foot(PLATE, pair) == tuple(to_foot(PLATE, m) for m in pair)


def test_a_frequency_alone_is_of_no_place() -> None:
    assert tiltings(PLATE, [found(180), replace(found(70), mm=None, hz=12.1)]) == ()


def test_of_one_place_the_newest_counts_in_a_pair() -> None:
    old = replace(found(180, 9.0), on=dt.date(2025, 2, 10))
    (one,) = tiltings(PLATE, [found(180), old, found(70)])
    assert one.far.on == ON
