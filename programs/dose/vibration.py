"""Physics of a vibration plate: acceleration, geometry of a tilting plate, exposure.

A plate moves as a sinusoid. Displacement is peak to peak (the whole travel) wherever the
name does not say otherwise; a number from a panel is turned into it by `peak_to_peak_mm`,
which insists on being told how the panel reads. A wrong guess is a factor of two.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

#: Standard gravity, m/s² (CGPM 1901).
GRAVITY_M_S2 = 9.80665

PEAK_TO_PEAK = "peak_to_peak"
ZERO_TO_PEAK = "zero_to_peak"
PEAK = "peak"


def peak_to_peak_mm(shown_mm: float, reads_as: str) -> float:
    """Return the whole travel in mm of a displacement that reads in the way named.

    Raises ValueError for any other reading: an unknown one has to be decided by the caller.
    """
    if reads_as == PEAK_TO_PEAK:
        return shown_mm
    if reads_as == ZERO_TO_PEAK:
        return 2 * shown_mm
    raise ValueError(f"displacement reads as {reads_as!r}")


def peak_from_g(shown_g: float, reads_as: str) -> float:
    """Return the peak acceleration in g of a printed g; ValueError for another reading."""
    if reads_as == PEAK:
        return shown_g
    if reads_as == PEAK_TO_PEAK:
        return shown_g / 2
    raise ValueError(f"acceleration reads as {reads_as!r}")


@dataclass(frozen=True, kw_only=True)
class Vibration:
    """A sinusoidal motion: frequency in Hz, peak-to-peak displacement in mm."""

    frequency_hz: float
    displacement_mm: float

    @classmethod
    def shown(cls, frequency_hz: float, shown_mm: float, *, reads_as: str) -> Vibration:
        """Return the motion of a panel's numbers, the reading of the displacement named."""
        return cls(frequency_hz=frequency_hz, displacement_mm=peak_to_peak_mm(shown_mm, reads_as))

    @classmethod
    def of_g(cls, frequency_hz: float, shown_g: float, *, reads_as: str) -> Vibration:
        """Return the motion that gives this acceleration, the reading of the g named."""
        peak = peak_from_g(shown_g, reads_as)
        return cls(
            frequency_hz=frequency_hz, displacement_mm=displacement_for_g(frequency_hz, peak)
        )

    @property
    def peak_m_s2(self) -> float:
        """Return the peak acceleration, 2 pi² f² D."""
        return 2 * (math.pi * self.frequency_hz) ** 2 * self.displacement_mm / 1000

    @property
    def peak_g(self) -> float:
        """Return the peak acceleration in g."""
        return self.peak_m_s2 / GRAVITY_M_S2

    @property
    def rms_m_s2(self) -> float:
        """Return the root-mean-square acceleration of the sinusoid."""
        return self.peak_m_s2 / math.sqrt(2)


def peak_g(frequency_hz: float, displacement_mm: float) -> float:
    """Return the peak acceleration in g of a frequency and a peak-to-peak displacement."""
    return Vibration(frequency_hz=frequency_hz, displacement_mm=displacement_mm).peak_g


def displacement_for_g(frequency_hz: float, peak_g: float) -> float:
    """Return the peak-to-peak displacement in mm that gives a peak acceleration in g."""
    return peak_g * GRAVITY_M_S2 / (2 * (math.pi * frequency_hz) ** 2) * 1000


def frequency_for_g(displacement_mm: float, peak_g: float) -> float:
    """Return the frequency in Hz at which a peak-to-peak displacement gives a peak in g."""
    return math.sqrt(peak_g * GRAVITY_M_S2 * 1000 / (2 * displacement_mm)) / math.pi


# --- A tilting (side-alternating) plate -------------------------------------------------


def displacement_at_foot_mm(foot_distance_mm: float, tilt_degrees: float) -> float:
    """Return the peak-to-peak travel in mm of a foot this far from the tilting axis.

    The plate tilts by the angle to either side, so the foot travels 2 r sin(angle).
    """
    return 2 * foot_distance_mm * math.sin(math.radians(tilt_degrees))


def foot_distance_for_mm(displacement_mm: float, tilt_degrees: float) -> float:
    """Return the distance in mm from axis to mid-foot that gives this travel."""
    return displacement_mm / (2 * math.sin(math.radians(tilt_degrees)))


# --- Exposure: a yardstick of work-place vibration ---------------------------------------

EXPOSURE_NOTE = (
    "For information only. These figures compare the plate with limits for vibration at work. "
    "The method was made for seated people and has not been shown to hold for standing exercise."
)
EXPOSURE_SOURCES = (
    "ISO 2631-1:1997, weighting Wk",
    "Directive 2002/44/EC, article 3",
    "Griffin 1998, J Sound Vib 215:883-914 (limits of the method)",
)
#: Daily exposure at which an employer must act, and the limit (Directive 2002/44/EC, article 3).
A8_ACTION_M_S2 = 0.5
A8_LIMIT_M_S2 = 1.15
VDV_ACTION_M_S175 = 9.1
VDV_LIMIT_M_S175 = 21.0

_DAY_S = 8 * 3600
# Corner frequencies in Hz and quality factors of Wk (ISO 2631-1:1997, annex A).
_F1, _Q1 = 0.4, math.sqrt(0.5)
_F2, _Q2 = 100.0, math.sqrt(0.5)
_F3 = 12.5
_F4, _Q4 = 12.5, 0.63
_F5, _Q5 = 2.37, 0.91
_F6, _Q6 = 3.35, 0.91

FloatArray = npt.NDArray[np.float64]


def wk(frequency_hz: npt.ArrayLike) -> FloatArray:
    """Return the ISO 2631-1 weighting Wk (vertical axis) at these frequencies in Hz.

    Any shape in, the same shape out. Analytic transfer function of annex A: high pass, low
    pass, acceleration-velocity transition and upward step, the step's far gain being 1.
    """
    s = 2j * math.pi * np.asarray(frequency_hz, dtype=np.float64)
    w1, w2, w3, w4, w5, w6 = (2 * math.pi * f for f in (_F1, _F2, _F3, _F4, _F5, _F6))
    high = 1 / (1 + w1 / (_Q1 * s) + (w1 / s) ** 2)
    low = 1 / (1 + s / (_Q2 * w2) + (s / w2) ** 2)
    transition = (1 + s / w3) / (1 + s / (_Q4 * w4) + (s / w4) ** 2)
    step = (1 + s / (_Q5 * w5) + (s / w5) ** 2) / (1 + s / (_Q6 * w6) + (s / w6) ** 2)
    step = step * (w5 / w6) ** 2
    return np.abs(high * low * transition * step)


@dataclass(frozen=True, kw_only=True)
class Exposure:
    """Weighted vibration of one day at the surface of the plate.

    a_w_m_s2       weighted root-mean-square acceleration while it runs
    a8_m_s2        the same spread over eight hours by energy
    vdv_m_s175     vibration dose value of the sinusoid, exact
    evdv_m_s175    the estimated value, 1.4 a_w T^0.25; about a quarter higher on a sinusoid
    """

    a_w_m_s2: float
    a8_m_s2: float
    vdv_m_s175: float
    evdv_m_s175: float


@lru_cache(maxsize=1024)
def exposure(vibration: Vibration, *, seconds: float) -> Exposure:
    """Return the exposure of a day with this many seconds of vibration, rests left out."""
    a_w = float(wk(vibration.frequency_hz)) * vibration.rms_m_s2
    # The mean fourth power of a sinusoid is 1.5 times the square of its mean square.
    return Exposure(
        a_w_m_s2=a_w,
        a8_m_s2=a_w * math.sqrt(seconds / _DAY_S),
        vdv_m_s175=1.5**0.25 * a_w * seconds**0.25,
        evdv_m_s175=1.4 * a_w * seconds**0.25,
    )
