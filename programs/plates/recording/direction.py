"""Along which line a plate moves in its recording: upright by gravity, else the strongest."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from programs.plates.recording.gum import FloatArray

ComplexArray = npt.NDArray[np.complex128]


@dataclass(frozen=True, kw_only=True, eq=False)
class Direction:
    """The line of motion that is worked on.

    unit        its direction in the instrument's axes
    by_gravity  it is upright, by gravity
    beside      the tone's size square to it, as a share of that along it; None without gravity
    noise       the standard uncertainty of that share
    """

    unit: FloatArray
    by_gravity: bool
    beside: float | None
    noise: float


def direction(time_s: FloatArray, axes: FloatArray, hz: float, *, gravity_in: bool) -> Direction:
    """Return the line of motion of a tone near a frequency."""
    if axes.shape[1] == 1:
        return Direction(unit=np.ones(1), by_gravity=False, beside=None, noise=0.0)
    sizes, noise = _sizes(time_s, axes, hz)
    if not gravity_in or axes.shape[1] < 3:
        unit = np.linalg.eigh(np.real(np.outer(sizes, sizes.conj())))[1][:, -1]
        return Direction(unit=unit, by_gravity=False, beside=None, noise=0.0)
    mean = np.mean(axes, axis=0)
    unit = mean / np.linalg.norm(mean)
    along = complex(unit @ sizes)
    across = float(np.linalg.norm(sizes - along * unit))
    return Direction(
        unit=unit,
        by_gravity=True,
        beside=across / max(abs(along), 1e-12),
        noise=float(np.linalg.norm(noise)) / max(abs(along), 1e-12),
    )


def _sizes(time_s: FloatArray, axes: FloatArray, hz: float) -> tuple[ComplexArray, FloatArray]:
    """Return the tone's size on each axis with its phase, and the noise of each."""
    angles = 2 * math.pi * hz * time_s
    columns = np.column_stack((np.ones_like(time_s), time_s, np.cos(angles), np.sin(angles)))
    found = np.linalg.solve(columns.T @ columns, columns.T @ axes)
    left = np.std(axes - columns @ found, axis=0)
    return found[2] - 1j * found[3], left * math.sqrt(2 / time_s.size)
