"""A recording taken as a measurement: what is asked beside the file, and what it comes to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from patients.facts.question import Kind, ask
from programs.plates.measured_motion import AtASetting, Measurement
from programs.plates.recording.instrument import (
    INSTRUMENT_NAMES,
    INSTRUMENTS,
    MOUNTING_NAMES,
    MOUNTINGS,
)
from programs.plates.recording.motion import Motion, Quantity, motion
from programs.plates.recording.reading import Choices, Recording, recording
from programs.plates.recording.table import table


@dataclass(frozen=True, kw_only=True)
class Asked(AtASetting):
    """What a person says of a recording."""

    instrument: str = ask("Instrument", Kind.CHOICE, choices=INSTRUMENT_NAMES, required=True)
    how: str | None = ask("Which one", Kind.TEXT, help="So that it is known again next year")
    mounting: str = ask("How it was fixed", Kind.CHOICE, choices=MOUNTING_NAMES, required=True)


@dataclass(frozen=True, kw_only=True, eq=False)
class Worked:
    """A recording, read, and the motion worked out from it."""

    recording: Recording
    motion: Motion


def read(data: bytes, choices: Choices) -> Recording:
    """Return a file as a recording. Raises BadRecording, or UnitAsked."""
    return recording(table(data), choices)


def worked(found: Recording, asked: Asked) -> Worked:
    """Return what a recording comes to. Raises BadRecording with the reason."""
    made = motion(
        found,
        set_hz=asked.set_hz,
        instrument=INSTRUMENTS[asked.instrument],
        mounting=MOUNTINGS[asked.mounting],
    )
    return Worked(recording=found, motion=made)


def as_measurement(made: Motion, asked: Asked, *, name: str, digest: str) -> Measurement:
    """Return a motion as the register keeps it, its intervals rounded up.

    The peak is that of the waveform, knocks included, so that the larger motion counts.
    """
    instrument = INSTRUMENT_NAMES[asked.instrument].lower()
    hz, hz_half = _rounded(made.hz, 2, 3)
    mm, mm_half = _rounded(made.mm, 3, 4)
    g, g_half = _rounded(made.peak_g, 3, 4)
    return Measurement(
        on=asked.on,
        load_kg=asked.load_kg,
        set_hz=asked.set_hz,
        set_mm=asked.set_mm,
        axis_mm=asked.axis_mm,
        hz=hz,
        mm=mm,
        g=g,
        how=f"{asked.how} ({instrument})" if asked.how else instrument,
        hz_half=hz_half,
        mm_half=mm_half,
        g_half=g_half,
        recording=f"{name}, {made.from_s:.1f} to {made.to_s:.1f} s, SHA-256 {digest[:16]}",
    )


def _rounded(found: Quantity, decimals: int, half_decimals: int) -> tuple[float, float]:
    """Return a value and half its interval, widened by what the rounding moved."""
    value = round(found.value, decimals)
    whole = (found.half + abs(value - found.value)) * 10**half_decimals
    return value, math.ceil(round(whole, 6)) / 10**half_decimals
