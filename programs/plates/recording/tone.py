"""The tone of a plate in its recording: spectral peak, and a sine fitted with its harmonics.

The fit is that of least squares with the frequency free (the four-parameter fit of IEEE 1057, with
harmonics, a drift of second order beside it, and a frequency that may wander slowly), at the times
that the recording bears, so that uneven sampling needs no filling in.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre

from programs.plates.recording.direction import ComplexArray
from programs.plates.recording.gum import FloatArray

MOST_HARMONICS = 8
#: Of the sampling rate: what can be seen at all of a tone, and of its harmonics.
SEEN_SHARE, HARMONIC_SHARE = 0.4, 0.45
#: Terms of the mean's drift.
_POLYNOMIAL = 3
#: Legendre polynomials of time in the phase, for a plate's motor is no clock: from and to how
#: many, one more for so many seconds.
_LEAST_POWERS, _MOST_POWERS, _POWER_S = 2, 8, 2.0
#: The most that a polynomial of the phase moves in one round, radians.
_MOST_TURN = 1.0
#: Pieces whose phases differ by this many times their noise in squares wander; the mean frequency
#: hangs on both ends of the window, where a fit is worst.
_BEYOND_NOISE, _ENDS = 1.5, 3.0
#: The fit ends once the phase at the window's ends moves by less than this, in radians.
_STILL = 1e-6
_MOST_ROUNDS = 30


@dataclass(frozen=True, kw_only=True, eq=False)
class Tone:
    """A sine with harmonics, fitted.

    cosines, sines   of each harmonic, the tone first, m/s2, about the middle of the window
    covariance       of (angular frequency, cosines, sines)
    residual         what the fit leaves, m/s2
    slope            of the fit at each sample, m/s3
    drift_m_s2       how far the mean wanders over the window
    wander_hz        between how far apart frequencies it wanders
    halves           the tone's size in each half of the window, m/s2
    hz_left          what wandering beyond the fit may do to the mean frequency
    """

    hz: float
    cosines: FloatArray
    sines: FloatArray
    covariance: FloatArray
    residual: FloatArray
    slope: FloatArray
    drift_m_s2: float
    wander_hz: float
    halves: tuple[float, float]
    hz_left: float

    @property
    def sizes(self) -> FloatArray:
        """Return the zero-to-peak size of each harmonic, m/s2."""
        return np.hypot(self.cosines, self.sines)

    @property
    def noise_m_s2(self) -> float:
        """Return the root mean square of what the fit leaves."""
        return float(np.sqrt(np.mean(self.residual**2)))


def spectrum(time_s: FloatArray, axes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return frequencies and the power of all axes together, through a Hann window.

    An uneven recording is filled in on even times, for a first look only.
    """
    count = time_s.size
    even = np.linspace(float(time_s[0]), float(time_s[-1]), count)
    shape = np.hanning(count)
    length = 1 << (4 * count - 1).bit_length()
    power = np.zeros(length // 2 + 1)
    for axis in axes.T:
        filled = np.interp(even, time_s, axis)
        filled = filled - np.polyval(np.polyfit(even, filled, 2), even)
        power += np.abs(np.fft.rfft(filled * shape, length)) ** 2
    hz = np.fft.rfftfreq(length, float(even[1] - even[0]))
    return hz.astype(np.float64), power


def peak_hz(hz: FloatArray, power: FloatArray, low_hz: float, high_hz: float) -> float:
    """Return the frequency of the strongest line between two, interpolated by a parabola."""
    inside = np.flatnonzero((hz >= low_hz) & (hz <= high_hz))
    at = int(inside[np.argmax(power[inside])])
    if not 0 < at < hz.size - 1:
        return float(hz[at])
    before, here, after = np.log(power[at - 1 : at + 2] + 1e-300)
    bend = before - 2 * here + after
    shift = 0.5 * (before - after) / bend if bend else 0.0
    return float(hz[at] + np.clip(shift, -0.5, 0.5) * (hz[1] - hz[0]))


def harmonics_seen(hz: float, rate_hz: float) -> int:
    """Return how many harmonics, the tone included, lie where the sampling sees them."""
    return max(1, min(MOST_HARMONICS, int(HARMONIC_SHARE * rate_hz / hz)))


def fit(time_s: FloatArray, values: FloatArray, near_hz: float, rate_hz: float) -> Tone:
    """Return the sine with harmonics that fits best near a frequency, which may wander slowly."""
    half_s = float(time_s[-1] - time_s[0]) / 2
    u = (time_s - time_s[0]) / half_s - 1
    numbers = np.arange(1.0, harmonics_seen(near_hz, rate_hz) + 1)
    count = int(np.clip(1 + 2 * half_s / _POWER_S, _LEAST_POWERS, _MOST_POWERS))
    turned = _first_phase(u, values, near_hz, half_s, count)
    powers = legendre.legvander(u, count)[:, 1:]
    for _ in range(_MOST_ROUNDS):
        columns = _columns(u, powers @ turned, numbers)
        found = _solved(columns, values)
        slope = _by_phase(columns, found, numbers)
        both = np.hstack((columns, slope[:, None] * powers))
        shift = _solved(both, values)[-count:]
        turned = turned + np.clip(shift, -_MOST_TURN, _MOST_TURN)
        if float(np.max(np.abs(shift))) < _STILL:
            break
    return _tone(u, turned, numbers, values, half_s)


def _first_phase(
    u: FloatArray, values: FloatArray, near_hz: float, half_s: float, count: int
) -> FloatArray:
    """Return a first guess of the phase, from pieces of the recording."""
    rate = 2 * math.pi * near_hz * half_s
    turning = _pieces(u, rate * u, values - np.mean(values), max(count + 3, int(2 * half_s)))
    middles = (np.arange(turning.size) + 0.5) / turning.size * 2 - 1
    turned = legendre.legfit(middles, np.unwrap(np.angle(turning)), count)[1:]
    turned[0] += rate
    return turned.astype(np.float64)


def _pieces(u: FloatArray, theta: FloatArray, level: FloatArray, count: int) -> ComplexArray:
    """Return size and phase of the tone in each piece, against a phase that is taken for it."""
    place = np.minimum(((u + 1) / 2 * count).astype(np.int64), count - 1)
    samples = np.maximum(np.bincount(place, minlength=count), 1)
    real = np.bincount(place, level * np.cos(theta), count) / samples
    imaginary = np.bincount(place, level * np.sin(theta), count) / samples
    return 2 * (real - 1j * imaginary)


def _left_turning(turning: ComplexArray, noise: float, samples: int) -> float:
    """Return the phase, in radians, that wanders beyond the fit; 0 where noise explains it."""
    size = abs(complex(np.mean(turning)))
    mean = float(np.mean((np.angle(turning / np.mean(turning))) ** 2))
    by_noise = 2 * noise**2 * turning.size / (size**2 * samples)
    return math.sqrt(mean - by_noise) if mean > _BEYOND_NOISE * by_noise else 0.0


def _columns(u: FloatArray, theta: FloatArray, numbers: FloatArray) -> FloatArray:
    angles = np.outer(theta, numbers)
    trend = np.vander(u, _POLYNOMIAL, increasing=True)
    return np.hstack((trend, np.cos(angles), np.sin(angles))).astype(np.float64)


def _solved(columns: FloatArray, values: FloatArray) -> FloatArray:
    found = np.linalg.solve(columns.T @ columns, columns.T @ values)
    return found.astype(np.float64)


def _by_phase(columns: FloatArray, found: FloatArray, numbers: FloatArray) -> FloatArray:
    """Return how the fit changes with the phase of the tone, at each sample."""
    count = numbers.size
    cos = columns[:, _POLYNOMIAL : _POLYNOMIAL + count]
    sin = columns[:, _POLYNOMIAL + count :]
    cosines, sines = found[_POLYNOMIAL : _POLYNOMIAL + count], found[_POLYNOMIAL + count :]
    return (cos @ (numbers * sines) - sin @ (numbers * cosines)).astype(np.float64)


def _tone(
    u: FloatArray, turned: FloatArray, numbers: FloatArray, values: FloatArray, half_s: float
) -> Tone:
    count = numbers.size
    terms = np.arange(1, turned.size + 1)
    powers = legendre.legvander(u, turned.size)[:, 1:]
    theta = powers @ turned
    columns = _columns(u, theta, numbers)
    found = _solved(columns, values)
    slope = _by_phase(columns, found, numbers)
    both = np.hstack((columns, slope[:, None] * powers))
    residual = values - columns @ found
    variance = float(residual @ residual) / (u.size - both.shape[1])
    # The mean frequency is that from end to end: the odd polynomials of the phase alone.
    mean = terms % 2 / half_s
    pick = np.zeros((1 + 2 * count, both.shape[1]))
    pick[0, -terms.size :] = mean
    pick[1:, _POLYNOMIAL : _POLYNOMIAL + 2 * count] = np.eye(2 * count)
    level = values - columns[:, :_POLYNOMIAL] @ found[:_POLYNOMIAL]
    halves = np.abs(_pieces(u, theta, level, 2))
    pieces = _pieces(u, theta, level, max(8, int(4 * half_s)))
    left = _left_turning(pieces, math.sqrt(variance), u.size)
    rates = legendre.legval(np.linspace(-1, 1, 41), legendre.legder([0.0, *turned]))
    return Tone(
        hz=float(mean @ turned) / (2 * math.pi),
        cosines=found[_POLYNOMIAL : _POLYNOMIAL + count],
        sines=found[_POLYNOMIAL + count :],
        covariance=pick @ (variance * np.linalg.inv(both.T @ both)) @ pick.T,
        residual=residual,
        slope=slope * float(mean @ turned),
        drift_m_s2=float(np.ptp(columns[:, :_POLYNOMIAL] @ found[:_POLYNOMIAL])),
        wander_hz=float(np.ptp(rates)) / (2 * math.pi * half_s),
        halves=(float(halves[0]), float(halves[1])),
        hz_left=_ENDS * left / (4 * math.pi * half_s),
    )
