"""A recording as it is taken to be read: units, sampling, gravity, each said and none guessed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from programs.dose.vibration import GRAVITY_M_S2
from programs.plates.recording.gum import FloatArray
from programs.plates.recording.heads import (
    TIME,
    TIME_NAMES,
    TIME_UNITS,
    UNIT_NAMES,
    UNITS,
)
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.table import DELIMITER_NAMES, Table

SLOWEST_HZ, FASTEST_HZ = 20.0, 5000.0
#: Of the times between samples, those that a unit may mean where the head does not say one.
_LIKELY_S = (0.0005, 0.05)
#: A mean this near to gravity holds it; this near to nil it was taken out.
_IN_RATIO, _OUT_RATIO = (0.75, 1.25), 0.15


@dataclass(frozen=True, kw_only=True)
class Choices:
    """What a person said of a file; None where it is left to the file."""

    time_unit: str | None = None
    unit: str | None = None


@dataclass(frozen=True, kw_only=True)
class Taken:
    """One thing that is taken of a file: what, as what, and how that is known.

    by_size   worked out from the size of the numbers, so that a person has to confirm it
    """

    what: str
    as_what: str
    by_size: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class Recording:
    """A recording in seconds and m/s2.

    resolution    the step of its acceleration, m/s2, by axis
    gravity_in    it holds gravity, as an accelerometer's own numbers do
    """

    time_s: FloatArray
    axes: FloatArray
    names: tuple[str, ...]
    rate_hz: float
    resolution: FloatArray
    gravity_in: bool
    taken: tuple[Taken, ...]

    @property
    def seconds(self) -> float:
        """Return how long it is."""
        return float(self.time_s[-1])


class UnitAsked(Exception):
    """The unit of acceleration cannot be told: a person has to say it."""


def recording(table: Table, choices: Choices | None = None) -> Recording:
    """Return a table as a recording. Raises BadRecording, or UnitAsked."""
    said = choices or Choices()
    time_unit, by_size = _time_unit(table, said)
    time_s = table.times * (1.0 if time_unit is None else TIME_UNITS[time_unit])
    rate_hz = _rate(time_s)
    unit, unit_by_size = _unit(table, said)
    axes = table.axes * UNITS[unit]
    gravity_in = _holds_gravity(axes)
    moves = "gravity is in the numbers" if gravity_in else "gravity was taken out"
    clock = "a clock’s time of day" if time_unit is None else TIME_NAMES[time_unit]
    parted = DELIMITER_NAMES[table.delimiter]
    taken = (
        Taken(what="Columns are parted by", as_what=parted, by_size=False),
        Taken(what="Decimals", as_what="comma" if table.comma else "point", by_size=False),
        Taken(what=f"“{table.heads.names[TIME]}”", as_what=clock, by_size=by_size),
        *(
            Taken(what=f"“{table.heads.names[a]}”", as_what=UNIT_NAMES[unit], by_size=unit_by_size)
            for a in table.heads.axes
        ),
        Taken(what="Gravity", as_what=moves, by_size=True),
        Taken(what="Samples", as_what=_samples(time_s, rate_hz), by_size=False),
        *_left_out(table),
    )
    return Recording(
        time_s=time_s,
        axes=axes,
        names=table.heads.axes,
        rate_hz=rate_hz,
        resolution=np.array([_step(axis) for axis in axes.T]),
        gravity_in=gravity_in,
        taken=taken,
    )


def _samples(time_s: FloatArray, rate_hz: float) -> str:
    uneven = float(np.std(np.diff(time_s)) * rate_hz)
    even = "evenly" if uneven < 0.01 else f"unevenly, by {uneven:.0%} of the step"
    return f"{time_s.size} in {time_s[-1]:.1f} s, {rate_hz:.1f} a second, {even}"


def _left_out(table: Table) -> tuple[Taken, ...]:
    ignored = ", ".join(f"“{name}”" for name in table.heads.ignored)
    found = [("Not read", ignored)] if ignored else []
    if table.heads.line > 1:
        found.append(("Lines before the heads, passed over", str(table.heads.line - 1)))
    if table.cut_off:
        found.append(("Last line", "cut off, left out"))
    return tuple(Taken(what=what, as_what=how, by_size=False) for what, how in found)


# --- Time ---------------------------------------------------------------------------------


def _time_unit(table: Table, said: Choices) -> tuple[str | None, bool]:
    if table.clock:
        return None, False
    named = table.heads.units[TIME]
    if named is not None:
        return named, False
    if said.time_unit is not None:
        return said.time_unit, False
    step = float(np.median(np.diff(table.times)))
    low, high = _LIKELY_S
    for unit, seconds in TIME_UNITS.items():
        if low <= step * seconds < high:
            return unit, True
    raise BadRecording(
        f"The times have no unit, and steps of {step:g} are no usual sampling in seconds, "
        "milliseconds, microseconds or nanoseconds."
    )


def _rate(time_s: FloatArray) -> float:
    steps = np.diff(time_s)
    if np.any(steps < 0):
        at = int(np.argmax(steps < 0)) + 2
        raise BadRecording(f"The times go back at sample {at}. Is it two recordings in one file?")
    if np.any(steps == 0):
        at = int(np.argmax(steps == 0)) + 2
        raise BadRecording(
            f"Sample {at} bears the time of the one before it: the times are written too coarsely. "
            "Export them with more decimals."
        )
    rate_hz = (time_s.size - 1) / float(time_s[-1])
    if not SLOWEST_HZ <= rate_hz <= FASTEST_HZ:
        raise BadRecording(
            f"That would be {rate_hz:g} samples a second; {SLOWEST_HZ:g} to {FASTEST_HZ:g} are "
            "taken. Is the unit of time right?"
        )
    return rate_hz


def _step(values: FloatArray) -> float:
    """Return the step in which numbers are written; 0 where they are finer than can be told."""
    apart = np.diff(np.unique(values))
    if not apart.size:
        return 0.0
    # Differences of floats of one step differ in their last digits.
    least = float(np.min(apart[apart > 1e-9 * max(float(np.ptp(values)), 1e-300)], initial=np.inf))
    whole = apart / least
    return least if bool(np.all(np.abs(whole - np.round(whole)) < 0.05)) else 0.0


# --- Acceleration -------------------------------------------------------------------------


def _unit(table: Table, said: Choices) -> tuple[str, bool]:
    named = {table.heads.units[axis] for axis in table.heads.axes}
    if len(named) > 1:
        raise BadRecording("The axes have different units.")
    unit = named.pop()
    if unit is not None or said.unit is not None:
        return str(unit or said.unit), False
    size = float(np.linalg.norm(np.mean(table.axes, axis=0)))
    low, high = _IN_RATIO
    for name, factor in UNITS.items():
        if low <= size * factor / GRAVITY_M_S2 <= high:
            return name, True
    raise UnitAsked


def _holds_gravity(axes: FloatArray) -> bool:
    """Tell whether gravity is in the numbers, by their mean. Raises BadRecording in between."""
    ratio = float(np.linalg.norm(np.mean(axes, axis=0))) / GRAVITY_M_S2
    low, high = _IN_RATIO
    if low <= ratio <= high:
        return True
    if ratio <= _OUT_RATIO:
        return False
    hint = "Is the axis upright?" if axes.shape[1] == 1 else "Is the unit right?"
    raise BadRecording(
        f"The mean is {ratio:.2f} g: neither gravity nor nothing. {hint} Was the plate level, and "
        "the instrument lying still on it?"
    )
