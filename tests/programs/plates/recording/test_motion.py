"""How a plate moves, from recordings whose truth is known, and against SciPy."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import optimize, signal

from programs.dose.vibration import peak_g, wk
from programs.plates.recording.heads import heads_of
from programs.plates.recording.instrument import PHONE
from programs.plates.recording.motion import Motion, jitter, motion
from programs.plates.recording.reading import recording
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.table import Table
from programs.plates.recording.tone import fit, peak_hz, spectrum
from tests.programs.plates.recordings import TAPED, True_, found, recorded, table_of


def motion_of(table: Table, set_hz: float = 25) -> Motion:
    """Return what is worked out from a table."""
    return motion(recording(table), set_hz=set_hz, instrument=PHONE, mounting=TAPED)


def test_a_plain_sine_gives_the_formulas_figures() -> None:
    """30 Hz and 2 mm peak to peak give 3.623 g by the formula, the crest of a sine is root two."""
    made = found(True_(noise=0.001))
    assert made.hz.value == pytest.approx(30, abs=1e-3)
    assert made.mm.value == pytest.approx(2, rel=1e-3)
    assert made.peak_g.value == pytest.approx(peak_g(30, 2), rel=2e-3)
    assert made.crest.value == pytest.approx(math.sqrt(2), rel=1e-3)
    weighted = float(wk(30.0)) * made.rms_g.value * 9.80665
    assert made.a_w_m_s2.value == pytest.approx(weighted, rel=1e-3)
    assert made.knock_percent.value == pytest.approx(0, abs=1e-3)
    assert made.upright


def test_a_knock_is_seen() -> None:
    """A second harmonic of half the tone's size has a fifth of the energy."""
    made = found(True_(harmonics=((0.5, 1.0),)))
    assert made.knock_percent.value == pytest.approx(20, abs=0.2)
    assert made.crest.value > 1.5


def test_motion_across_is_told() -> None:
    made = found(True_(off=0.2))
    assert made.off_percent is not None
    assert made.off_percent.value == pytest.approx(20, abs=0.5)
    assert made.off_percent.half >= 95 * PHONE.offset_g * 0.99


def test_hidden_jitter_is_put_right() -> None:
    """Times off by 0.5 ms flatten 45 Hz by 1 %; unmended, the truth would be missed by as much."""
    true = True_(hz=45, rate_hz=800, jitter_s=5e-4, noise=0.02, seconds=20)
    made = found(true)
    assert made.mm.value == pytest.approx(2, rel=2.5e-3)
    assert made.jitter_ms == pytest.approx(0.5, rel=0.1)
    plain = fit(recorded(true).time_s[1300:16000], table_of(true).axes[1300:16000, 2], 45, 800)
    flat = 2000 * plain.sizes[0] / (2 * math.pi * 45) ** 2
    assert flat < 2 * 0.993


def test_the_fit_against_scipys() -> None:
    true = True_(seconds=6, rest_s=0)
    record = recorded(true)
    up = record.axes[:, 2]
    ours = fit(record.time_s, up, 30.02, record.rate_hz)

    def sine(t: np.ndarray, hz: float, a: float, b: float, c: float) -> np.ndarray:
        angles = 2 * math.pi * hz * t
        return a * np.cos(angles) + b * np.sin(angles) + c

    theirs, spread = optimize.curve_fit(sine, record.time_s, up, p0=[30.01, 30, 10, 9.8])
    assert ours.hz == pytest.approx(theirs[0], abs=1e-4)
    assert ours.sizes[0] == pytest.approx(math.hypot(theirs[1], theirs[2]), rel=1e-3)
    # A frequency that may wander is less sure than one that is said to stand still.
    own = math.sqrt(ours.covariance[0, 0]) / 2 / math.pi
    assert 1 < own / math.sqrt(spread[0, 0]) < 4
    sizes = math.sqrt(ours.covariance[1, 1]), math.sqrt(spread[1, 1])
    assert sizes[0] == pytest.approx(sizes[1], rel=0.25)


def test_the_spectrum_against_scipys_for_uneven_times() -> None:
    true = True_(uneven_s=1e-3, seconds=8, rest_s=0, hz=27.3)
    record = recorded(true)
    hz, power = spectrum(record.time_s, record.axes)
    grid = np.linspace(26, 29, 601)
    theirs = signal.lombscargle(
        record.time_s, record.axes[:, 2] - record.axes[:, 2].mean(), 2 * math.pi * grid
    )
    assert peak_hz(hz, power, 20, 40) == pytest.approx(grid[np.argmax(theirs)], abs=0.02)


def test_a_line_at_the_edge_is_taken_as_it_stands() -> None:
    hz, power = np.array([0.0, 1.0, 2.0]), np.array([1.0, 2.0, 3.0])
    assert peak_hz(hz, power, 0, 2) == 2.0
    assert peak_hz(hz, np.array([1.0, 1.0, 1.0]), 1, 1) == 1.0


def test_a_plate_that_wanders_is_followed_and_one_that_jumps_is_less_sure() -> None:
    """A swing of 0.1 Hz costs the displacement nothing; a sudden jump of 0.1 Hz widens both."""
    calm = True_(hz=25, seconds=12, noise=0.02, rest_s=0)
    swings = found(replace(calm, wander_hz=0.1))
    assert swings.wander_hz == pytest.approx(0.2, abs=0.05)
    assert swings.mm.value == pytest.approx(2, rel=2e-3)
    table = table_of(calm)
    times = np.where(table.times > 6, 6 + (table.times - 6) * (1 - 0.1 / 25), table.times)
    jumps = motion_of(replace(table, times=times))
    assert jumps.hz.half > 1.3 * found(calm).hz.half
    assert jumps.hz.low < 25.05 < jumps.hz.high


def test_a_plate_that_fades_is_less_sure() -> None:
    table = table_of(True_(hz=25, seconds=12, noise=0.02, rest_s=0))
    rest = np.array([0, 0, 9.80665])
    faded = (table.axes - rest) * (1 - 0.05 * table.times[:, None] / 12)
    fading = motion_of(replace(table, axes=rest + faded))
    assert fading.parts["unsteady running"] > 0.01


def test_noise_that_gathers_near_the_tone_counts_as_strong_as_it_is_there() -> None:
    """A line 1 Hz beside the tone widens the interval far more than white noise of its size."""
    table = table_of(True_(hz=25, seconds=10, noise=0.2, rest_s=0))
    beside = 1.5 * np.sin(2 * math.pi * 26.1 * table.times)
    axes = table.axes + np.outer(beside, [0, 0, 1])
    assert motion_of(replace(table, axes=axes)).noise_mm > 3 * motion_of(table).noise_mm


def test_sampling_in_step_with_the_tone_cannot_tell_noise_from_jitter() -> None:
    """At four samples a turn, 45 degrees off, all slopes are alike: the middle is taken."""
    true = True_(hz=25, rate_hz=100.0, phase=math.pi / 4, noise=0.3, rest_s=0)
    record = recorded(true)
    tone = fit(record.time_s, record.axes[:, 2], 25.0, 100.0)
    even = replace(tone, slope=np.full_like(tone.slope, 3.0))
    variance, error = jitter(even)
    assert variance == pytest.approx(0.5 * float(np.mean(tone.residual**2)) / 9)
    assert error == pytest.approx(variance / math.sqrt(3))


@pytest.mark.parametrize("axes", [("z",), ("y", "z")])
def test_fewer_axes_and_no_gravity(axes: tuple[str, ...]) -> None:
    """One axis is taken as upright within 5 degrees, two without gravity by the strongest line."""
    whole = table_of(True_(noise=0.02, gravity=0.0, tilt=0.0 if len(axes) == 1 else 0.4))
    heads = heads_of(("time (s)", *(f"{axis} (m/s2)" for axis in axes)), 1)
    made = motion_of(replace(whole, heads=heads, axes=whole.axes[:, -len(axes) :]), 30)
    assert made.mm.value == pytest.approx(2, rel=2e-3)
    assert made.off_percent is None
    assert not made.upright
    assert made.parts["whether it lies level"] > 0.005


def test_coarse_steps_that_no_noise_evens_out() -> None:
    made = found(True_(noise=0.001, resolution=0.3))
    assert made.parts["coarse steps of its numbers"] > 0
    assert made.mm.low < 2 < made.mm.high


def test_nothing_runs() -> None:
    table = table_of(True_(seconds=8, rest_s=0))
    for axes in (table.axes * 0 + [0, 0, 9.8], table.axes * 0):
        with pytest.raises(BadRecording, match="Nothing moves"):
            motion_of(replace(table, axes=axes), 30)
