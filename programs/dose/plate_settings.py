"""What a plate can be set to, and the words for a setting."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from patients.facts.declared_plate import Displacement, FrequencyRange, Plate
from programs.dose.vibration import (
    PEAK,
    displacement_at_foot_mm,
    peak_from_g,
    peak_g,
    peak_to_peak_mm,
)

VERTICAL = "vertical"
SIDE_ALTERNATING = "side_alternating"
LOW_MAGNITUDE = "low_magnitude"

#: Said plainly wherever a low-magnitude plate is weighed (rulebook row 16).
GENTLE_TRIALS = (
    "Two large trials of low magnitude found no gain in density (Leung 2014, Osteoporos Int "
    "25:1785; Kiel 2015, J Bone Miner Res 30:1319). In the first, randomized by centre, falls or "
    "fractures, counted together, were fewer and thighs stronger; it stands alone."
)


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One setting of a plate.

    displacement_mm   peak to peak; None on a low-magnitude plate
    panel             what the plate's own panel shows for it; None where it shows nothing
    """

    frequency_hz: float
    displacement_mm: float | None
    panel: float | None
    peak_g: float


@dataclass(frozen=True, kw_only=True)
class Travel:
    """A displacement the plate has: peak to peak, and as its panel shows it."""

    mm: float
    panel: float | None


def frequencies(span: FrequencyRange | None) -> tuple[float, ...]:
    """Return the frequencies in Hz, lowest first; none where they are not known."""
    return () if span is None else span.all_hz


def panel_hz(plate: Plate, hz: float) -> float | None:
    """Return what the panel of a measured plate shows for one of its true frequencies, if any."""
    if plate.panel is None:
        return None
    shown = zip(frequencies(plate.frequency_hz), frequencies(plate.panel.frequency_hz), strict=True)
    return next((panel for true, panel in shown if math.isclose(true, hz)), None)


def as_shown(plate: Plate) -> Plate:
    """Return a measured plate with the numbers of its panel instead; another as it is."""
    if plate.panel is None:
        return plate
    panel, moves = plate.panel, plate.displacement_mm
    if moves and panel.displacement_mm:
        moves = Displacement(settings=panel.displacement_mm, reads_as=panel.reads_as)
    return replace(plate, panel=None, frequency_hz=panel.frequency_hz, displacement_mm=moves)


def travels(plate: Plate, reads_as: str) -> tuple[Travel, ...]:
    """Return the displacements, smallest first, the panel taken to read as said.

    A tilting plate without settings has the one that its tilt and the foot's distance give, to
    a hundredth of a millimetre.
    """
    if plate.displacement_mm is not None:
        held = sorted(set(plate.displacement_mm.settings))
        shown = (plate.panel.displacement_mm if plate.panel else None) or held
        pairs = zip(held, shown, strict=True)
        return tuple(Travel(mm=peak_to_peak_mm(s, reads_as), panel=panel) for s, panel in pairs)
    if plate.motion != SIDE_ALTERNATING:
        return ()
    if plate.foot_distance_mm is None or plate.tilt_degrees is None:
        return ()
    mm = displacement_at_foot_mm(plate.foot_distance_mm, plate.tilt_degrees)
    return (Travel(mm=round(mm, 2), panel=None),)


def setting(frequency_hz: float, travel: Travel) -> Setting:
    """Return the setting of a frequency and a displacement, its peak worked out."""
    return Setting(
        frequency_hz=frequency_hz,
        displacement_mm=travel.mm,
        panel=travel.panel,
        peak_g=peak_g(frequency_hz, travel.mm),
    )


def fixed_peak_g(plate: Plate) -> float | None:
    """Return the peak of a plate of fixed acceleration; taken as peak unless said otherwise."""
    if plate.fixed_g is None:
        return None
    return peak_from_g(plate.fixed_g, plate.g_reads_as or PEAK)


def mm_words(mm: float) -> str:
    """Return a displacement in words, to a hundredth of a millimetre."""
    return f"{round(mm, 2):g} mm peak to peak"


def hz_words(hz: float) -> str:
    """Return a frequency in words, to a tenth of a hertz, as panels have it at most."""
    return f"{round(hz, 1):g} Hz"


def setting_words(at: Setting) -> str:
    """Return a setting in words, with its peak."""
    moved = "" if at.displacement_mm is None else f" and {mm_words(at.displacement_mm)}"
    return f"{hz_words(at.frequency_hz)}{moved}: {at.peak_g:.2f} g peak"
