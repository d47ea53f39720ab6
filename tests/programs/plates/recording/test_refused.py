"""Each bad recording is refused with its reason, and a sound one beside it is not."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from programs.plates.recording.instrument import CALIBRATED, MOUNTINGS, PHONE
from programs.plates.recording.motion import motion
from programs.plates.recording.reading import recording
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.steady import steady
from programs.plates.recording.table import Table
from tests.programs.plates.recordings import TAPED, True_, drawn, found, recorded, table_of


def refused(true: True_, words: str, set_hz: float | None = None) -> None:
    with pytest.raises(BadRecording, match=words):
        found(true, set_hz)


def of_table(table: Table, set_hz: float = 30) -> None:
    motion(recording(table), set_hz=set_hz, instrument=PHONE, mounting=TAPED)


@pytest.mark.parametrize("set_hz, seen", [(40, True), (40.1, False)])
def test_the_sampling_limit_in_plain_words(set_hz: float, seen: bool) -> None:
    true = True_(hz=39.7, rate_hz=100.0)
    if seen:
        assert found(true, set_hz).hz.value == pytest.approx(39.7, abs=0.01)
    else:
        refused(true, r"samples 100 times a second and cannot see above 40 Hz", set_hz)


def test_an_aliased_plate_does_not_pass() -> None:
    """47 Hz sampled 50 times a second looks like 3 Hz."""
    refused(True_(hz=47, rate_hz=50.0), "cannot see above 20 Hz")
    refused(True_(hz=47, rate_hz=60.0, mm=3), "strongest motion is at 13.0 Hz", 24)


def test_clipping_is_found() -> None:
    """2 mm at 30 Hz are 3.62 g, 4.62 with gravity: a range of 4 g cuts the top off."""
    for resolution in (0.0, 0.0383):
        clipped = True_(range_m_s2=4 * 9.80665, resolution=resolution)
        refused(clipped, "cut off at 4.00 g")
        found(replace(clipped, range_m_s2=8 * 9.80665))


@pytest.mark.parametrize(("hz", "rate_hz"), [(30.0, 100.0), (20.0, 64.0), (37.5, 100.0)])
def test_a_plate_in_step_with_the_sampling_is_not_cut_off(hz: float, rate_hz: float) -> None:
    """Each turn is seen at the same few places, so that its top is the same number each time."""
    in_step = True_(hz=hz, mm=2.0, rate_hz=rate_hz, noise=0.0, resolution=0.0383)
    assert found(in_step, hz).mm.value == pytest.approx(2.0, rel=0.02)
    top = 9.80665 + (2 * math.pi * hz) ** 2 * 0.001
    refused(replace(in_step, range_m_s2=0.85 * top), "cut off at", hz)


def test_a_low_end_that_is_cut_off_is_found_too() -> None:
    table = table_of(True_(gravity=-9.80665))
    with pytest.raises(BadRecording, match="Axis z is cut off"):
        of_table(replace(table, axes=np.maximum(table.axes, -40.0)))


def test_a_dead_axis_is_no_clipping() -> None:
    table = table_of(True_())
    table.axes[:, 0] = 0.0
    of_table(table)


def test_too_short() -> None:
    refused(True_(seconds=3, rest_s=0.3), "lasts 3.6 s")
    refused(True_(seconds=3.9, rest_s=3), "no 4 s in which the plate ran evenly")


def test_gaps() -> None:
    table = table_of(True_(seconds=9, rest_s=0))
    keep = np.ones(table.times.size, dtype=bool)
    for start in (1000, 2000, 3000):
        keep[start : start + 40] = False
    with pytest.raises(BadRecording, match="Samples are missing"):
        of_table(replace(table, times=table.times[keep], axes=table.axes[keep]))


def test_a_gap_is_worked_around_where_enough_is_left() -> None:
    table = table_of(True_(seconds=12, rest_s=0))
    keep = np.ones(table.times.size, dtype=bool)
    keep[1000:1040] = False
    cut = recording(replace(table, times=table.times[keep], axes=table.axes[keep]))
    assert steady(cut).from_s >= 2.6


def test_twenty_seconds_are_enough() -> None:
    assert steady(recorded(True_(seconds=70, rate_hz=100.0))).seconds == pytest.approx(20, abs=0.1)


def test_another_setting_than_was_said() -> None:
    refused(True_(hz=20), "strongest motion is at 20.0 Hz, and the panel was set to 35", 35)


def test_harmonics_stronger_than_the_tone_are_not_taken_for_another_plate() -> None:
    true = True_(hz=20, harmonics=((2.0, 0.4),))
    assert found(true).hz.value == pytest.approx(20, abs=0.01)


def test_no_tone() -> None:
    refused(True_(mm=0.02, noise=8, rest_s=0), "drowned in")


def test_too_coarse() -> None:
    refused(True_(mm=0.2, noise=0.5, resolution=0.8, rest_s=0), "too coarse")


def test_a_frequency_that_does_not_stand_still() -> None:
    table = table_of(True_(seconds=10, rest_s=0))
    swept = 30 * table.times + 0.05 * table.times**2
    axes = np.outer(9.8 + 30 * np.cos(2 * math.pi * swept), [0, 0, 1])
    with pytest.raises(BadRecording, match=r"it wanders over 1\.0 Hz"):
        of_table(replace(table, axes=axes))


@pytest.mark.parametrize("hz, folds", [(25.0, True), (26.0, False), (33.36, True), (31.0, False)])
def test_harmonics_that_fold_onto_the_tone(hz: float, folds: bool) -> None:
    """Sampled 100 times a second, three times 25 Hz looks like 25, and twice 33.3 like 33.3."""
    true = True_(hz=hz, rate_hz=100.0)
    if folds:
        refused(true, "cannot be told from the tone itself")
    else:
        found(true)


def test_loose_above_what_it_stays_on_the_plate_with() -> None:
    loose = MOUNTINGS["loose"]
    gentle = recorded(True_(mm=0.4))
    strong = recorded(True_(mm=0.5))
    motion(gentle, set_hz=30, instrument=CALIBRATED, mounting=loose)
    with pytest.raises(BadRecording, match="leaves the plate"):
        motion(strong, set_hz=30, instrument=CALIBRATED, mounting=loose)


def test_hardly_known() -> None:
    refused(True_(mm=0.05, noise=0.5, seconds=5, rate_hz=80.0, rest_s=0, hz=30), "is known only to")


def test_a_wrong_unit_of_gravity() -> None:
    table = table_of(True_())
    with pytest.raises(BadRecording, match=r"The mean is 0.50 g: .* Is the unit right"):
        recording(replace(table, axes=table.axes / 2))


def test_a_plate_that_pulses() -> None:
    """Each second half second 1.7 times as strong as the other: nowhere even."""
    table = table_of(True_(seconds=8, rest_s=0))
    rest = np.array([0, 0, 9.80665])
    strong = 1 + 0.7 * ((table.times / 0.5).astype(int) % 2)
    with pytest.raises(BadRecording, match="no 4 s in which the plate ran evenly"):
        of_table(replace(table, axes=rest + (table.axes - rest) * strong[:, None]))


def test_coarse_steps_of_an_axis_that_hardly_moves_are_no_clipping() -> None:
    """Three of ten thousand drawn recordings were refused for it: these are they."""
    for seed in (7003, 7114, 7453):
        found(drawn(seed))
