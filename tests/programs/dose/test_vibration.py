"""Physics, geometry and exposure of a plate, against published figures and other tools.

Grids and worked values without a named publication follow from the textbook sinusoid:
peak acceleration = 2 pi² f² D, D peak to peak, g = 9.80665 m/s².
"""

from __future__ import annotations

import math

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from programs.dose import vibration
from programs.dose.vibration import PEAK, PEAK_TO_PEAK, ZERO_TO_PEAK, Vibration

COLUMNS_MM = (0.1, 0.5, 1, 1.7, 2, 2.5, 3, 4, 5, 8, 12)
#: Frequency, peak g at each displacement of COLUMNS_MM, displacement that gives 1 g.
GRID = {
    5: (0.005, 0.025, 0.050, 0.086, 0.101, 0.126, 0.151, 0.201, 0.252, 0.403, 0.604, 19.87),
    10: (0.020, 0.101, 0.201, 0.342, 0.403, 0.503, 0.604, 0.805, 1.006, 1.610, 2.415, 4.968),
    12.5: (0.031, 0.157, 0.315, 0.535, 0.629, 0.786, 0.944, 1.258, 1.573, 2.516, 3.774, 3.180),
    15: (0.045, 0.226, 0.453, 0.770, 0.906, 1.132, 1.359, 1.812, 2.264, 3.623, 5.435, 2.208),
    20: (0.081, 0.403, 0.805, 1.369, 1.610, 2.013, 2.415, 3.221, 4.026, 6.441, 9.662, 1.242),
    25: (0.126, 0.629, 1.258, 2.139, 2.516, 3.145, 3.774, 5.032, 6.290, 10.06, 15.10, 0.795),
    30: (0.181, 0.906, 1.812, 3.080, 3.623, 4.529, 5.435, 7.246, 9.058, 14.49, 21.74, 0.552),
    35: (0.247, 1.233, 2.466, 4.192, 4.931, 6.164, 7.397, 9.863, 12.33, 19.73, 29.59, 0.406),
    40: (0.322, 1.610, 3.221, 5.475, 6.441, 8.051, 9.662, 12.88, 16.10, 25.76, 38.65, 0.311),
    50: (0.503, 2.516, 5.032, 8.555, 10.06, 12.58, 15.10, 20.13, 25.16, 40.26, 60.39, 0.199),
}

some_hz = st.floats(1, 120)
some_mm = st.floats(0.01, 40)


@pytest.mark.parametrize("hz", GRID)
def test_peak_g_over_the_grid(hz: float) -> None:
    for mm, printed in zip(COLUMNS_MM, GRID[hz], strict=False):
        last_digit = 0.005 if printed >= 10 else 0.0005
        assert vibration.peak_g(hz, mm) == pytest.approx(printed, abs=last_digit * 1.01)


@pytest.mark.parametrize("hz", GRID)
def test_displacement_that_gives_one_g(hz: float) -> None:
    assert vibration.displacement_for_g(hz, 1.0) == pytest.approx(GRID[hz][-1], rel=0.003)


def test_thirty_hertz_two_millimetres_in_every_quantity() -> None:
    at = Vibration(frequency_hz=30, displacement_mm=2)
    assert at.peak_m_s2 == pytest.approx(35.53, abs=5e-3)
    assert at.peak_g == pytest.approx(3.623, abs=5e-4)
    assert at.rms_m_s2 == pytest.approx(25.12, abs=5e-3)
    assert vibration.displacement_for_g(30, 3.2) == pytest.approx(1.766, abs=5e-4)


def test_units_agree_with_pint() -> None:
    ureg = pint.UnitRegistry()
    omega = 2 * math.pi * ureg.radian * 30 * ureg.hertz
    peak = (omega**2 * (2 * ureg.millimeter) / 2).to("standard_gravity")
    at = Vibration(frequency_hz=30, displacement_mm=2)
    assert peak.magnitude == pytest.approx(at.peak_g, rel=1e-9)


PRINTED = [
    # source, Hz, mm as printed, reading, g as printed, spread of the print
    ("Gisbert-Orozco 2024, Appl Sci 14:9516", 20, 1.0, PEAK_TO_PEAK, 1.0, 0.2),
    ("Gisbert-Orozco 2024, Appl Sci 14:9516", 30, 0.6, PEAK_TO_PEAK, 1.0, 0.2),
    ("Sa-Caputo 2019 (g from memory)", 5, 2.5, PEAK_TO_PEAK, 0.12, 0.01),
    ("Sa-Caputo 2019 (g from memory)", 14, 7.5, PEAK_TO_PEAK, 2.95, 0.02),
    ("Abercromby 2007, MSSE 39:1794 (g by the formula)", 30, 4.0, PEAK_TO_PEAK, 7.246, 0.001),
    ("PaVOS protocol, Trials 2018 19:186", 30, 1.0, ZERO_TO_PEAK, 3.6, 0.05),
]


@pytest.mark.parametrize("source, hz, mm, reads_as, g, spread", PRINTED)
def test_printed_sets_that_follow_from_their_own_reading(
    source: str, hz: float, mm: float, reads_as: str, g: float, spread: float
) -> None:
    assert Vibration.shown(hz, mm, reads_as=reads_as).peak_g == pytest.approx(g, abs=spread)
    other = ZERO_TO_PEAK if reads_as == PEAK_TO_PEAK else PEAK_TO_PEAK
    assert abs(Vibration.shown(hz, mm, reads_as=other).peak_g - g) > spread


@given(some_hz, some_mm)
def test_zero_to_peak_is_peak_to_peak_of_twice_the_number(hz: float, mm: float) -> None:
    half = Vibration.shown(hz, mm, reads_as=ZERO_TO_PEAK)
    assert half == Vibration.shown(hz, 2 * mm, reads_as=PEAK_TO_PEAK)


@given(some_hz, some_mm)
def test_g_and_displacement_and_frequency_invert_each_other(hz: float, mm: float) -> None:
    g = vibration.peak_g(hz, mm)
    assert vibration.displacement_for_g(hz, g) == pytest.approx(mm)
    assert vibration.frequency_for_g(mm, g) == pytest.approx(hz)


@pytest.mark.parametrize(
    "hz, g, reads_as, mm",
    [
        (30, 0.3, PEAK, 0.166),
        (35, 0.3, PEAK, 0.122),
        (37, 0.3, PEAK, 0.109),
        (90, 0.3, PEAK, 0.018),
        (30, 0.2, PEAK, 0.110),
        (30, 0.2, PEAK_TO_PEAK, 0.055),
    ],
)
def test_displacement_behind_a_printed_g(hz: float, g: float, reads_as: str, mm: float) -> None:
    at = Vibration.of_g(hz, g, reads_as=reads_as)
    assert at.displacement_mm == pytest.approx(mm, abs=6e-4)


@pytest.mark.parametrize("turn", [vibration.peak_to_peak_mm, vibration.peak_from_g])
def test_an_unknown_reading_is_never_guessed(turn: object) -> None:
    with pytest.raises(ValueError, match="reads as"):
        turn(1.0, "unknown")  # type: ignore[operator]


# --- Geometry of a tilting plate ----------------------------------------------------------


@pytest.mark.parametrize(
    "foot_mm, degrees, mm",
    # Illustrative tilt: the positions are the 2.5 to 7.5 mm of Sa-Caputo 2019.
    [(60, 1.19, 2.5), (120, 1.19, 5.0), (180, 1.19, 7.5), (240, 1.43, 12.0)],
)
def test_foot_distance_and_tilt_give_displacement(
    foot_mm: float, degrees: float, mm: float
) -> None:
    assert vibration.displacement_at_foot_mm(foot_mm, degrees) == pytest.approx(mm, rel=0.004)
    assert vibration.foot_distance_for_mm(mm, degrees) == pytest.approx(foot_mm, rel=0.004)


@given(st.floats(20, 500), st.floats(0.05, 15))
def test_displacement_is_in_proportion_to_foot_distance(foot_mm: float, degrees: float) -> None:
    one = vibration.displacement_at_foot_mm(foot_mm, degrees)
    assert vibration.displacement_at_foot_mm(2 * foot_mm, degrees) == pytest.approx(2 * one)
    assert vibration.foot_distance_for_mm(one, degrees) == pytest.approx(foot_mm)


# --- The weighting Wk ---------------------------------------------------------------------

#: ISO 2631-1:1997, table of Wk at nominal one-third-octave frequencies, factor times 1000.
WK_TABLE = {
    0.5: 418,
    0.63: 459,
    0.8: 477,
    1: 482,
    1.25: 484,
    1.6: 494,
    2: 531,
    2.5: 631,
    3.15: 804,
    4: 967,
    5: 1039,
    6.3: 1054,
    8: 1036,
    10: 988,
    12.5: 902,
    16: 768,
    20: 636,
    25: 513,
    31.5: 405,
    40: 314,
    50: 246,
    63: 186,
    80: 132,
    100: 88.7,
}
#: Analytic values, to four places.
WK_ANALYTIC = {1: 0.4825, 5: 1.0388, 8: 1.0364, 12.5: 0.9023, 20: 0.6359, 25: 0.5127} | {
    30: 0.4258,
    35: 0.3624,
    40: 0.3144,
    50: 0.2458,
    90: 0.1084,
}


def test_wk_agrees_with_the_table_at_every_third_of_an_octave() -> None:
    wanted = np.array(list(WK_TABLE.values())) / 1000
    found = vibration.wk(np.array(list(WK_TABLE)))
    assert found.shape == (24,)
    assert np.max(np.abs(found / wanted - 1)) < 0.005


@pytest.mark.parametrize("hz, factor", WK_ANALYTIC.items())
def test_wk_analytic_values(hz: float, factor: float) -> None:
    assert float(vibration.wk(hz)) == pytest.approx(factor, abs=5.1e-5)


def test_a_table_shifted_by_three_bands_would_be_noticed() -> None:
    """A table found in public code gives the value of 1 Hz at 0.5 Hz."""
    bands, factors = list(WK_TABLE), list(WK_TABLE.values())
    shifted = dict(zip(bands, factors[3:], strict=False))
    assert shifted[0.5] == 482
    far = [
        abs(float(vibration.wk(hz)) * 1000 / factor - 1) > 0.005 for hz, factor in shifted.items()
    ]
    assert sum(far) == len(shifted)


def test_a_step_of_gain_w6_over_w5_squared_would_be_noticed() -> None:
    """The step's far gain is 1; the other constant, found in public code, doubles all."""
    doubled = np.array(list(WK_TABLE.values())) / 1000 * (3.35 / 2.37) ** 2
    ratio = doubled / vibration.wk(np.array(list(WK_TABLE)))
    assert ratio == pytest.approx(2.0, rel=0.005)
    assert vibration.wk(1) == pytest.approx(0.4825, abs=5e-5)
    assert vibration.wk(8) == pytest.approx(1.0364, abs=5e-5)


def test_wk_keeps_the_shape_of_its_frequencies() -> None:
    assert vibration.wk([[5.0, 8.0], [20.0, 25.0]]).shape == (2, 2)


# --- Exposure -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "hz, mm, seconds, peak, a_w, a8, evdv, vdv",
    [
        (30, 4, 600, 7.25, 21.39, 3.09, 148.2, 117.2),
        (12.5, 12, 900, 3.77, 23.61, 4.17, 181.1, 143.1),
        (35, 1.7, 900, 4.19, 10.53, 1.86, 80.8, 63.9),
        (30, 2, 360, 3.62, 10.70, 1.20, 65.2, 51.6),
        (20, 2, 300, 1.61, 7.10, 0.725, 41.4, 32.7),
        (12.5, 3, 360, 0.94, 5.90, 0.660, 36.0, 28.5),
    ],
)
def test_worked_exposures_at_the_plate(
    hz: float,
    mm: float,
    seconds: float,
    peak: float,
    a_w: float,
    a8: float,
    evdv: float,
    vdv: float,
) -> None:
    at = Vibration(frequency_hz=hz, displacement_mm=mm)
    found = vibration.exposure(at, seconds=seconds)
    assert at.peak_g == pytest.approx(peak, abs=0.006)
    assert found.a_w_m_s2 == pytest.approx(a_w, abs=0.006)
    assert found.a8_m_s2 == pytest.approx(a8, rel=0.005)
    assert found.evdv_m_s175 == pytest.approx(evdv, abs=0.06)
    assert found.vdv_m_s175 == pytest.approx(vdv, abs=0.06)


@pytest.mark.parametrize(
    "hz, a_w, a8, evdv, vdv", [(30, 0.89, 0.181, 7.3, 5.8), (35, 0.75, 0.154, 6.2, 4.9)]
)
def test_worked_exposures_of_twenty_minutes_at_three_tenths_of_a_g(
    hz: float, a_w: float, a8: float, evdv: float, vdv: float
) -> None:
    found = vibration.exposure(Vibration.of_g(hz, 0.3, reads_as=PEAK), seconds=1200)
    assert found.a_w_m_s2 == pytest.approx(a_w, abs=0.006)
    assert found.a8_m_s2 == pytest.approx(a8, abs=0.0006)
    assert found.evdv_m_s175 == pytest.approx(evdv, abs=0.06)
    assert found.vdv_m_s175 == pytest.approx(vdv, abs=0.06)
    # Inside even the lower end of the caution zone of ISO 2631-1 annex B, 8.5.
    assert found.evdv_m_s175 < 8.5


def test_a_first_week_of_four_bouts_of_thirty_seconds() -> None:
    """The sample week of the draft document: 25 Hz, 1 mm, 2 min of vibration."""
    at = Vibration(frequency_hz=25, displacement_mm=1.0)
    found = vibration.exposure(at, seconds=4 * 30)
    assert round(found.a8_m_s2, 2) == 0.29
    assert round(found.vdv_m_s175, 1) == 16.4


@pytest.mark.parametrize("hz, mm, seconds", [(25, 1.0, 2.0), (12.5, 3.0, 4.0), (30, 0.2, 1.0)])
def test_vdv_is_the_fourth_power_integral_of_the_sinusoid(
    hz: float, mm: float, seconds: float
) -> None:
    """By numerical integration of one period (SciPy), whole periods in the time."""
    at = Vibration(frequency_hz=hz, displacement_mm=mm)
    weighted_peak = float(vibration.wk(hz)) * at.peak_m_s2
    fourth, _ = quad(lambda t: (weighted_peak * math.sin(2 * math.pi * hz * t)) ** 4, 0, 1 / hz)
    square, _ = quad(lambda t: (weighted_peak * math.sin(2 * math.pi * hz * t)) ** 2, 0, 1 / hz)
    found = vibration.exposure(at, seconds=seconds)
    assert found.vdv_m_s175 == pytest.approx((fourth * hz * seconds) ** 0.25, rel=1e-6)
    assert found.a_w_m_s2 == pytest.approx(math.sqrt(square * hz), rel=1e-6)


@given(some_hz, some_mm, st.floats(1, 28800))
def test_estimated_vdv_overstates_a_sinusoid_by_a_quarter(
    hz: float, mm: float, seconds: float
) -> None:
    found = vibration.exposure(Vibration(frequency_hz=hz, displacement_mm=mm), seconds=seconds)
    assert found.evdv_m_s175 / found.vdv_m_s175 == pytest.approx(1.265, abs=5e-4)


def test_action_and_limit_values_of_the_directive_agree_with_each_other() -> None:
    """Directive 2002/44/EC: eight hours at 0.5 m/s² are 9.1 m/s^1.75, at 1.15 m/s² 21."""
    for a_w, evdv in (
        (vibration.A8_ACTION_M_S2, vibration.VDV_ACTION_M_S175),
        (vibration.A8_LIMIT_M_S2, vibration.VDV_LIMIT_M_S175),
    ):
        g = a_w * math.sqrt(2) / float(vibration.wk(8)) / vibration.GRAVITY_M_S2
        found = vibration.exposure(Vibration.of_g(8, g, reads_as=PEAK), seconds=8 * 3600)
        assert found.a_w_m_s2 == pytest.approx(a_w)
        assert found.a8_m_s2 == pytest.approx(a_w)
        assert found.evdv_m_s175 == pytest.approx(evdv, rel=0.005)


@pytest.mark.parametrize("hz, a8, inside", [(15, 0.80, True), (20, 1.12, True), (25, 1.41, False)])
def test_mahbub_2020_inside_at_20_hertz_and_over_at_25(hz: float, a8: float, inside: bool) -> None:
    """Mahbub 2020, IJERPH 17:1069: three bouts of a minute at 4 mm; 25 Hz slightly above."""
    at = Vibration(frequency_hz=hz, displacement_mm=4)
    found = vibration.exposure(at, seconds=3 * 60)
    assert found.a8_m_s2 == pytest.approx(a8, abs=0.006)
    assert (found.a8_m_s2 <= vibration.A8_LIMIT_M_S2) is inside
    # The two yardsticks disagree for short strong exposures: by VDV all three are far over.
    assert found.evdv_m_s175 > 2 * vibration.VDV_LIMIT_M_S175


def test_abercromby_2007_ten_minutes_a_day_is_over() -> None:
    """Abercromby 2007, MSSE 39:1794: 30 Hz, 4 mm peak to peak, 10 min a day, by eVDV."""
    found = vibration.exposure(Vibration(frequency_hz=30, displacement_mm=4), seconds=600)
    assert found.evdv_m_s175 > 17  # upper end of the caution zone, ISO 2631-1 annex B
    assert found.evdv_m_s175 > vibration.VDV_LIMIT_M_S175
