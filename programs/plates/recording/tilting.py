"""The geometry of a tilting plate from two recordings, at two distances from its axis.

A point this far from the axis travels 2 (r - r0) sin(angle), so that two points give the angle and
where the axis really lies.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from programs.plates.recording.gum import FloatArray, propagated
from programs.plates.recording.motion import Quantity
from programs.plates.recording.refused import BadRecording

#: Half of a 95 % interval in standard uncertainties of a normal error.
_NORMAL = 1.959964
#: Least distance between the two places, and how well a place is known (project choice).
LEAST_APART_MM, PLACE_MM = 40.0, 2.0


@dataclass(frozen=True, kw_only=True)
class Place:
    """A recording at one distance from the axis.

    distance_mm   from the middle of the plate to the middle of the instrument, on one side
    mm            its displacement peak to peak
    own_half_mm   of the interval of that, the part that is not common to both recordings
    """

    distance_mm: float
    mm: Quantity
    own_half_mm: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Tilt:
    """How a plate tilts.

    degrees   to either side
    axis_mm   how far the axis lies from the middle of the plate, towards the places measured
    """

    degrees: Quantity
    axis_mm: Quantity
    at: FloatArray
    covariance: FloatArray

    def displacement(self, foot_mm: float) -> Quantity:
        """Return the displacement peak to peak of a foot this far from the middle."""
        return _quantities(
            lambda p: np.array([(p[2] + (p[3] - p[2]) * (foot_mm - p[0]) / (p[1] - p[0]))]),
            self.at,
            self.covariance,
        )[0]


def tilt(one: Place, other: Place) -> Tilt:
    """Return the geometry. Raises BadRecording where two places do not give one."""
    near, far = sorted((one, other), key=lambda place: place.distance_mm)
    if far.distance_mm - near.distance_mm < LEAST_APART_MM:
        raise BadRecording(
            f"The two places are {far.distance_mm - near.distance_mm:g} mm apart; "
            f"{LEAST_APART_MM:g} mm are the least. Measure once near the axis and once far out."
        )
    if far.mm.value <= near.mm.value:
        raise BadRecording(
            "The place further out moves no more than the near one. Were both on one side of the "
            "axis, and the same setting on the panel?"
        )
    at = np.array([near.distance_mm, far.distance_mm, near.mm.value, far.mm.value])
    covariance = _covariance(near, far)
    degrees, axis_mm = _quantities(_geometry, at, covariance)
    return Tilt(degrees=degrees, axis_mm=axis_mm, at=at, covariance=covariance)


def _geometry(at: FloatArray) -> FloatArray:
    slope = (at[3] - at[2]) / (at[1] - at[0])
    return np.array([math.degrees(math.asin(slope / 2)), at[0] - at[2] / slope])


def _covariance(near: Place, far: Place) -> FloatArray:
    """Return that of places and displacements; what both recordings share errs alike in both."""
    covariance = np.diag([PLACE_MM**2 / 3] * 2 + [0.0, 0.0])
    shared = []
    for index, place in enumerate((near, far), start=2):
        own = place.own_half_mm / _NORMAL
        covariance[index, index] = (place.mm.half / _NORMAL) ** 2
        shared.append(math.sqrt(max(covariance[index, index] - own**2, 0.0)))
    covariance[2, 3] = covariance[3, 2] = shared[0] * shared[1]
    return covariance


def _quantities(
    function: Callable[[FloatArray], FloatArray], at: FloatArray, covariance: FloatArray
) -> list[Quantity]:
    values, spread = propagated(function, at, covariance)
    halves = _NORMAL * np.sqrt(np.diag(spread))
    return [Quantity(value=float(v), half=float(h)) for v, h in zip(values, halves, strict=True)]
