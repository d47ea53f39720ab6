"""What is known of the instrument and of how it was fixed, as limits of error."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """An accelerometer's errors as limits within which each may lie.

    scale_percent   of its sensitivity
    clock_percent   of its clock
    offset_g        of its zero, which turns the direction of gravity that it shows
    """

    scale_percent: float
    clock_percent: float
    offset_g: float


#: Common practice for the small sensors of telephones; a certificate says more.
PHONE = Instrument(scale_percent=3.0, clock_percent=0.01, offset_g=0.04)
#: An accelerometer of vibration work with a certificate (common practice).
CALIBRATED = Instrument(scale_percent=1.0, clock_percent=0.005, offset_g=0.02)
INSTRUMENTS: Mapping[str, Instrument] = MappingProxyType({"phone": PHONE, "calibrated": CALIBRATED})
INSTRUMENT_NAMES = MappingProxyType(
    {
        "phone": "Telephone or small logger, without a certificate",
        "calibrated": "Accelerometer with a certificate of calibration",
    }
)


@dataclass(frozen=True, kw_only=True)
class Mounting:
    """How the instrument was fixed to the plate.

    follows_percent   how far its motion may differ from the plate's; None: it may leave the plate
    """

    follows_percent: float | None


#: Project choice: nobody measured it for these plates.
MOUNTINGS: Mapping[str, Mounting] = MappingProxyType(
    {
        "taped": Mounting(follows_percent=1.0),
        "screwed": Mounting(follows_percent=0.5),
        "loose": Mounting(follows_percent=None),
    }
)
MOUNTING_NAMES = MappingProxyType(
    {
        "taped": "Flat on the plate, held down all round with tape",
        "screwed": "Screwed, glued or clamped",
        "loose": "Lying on it loose",
    }
)
#: How far a lone axis may stand from upright, in degrees (project choice).
TILT_LIMIT_DEGREES = 5.0
