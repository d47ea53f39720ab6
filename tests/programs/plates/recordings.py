"""Recordings of invented plates whose true motion is known, with errors drawn as stated."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from programs.dose.vibration import GRAVITY_M_S2
from programs.plates.recording.heads import heads_of
from programs.plates.recording.instrument import PHONE, Instrument, Mounting
from programs.plates.recording.motion import Motion, motion
from programs.plates.recording.reading import Recording, recording
from programs.plates.recording.table import Table

HEADS = ("time (s)", "x (m/s2)", "y (m/s2)", "z (m/s2)")
TAPED = Mounting(follows_percent=1.0)


@dataclass(frozen=True, kw_only=True)
class True_:
    """A true motion and how it was recorded.

    harmonics    of each from the second on: size of acceleration as a share of the tone's, phase
    jitter_s     error of the sampling times that the recording does not tell
    uneven_s     unevenness of the sampling that it tells
    scale        what the numbers are multiplied by: errors of sensitivity and mounting
    clock        what the times are multiplied by
    wander_hz    how far the frequency swings to either side, once in a dozen seconds
    off          motion across, as a share
    tilt         radians by which the instrument lies off level
    """

    hz: float = 30.0
    mm: float = 2.0
    phase: float = 0.3
    harmonics: tuple[tuple[float, float], ...] = ()
    rate_hz: float = 400.0
    seconds: float = 12.0
    noise: float = 0.05
    jitter_s: float = 0.0
    uneven_s: float = 0.0
    drift: float = 0.0
    scale: float = 1.0
    clock: float = 1.0
    wander_hz: float = 0.0
    off: float = 0.0
    tilt: float = 0.0
    resolution: float = 0.0
    range_m_s2: float = 1e9
    gravity: float = GRAVITY_M_S2
    rest_s: float = 1.5
    seed: int = 1

    @property
    def sizes(self) -> np.ndarray:
        """Return the sizes of tone and harmonics so that the displacement is mm peak to peak."""
        shape = np.array([1.0, *(share for share, _ in self.harmonics)])
        return shape * self.mm / np.ptp(self._moves(shape))

    def _phases(self) -> np.ndarray:
        return np.array([self.phase, *(phase for _, phase in self.harmonics)])

    def _moves(self, shape: np.ndarray) -> np.ndarray:
        turn = np.linspace(0, 2 * math.pi, 20_000, endpoint=False)
        numbers = np.arange(1, shape.size + 1)
        angles = np.outer(turn, numbers) + self._phases()
        return 1000 * np.cos(angles) @ (shape / (2 * math.pi * self.hz * numbers) ** 2)

    def pull(self, time_s: np.ndarray) -> np.ndarray:
        """Return the acceleration upwards at times, m/s2."""
        sizes = self.sizes
        numbers = np.arange(1, sizes.size + 1)
        angles = np.outer(2 * math.pi * self.turns(time_s), numbers) + self._phases()
        return np.cos(angles) @ sizes

    def turns(self, time_s: np.ndarray) -> np.ndarray:
        """Return how many turns the plate has made."""
        swing = 2 * math.pi / 12
        return self.hz * time_s + self.wander_hz / swing * np.sin(swing * time_s)

    def mean_hz(self, from_s: float, to_s: float) -> float:
        """Return the mean frequency between two times of the recording."""
        ends = np.array([from_s, to_s])
        return float(np.ptp(self.turns(ends)) / np.ptp(ends))

    @property
    def values(self) -> dict[str, float]:
        """Return the true figures, by their definitions alone."""
        one = replace(self, wander_hz=0.0).pull(np.linspace(0, 1 / self.hz, 20_000, endpoint=False))
        rms = float(np.sqrt(np.mean(one**2)))
        energy = self.sizes**2 / 2
        return {
            "hz": self.hz,
            "mm": self.mm,
            "peak_g": float(np.max(np.abs(one))) / GRAVITY_M_S2,
            "rms_g": rms / GRAVITY_M_S2,
            "crest": float(np.max(np.abs(one))) / rms,
            "knock_percent": 100 * float(energy[1:].sum() / energy.sum()),
        }


def table_of(true: True_) -> Table:
    """Return what the instrument writes: at rest, running, at rest."""
    rng = np.random.default_rng(true.seed)
    whole = true.seconds + 2 * true.rest_s
    count = int(whole * true.rate_hz)
    told = np.arange(count) / true.rate_hz
    if true.uneven_s:
        told = np.sort(told + rng.uniform(-true.uneven_s, true.uneven_s, count))
    at = told + rng.normal(0, true.jitter_s, count) if true.jitter_s else told
    runs = (at > true.rest_s) & (at < whole - true.rest_s)
    up = np.where(runs, true.pull(at), 0.0)
    drift = true.drift * np.sin(2 * math.pi * 0.03 * at)
    lies = np.array([0.0, math.sin(true.tilt), math.cos(true.tilt)])
    across = np.array([1.0, 0.0, 0.0])
    axes = np.outer(up + true.gravity, lies) + np.outer(true.off * up, across)
    axes = axes * true.scale + drift[:, None] + rng.normal(0, true.noise, axes.shape)
    if true.resolution:
        axes = np.round(axes / true.resolution) * true.resolution
    axes = np.clip(axes, -true.range_m_s2, true.range_m_s2)
    times = (told - told[0]) * true.clock
    return Table(
        heads=heads_of(HEADS, 1),
        delimiter=",",
        comma=False,
        clock=False,
        cut_off=False,
        times=times,
        axes=axes,
    )


def csv_of(true: True_, heads: tuple[str, ...] = HEADS) -> bytes:
    """Return the recording as a file."""
    made = table_of(true)
    rows = np.column_stack((made.times, made.axes))
    lines = (",".join(f"{value:.6f}" for value in row) for row in rows)
    return "\n".join((",".join(heads), *lines)).encode()


def recorded(true: True_) -> Recording:
    """Return the recording, read."""
    return recording(table_of(true))


def found(true: True_, set_hz: float | None = None, instrument: Instrument = PHONE) -> Motion:
    """Return what is worked out from it."""
    shown = round(true.hz) if set_hz is None else set_hz
    return motion(recorded(true), set_hz=shown, instrument=instrument, mounting=TAPED)


def drawn(seed: int) -> True_:
    """Return a recording at random, all its errors drawn from within what is stated of them."""
    rng = np.random.default_rng(seed)
    hz = float(rng.uniform(12.5, 50))
    rate_hz = float(np.exp(rng.uniform(math.log(max(50.0, 2.75 * hz)), math.log(1600))))
    seen = int(0.45 * rate_hz / hz)
    shares = rng.uniform(0, 0.15, 2) * rng.integers(0, 2)
    phases = rng.uniform(0, 2 * math.pi, 2)
    harmonics = tuple(zip(shares, phases, strict=True))[: max(0, min(2, seen - 1))]
    mm = float(np.exp(rng.uniform(math.log(0.5), math.log(5))))
    scale = 1 + rng.uniform(-PHONE.scale_percent, PHONE.scale_percent) / 100
    mount = 1 + rng.uniform(-1, 1) / 100
    return True_(
        hz=hz,
        mm=mm,
        phase=float(rng.uniform(0, 2 * math.pi)),
        harmonics=harmonics,
        rate_hz=rate_hz,
        seconds=float(rng.uniform(6, 20)),
        noise=float(np.exp(rng.uniform(math.log(0.005), math.log(0.4)))),
        jitter_s=float(rng.uniform(0, 3e-4)) * int(rng.integers(0, 2)),
        uneven_s=float(rng.uniform(0, 0.3)) / rate_hz * int(rng.integers(0, 2)),
        drift=float(rng.uniform(0, 0.5)),
        wander_hz=float(rng.uniform(0, 0.1)) * int(rng.integers(0, 2)),
        scale=scale * mount,
        clock=1 + rng.uniform(-PHONE.clock_percent, PHONE.clock_percent) / 100,
        off=float(rng.uniform(0, 0.1)),
        tilt=float(rng.uniform(0, 0.04)),
        resolution=float(rng.choice([0.0, 0.005, 0.04])),
        seed=seed,
    )
