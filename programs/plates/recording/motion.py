"""How a plate moves, worked out from a recording of it, each figure with its uncertainty.

It is the plate that is measured, never a person: nothing of a body's answer is worked out here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from programs.dose.vibration import GRAVITY_M_S2, wk
from programs.plates.recording.checks import (
    check_certain,
    check_fixed,
    check_folding,
    check_sampling,
    check_tone,
    near_panel,
)
from programs.plates.recording.direction import Direction, direction
from programs.plates.recording.gum import FloatArray, half_width, propagated
from programs.plates.recording.instrument import TILT_LIMIT_DEGREES, Instrument, Mounting
from programs.plates.recording.reading import Recording
from programs.plates.recording.steady import Window, check_range, steady
from programs.plates.recording.tone import Tone, fit, spectrum

#: Harmonics this many times their noise are part of the plate's motion.
_STANDS_OUT = 4.0
#: A difference of the halves of the window this many times its noise is a wander.
_WANDERS = 3.0
#: Points of one turn over which its extremes are looked for.
_TURN = 720
#: What a peak between two of them may be higher by, as a share: (8 harmonics x pi / 720)^2 / 2.
_TURN_ERROR = 6e-4
NAMES = ("hz", "mm", "peak_g", "rms_g", "crest", "a_w_m_s2", "knock_percent")


@dataclass(frozen=True, kw_only=True)
class Quantity:
    """A figure with half of its 95 % interval."""

    value: float
    half: float

    @property
    def low(self) -> float:
        """Return the lower end of its interval."""
        return self.value - self.half

    @property
    def high(self) -> float:
        """Return the upper end of its interval."""
        return self.value + self.half


@dataclass(frozen=True, kw_only=True)
class Motion:
    """What a recording comes to.

    mm             peak to peak, of the tone and its harmonics
    peak_g, rms_g, crest, a_w_m_s2
                   of the tone and the harmonics that the sampling sees
    knock_percent  share of the energy in harmonics: a plate that knocks
    off_percent    motion across, of that along; None where gravity does not say what is upright
    noise_percent  share of the energy in neither tone nor harmonics
    noise_mm       what noise alone adds to the uncertainty of the displacement
    drift_m_s2     wander of the mean
    wander_hz      between how far apart frequencies the plate wandered
    peak_hz        the tone by the spectrum's peak alone
    seen_hz        up to where harmonics are seen
    parts          what the uncertainty of the displacement is made of, in mm, each alone
    """

    hz: Quantity
    mm: Quantity
    peak_g: Quantity
    rms_g: Quantity
    crest: Quantity
    a_w_m_s2: Quantity
    knock_percent: Quantity
    off_percent: Quantity | None
    noise_percent: float
    noise_mm: float
    drift_m_s2: float
    jitter_ms: float
    wander_hz: float
    peak_hz: float
    seen_hz: float
    rate_hz: float
    from_s: float
    to_s: float
    upright: bool
    parts: Mapping[str, float]


@dataclass(frozen=True, kw_only=True)
class _Fitted:
    """All that the figures are made from."""

    found: Recording
    window: Window
    way: Direction
    tone: Tone
    peak_hz: float


def motion(
    found: Recording, *, set_hz: float, instrument: Instrument, mounting: Mounting
) -> Motion:
    """Return the motion of a plate whose panel was set to a frequency.

    Raises BadRecording with the reason where the recording does not allow it.
    """
    check_sampling(found.rate_hz, set_hz)
    window = steady(found)
    fitted = _fitted(found, window, set_hz)
    check_fixed(fitted.tone, mounting.follows_percent is not None)
    made = _made(fitted, instrument, mounting.follows_percent or 0.0)
    check_certain(made.mm.value, made.mm.half)
    return made


def _fitted(found: Recording, window: Window, set_hz: float) -> _Fitted:
    time_s, axes = window.of(found.time_s), window.of(found.axes)
    hz, power = spectrum(time_s, axes)
    peak = near_panel(hz, power, set_hz, found.rate_hz)
    way = direction(time_s, axes, peak, gravity_in=found.gravity_in)
    along = axes @ way.unit
    tone = fit(time_s, along, peak, found.rate_hz)
    check_range(found, window, tone.hz)
    check_tone(tone, float(np.linalg.norm(way.unit * found.resolution)))
    check_folding(tone.hz, found.rate_hz, window.seconds)
    return _Fitted(
        found=found,
        window=window,
        way=way,
        tone=tone,
        peak_hz=peak,
    )


# --- From the fit to the figures ------------------------------------------------------------


def _made(fitted: _Fitted, instrument: Instrument, follows_percent: float) -> Motion:
    tone, found = fitted.tone, fitted.found
    moved, moved_error = jitter(tone)
    near = _near_noise(tone, fitted.window.of(found.time_s))
    at = np.concatenate(([moved, 2 * math.pi * tone.hz], tone.cosines, tone.sines))
    covariance = np.zeros((at.size, at.size))
    covariance[0, 0] = moved_error**2
    covariance[1:, 1:] = tone.covariance * near
    stands_out = _standing_out(tone)
    values, spread = propagated(lambda p: _figures(p, stands_out), at, covariance)
    sigmas = np.sqrt(np.maximum(np.diag(spread), 0.0))
    limits = _limits(fitted, instrument, follows_percent)
    quantities = {
        name: _quantity(float(v), float(s), limits[name])
        for name, v, s in zip(NAMES, values, sigmas, strict=True)
    }
    mm = quantities["mm"].value
    noise = float(np.mean(tone.residual**2))
    whole = noise + float(np.sum(tone.sizes**2)) / 2
    return Motion(
        **quantities,
        off_percent=_off(fitted.way, instrument),
        noise_percent=100 * noise / whole,
        noise_mm=half_width(float(sigmas[1])),
        drift_m_s2=tone.drift_m_s2,
        jitter_ms=1000 * math.sqrt(moved),
        wander_hz=tone.wander_hz,
        peak_hz=fitted.peak_hz,
        seen_hz=max(tone.sizes.size * tone.hz, tone.hz),
        rate_hz=found.rate_hz,
        from_s=fitted.window.from_s,
        to_s=fitted.window.to_s,
        upright=fitted.way.by_gravity,
        parts={
            "noise and timing of the samples": half_width(float(sigmas[1])),
            "sensitivity of the instrument": half_width(0.0, [mm * instrument.scale_percent / 100]),
            "how it is fixed": half_width(0.0, [mm * follows_percent / 100]),
            "whether it lies level": half_width(0.0, [mm * _tilted(fitted.way, instrument)]),
            "its clock": half_width(0.0, [2 * mm * instrument.clock_percent / 100]),
            "unsteady running": half_width(0.0, [mm * _unsteady(fitted)]),
            "coarse steps of its numbers": half_width(0.0, [mm * _coarse(fitted)]),
        },
    )


def _quantity(value: float, sigma: float, shares: Sequence[float]) -> Quantity:
    return Quantity(value=value, half=half_width(sigma, [value * share for share in shares]))


def _standing_out(tone: Tone) -> FloatArray:
    """Return 1 for the tone and each harmonic that stands out of the noise, else 0."""
    count = tone.sizes.size
    noise = np.sqrt(np.diag(tone.covariance)[1 : count + 1])
    out = (tone.sizes > _STANDS_OUT * noise).astype(np.float64)
    out[0] = 1.0
    return out


def _figures(at: FloatArray, stands_out: FloatArray) -> FloatArray:
    """Return the figures of NAMES, of jitter's variance, angular frequency, cosines and sines."""
    count = stands_out.size
    moved, omega = float(at[0]), float(at[1])
    numbers = np.arange(1.0, count + 1)
    # Times off by a random error flatten a sine by exp(-(w s)^2 / 2).
    raised = stands_out * np.exp((numbers * omega) ** 2 * moved / 2)
    cosines, sines = at[2 : 2 + count] * raised, at[2 + count :] * raised
    cos, sin = _turn(count)
    travelled = -1000 / (numbers * omega) ** 2
    moves = cos @ (cosines * travelled) + sin @ (sines * travelled)
    pulls = (cos @ cosines + sin @ sines) / GRAVITY_M_S2
    energies = (cosines**2 + sines**2) / 2
    rms = math.sqrt(float(np.sum(energies)))
    peak = float(np.max(np.abs(pulls)))
    weighted = math.sqrt(float(np.sum(wk(numbers * omega / (2 * math.pi)) ** 2 * energies)))
    knock = 100 * float(np.sum(energies[1:])) / float(np.sum(energies))
    rms_g = rms / GRAVITY_M_S2
    return np.array(
        (omega / (2 * math.pi), np.ptp(moves), peak, rms_g, peak / rms_g, weighted, knock)
    )


@lru_cache
def _turn(count: int) -> tuple[FloatArray, FloatArray]:
    """Return cosine and sine of each harmonic over one turn of the tone."""
    angles = np.outer(np.linspace(0, 2 * math.pi, _TURN, endpoint=False), np.arange(1.0, count + 1))
    return np.cos(angles), np.sin(angles)


def jitter(tone: Tone) -> tuple[float, float]:
    """Return the variance of the sampling times' error in s2, and its standard uncertainty.

    An error of time shows where the slope is steep, noise everywhere: the squares of what the fit
    leaves are held against the squared slope.
    """
    squares, steep = tone.residual**2, tone.slope**2
    most = float(np.mean(squares)) / float(np.mean(steep))
    apart = steep - np.mean(steep)
    spread = float(apart @ apart)
    if spread <= 1e-6 * float(steep @ steep):
        return most / 2, most / math.sqrt(12)
    found = float(apart @ squares) / spread
    left = squares - np.mean(squares) - found * apart
    error = math.sqrt(float(left @ left) / (left.size - 2) / spread)
    return float(np.clip(found, 0.0, most)), min(error, most / math.sqrt(3))


def _near_noise(tone: Tone, time_s: FloatArray) -> float:
    """Return how much stronger what is left is near the tone than on the whole; 1 where alike."""
    count = tone.residual.size
    even = np.linspace(float(time_s[0]), float(time_s[-1]), count)
    power = np.abs(np.fft.rfft(np.interp(even, time_s, tone.residual))) ** 2
    hz = np.fft.rfftfreq(count, float(even[1] - even[0]))
    near = np.abs(hz - tone.hz) < max(2.0, 4 / float(time_s[-1] - time_s[0]))
    ratio = float(np.mean(power[near]) / max(float(np.mean(power[1:])), 1e-300))
    chance = 3 / math.sqrt(float(np.count_nonzero(near)))
    return ratio if ratio > 1 + chance else 1.0


# --- Limits of error beside the noise -------------------------------------------------------


def _limits(
    fitted: _Fitted, instrument: Instrument, follows_percent: float
) -> Mapping[str, tuple[float, ...]]:
    """Return for each figure the limits of its other errors, as shares of it."""
    clock = instrument.clock_percent / 100
    scales = (
        instrument.scale_percent / 100,
        follows_percent / 100,
        _tilted(fitted.way, instrument),
        _unsteady(fitted),
        _coarse(fitted),
    )
    hidden = _hidden(fitted.tone)
    return {
        "hz": (clock, fitted.tone.hz_left / fitted.tone.hz),
        "mm": (*scales, 2 * clock),
        "peak_g": (*scales, hidden),
        "rms_g": scales,
        "a_w_m_s2": (*scales, clock),
        "crest": (hidden,),
        "knock_percent": (),
    }


def _hidden(tone: Tone) -> float:
    """Return what harmonics that do not stand out may add to a peak, as a share of it."""
    noise = np.sqrt(np.diag(tone.covariance)[1 : tone.sizes.size + 1])
    under = (1 - _standing_out(tone)) @ noise
    return float(2 * under / tone.sizes[0]) + _TURN_ERROR


def _tilted(way: Direction, instrument: Instrument) -> float:
    """Return how much of the motion may be lost to a tilt of the axis, as a share."""
    if way.by_gravity:
        return 1 - math.cos(instrument.offset_g)
    return 1 - math.cos(math.radians(TILT_LIMIT_DEGREES))


def _unsteady(fitted: _Fitted) -> float:
    """Return by how much the halves' sizes differ from the whole, where it is more than noise."""
    one, two = fitted.tone.halves
    noise = math.sqrt(4 * fitted.tone.covariance[1, 1])
    apart = abs(one - two)
    return apart / 2 / float(fitted.tone.sizes[0]) if apart > _WANDERS * noise else 0.0


def _coarse(fitted: _Fitted) -> float:
    """Return what coarse steps may add where no noise evens them out, as a share."""
    step = float(np.linalg.norm(fitted.way.unit * fitted.found.resolution))
    if fitted.tone.noise_m_s2 > step / 2:
        return 0.0
    return 0.1 * step / float(fitted.tone.sizes[0])


def _off(way: Direction, instrument: Instrument) -> Quantity | None:
    if way.beside is None:
        return None
    half = half_width(100 * way.noise, [100 * instrument.offset_g])
    return Quantity(value=100 * way.beside, half=half)
