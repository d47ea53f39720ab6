"""What was measured on a plate, and the plate that follows: measured beats nominal.

A panel names a frequency and a displacement; what the plate does is something else. On seven
platforms under four loads the true frequency was 0.83 to 1.19 of the nominal one, and size of
motion and peak changed with the load (Alizadeh-Meghrazi 2014, J Rehabil Med 46(9)).
"""
# ruff: noqa: RUF009  ask() returns a dataclass field

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from patients.facts.ages import add_months
from patients.facts.declared_plate import Displacement, FrequencyRange, MeasuredPanel, Plate
from patients.facts.document import read_part, write_part
from patients.facts.question import Kind, ask, number
from programs.dose.plate_settings import (
    LOW_MAGNITUDE,
    as_shown,
    fixed_peak_g,
    frequencies,
    panel_hz,
    travels,
)
from programs.dose.plate_start import reading
from programs.dose.vibration import PEAK, PEAK_TO_PEAK, displacement_for_g, peak_g

NOMINAL_NOTE = (
    "Nominal values can be 20 % off: on seven platforms the true frequency was 0.83 to 1.19 of "
    "the nominal one, and the motion changed with the load."
)
NOMINAL_SOURCE = "Alizadeh-Meghrazi 2014, J Rehabil Med 46(9), doi 10.2340/16501977-1868"
#: A peak more than this many times what the panel gives is no rounding of a nominal value.
NOMINAL_SPREAD = 1.2
NOT_MEASURED = "Write at least one measured value: frequency, displacement or acceleration."


@dataclass(frozen=True, kw_only=True)
class AtASetting:
    """When, under which load, at which setting of the panel and where a plate was measured."""

    on: dt.date = ask("Measured on", Kind.DATE, required=True)
    load_kg: float = number(
        "Load on the plate",
        "kg",
        0,
        250,
        decimals=1,
        required=True,
        help="Of whoever stood on it; 0 where it was empty",
    )
    set_hz: float = number("The panel was set to", "Hz", 1, 120, decimals=1, required=True)
    set_mm: float | None = number(
        "and its displacement to", "mm", 0.01, 40, decimals=2, help="As the panel shows it, if any"
    )
    axis_mm: float | None = number(
        "From the tilting axis to what measures",
        "mm",
        10,
        500,
        help="From the middle of the plate to the middle of the instrument, to one side",
    )


@dataclass(frozen=True, kw_only=True)
class Measurement(AtASetting):
    """What was measured at one setting of the panel, with a load on the plate."""

    hz: float | None = number("Frequency measured", "Hz", 1, 150, decimals=2)
    mm: float | None = number(
        "Displacement measured", "mm", 0.01, 80, decimals=3, help="Peak to peak: the whole travel"
    )
    g: float | None = number("Acceleration measured", "g", 0.01, 30, decimals=3, help="Peak")
    how: str | None = ask("Measured with", Kind.TEXT)
    hz_half: float | None = number("Frequency certain within", "Hz", 0, 50, decimals=3)
    mm_half: float | None = number("Displacement certain within", "mm", 0, 50, decimals=4)
    g_half: float | None = number("Acceleration certain within", "g", 0, 30, decimals=4)
    recording: str | None = ask("Worked out from the recording", Kind.TEXT)

    @property
    def true_hz(self) -> float:
        """Return the frequency measured, or the panel's where none was."""
        return self.set_hz if self.hz is None else self.hz

    @property
    def true_mm(self) -> float | None:
        """Return the peak-to-peak travel; where g and travel disagree, the larger motion."""
        found = [] if self.mm is None else [self.mm]
        if self.g is not None:
            found.append(displacement_for_g(self.true_hz, self.g))
        return max(found, default=None)

    @property
    def upper_mm(self) -> float | None:
        """Return the travel at the upper end of what was measured: that is held to the ceilings."""
        hz, hz_half = self.true_hz, self.hz_half or 0.0
        found = [] if self.mm is None else [self.mm + (self.mm_half or 0.0)]
        if self.g is not None:
            found.append(displacement_for_g(hz, self.g + (self.g_half or 0.0)))
        if not found:
            return None
        # A frequency that may be higher makes the same travel pull harder, by its square.
        return max(found) * ((hz + hz_half) / hz) ** 2

    @property
    def upper_g(self) -> float | None:
        """Return the peak at the upper end of what was measured."""
        return None if self.upper_mm is None else peak_g(self.true_hz, self.upper_mm)

    @property
    def peak_g(self) -> float | None:
        """Return the peak acceleration in g, or None where only the frequency was measured."""
        return None if self.true_mm is None else peak_g(self.true_hz, self.true_mm)


def problem(plate: Plate, measured: Measurement) -> tuple[str, str] | None:
    """Return the field at fault and what is wrong with a measurement of this plate, or None."""
    if measured.hz is None and measured.mm is None and measured.g is None:
        return "g", NOT_MEASURED
    return unknown_setting(plate, measured.set_hz, measured.set_mm)


def unknown_setting(plate: Plate, set_hz: float, set_mm: float | None) -> tuple[str, str] | None:
    """Return the field at fault and why the plate has no such setting, or None."""
    speeds = frequencies(plate.frequency_hz)
    if speeds and set_hz not in speeds:
        return "set_hz", f"The plate has no {set_hz:g} Hz."
    shown = plate.displacement_mm.settings if plate.displacement_mm else ()
    if shown and set_mm not in shown:
        return "set_mm", f"One of its settings is expected: {', '.join(f'{s:g}' for s in shown)}."
    return None


def strength(plate: Plate, measured: Measurement) -> float | None:
    """Return the measured peak as a multiple of what the panel gives; None where unknown."""
    if measured.peak_g is None:
        return (measured.true_hz / measured.set_hz) ** 2
    nominal = _nominal_g(plate, measured)
    return None if nominal is None else measured.peak_g / nominal


def upper_strength(plate: Plate, measured: Measurement) -> float | None:
    """Return the same for the upper end of what was measured."""
    times = strength(plate, measured)
    if times is None or measured.peak_g is None or measured.upper_g is None:
        return times
    return times * measured.upper_g / measured.peak_g


def _nominal_g(plate: Plate, at: Measurement) -> float | None:
    if plate.motion == LOW_MAGNITUDE:
        return fixed_peak_g(plate)
    moves = travels(plate, reading(plate))
    found = next((move.mm for move in moves if move.panel == at.set_mm), None)
    return None if found is None else peak_g(at.set_hz, found)


@dataclass(frozen=True, kw_only=True)
class KnownPlate:
    """A plate as it is judged.

    nominal   as its panel says
    plate     as it moves: where it was measured at the upper end of the interval, with what its
              panel shows; else nominal
    """

    nominal: Plate
    plate: Plate
    measured: tuple[Measurement, ...] = ()

    @property
    def is_measured(self) -> bool:
        """Tell whether what it really does is known."""
        return self.plate.panel is not None

    def shown_hz(self, hz: float) -> float:
        """Return the frequency that the panel shows for a true one."""
        shown = panel_hz(self.plate, hz)
        return hz if shown is None else shown


def known_plate(plate: Plate, measured: tuple[Measurement, ...] = ()) -> KnownPlate:
    """Return the plate as it moves; of several measurements of a setting the strongest counts.

    plate  by its panel; one of a person's list may hold already what was measured on it
    """
    if not measured:
        return KnownPlate(nominal=as_shown(plate), plate=plate)
    ratio = _frequency_ratio(measured)
    true = _with_true_g(plate, measured)
    if plate.frequency_hz is not None:
        true = replace(true, frequency_hz=_stretched(plate.frequency_hz, ratio))
    moves = _true_travels(plate, measured, ratio)
    shown = plate.displacement_mm
    if moves:
        true = replace(true, displacement_mm=Displacement(settings=moves, reads_as=PEAK_TO_PEAK))
    elif tilt := _true_tilt(plate, measured):
        true = replace(true, tilt_degrees=tilt)
    panel = MeasuredPanel(
        measured_on=max(m.on for m in measured),
        frequency_hz=plate.frequency_hz,
        displacement_mm=shown.settings if shown and moves else None,
        reads_as=shown.reads_as if shown and moves else None,
    )
    return KnownPlate(nominal=plate, plate=replace(true, panel=panel), measured=measured)


def _frequency_ratio(measured: tuple[Measurement, ...]) -> float:
    ratios = [m.hz / m.set_hz for m in measured if m.hz is not None]
    return sum(ratios) / len(ratios) if ratios else 1.0


def _stretched(span: FrequencyRange, ratio: float) -> FrequencyRange:
    steps = len(frequencies(span)) - 1
    low, step = round(span.from_hz * ratio, 3), round(span.step_hz * ratio, 3)
    # The last step exactly, or rounding would lose the highest setting.
    return FrequencyRange(from_hz=low, to_hz=round(low + steps * step, 3), step_hz=step)


def _true_travels(
    plate: Plate, measured: tuple[Measurement, ...], ratio: float
) -> tuple[float, ...]:
    """Return the travel of each setting; what was not measured goes by the largest ratio.

    ratio   true frequency to the panel's
    No setting is taken to move less than a lower one.
    """
    found = [(m.set_mm, mm) for m in measured if m.set_mm and (mm := _travel_to_hold(m, ratio))]
    if not found or plate.displacement_mm is None:
        return ()
    times = max(mm / shown for shown, mm in found)
    moves: list[float] = []
    for at in sorted(set(plate.displacement_mm.settings)):
        own = round(max((mm for shown, mm in found if shown == at), default=at * times), 3)
        # A thousandth more at least, so that each keeps its own number on the panel.
        moves.append(max(own, round(moves[-1] + 0.001, 3)) if moves else own)
    return tuple(moves)


def _travel_to_hold(measured: Measurement, ratio: float) -> float | None:
    """Return the travel with which a measured peak is not below what it may have been.

    The frequency is told by the mean of what was measured; a setting that ran faster than that
    pulls harder than its travel alone would tell.
    """
    if measured.upper_mm is None or measured.upper_g is None:
        return None
    return max(measured.upper_mm, displacement_for_g(ratio * measured.set_hz, measured.upper_g))


def _true_tilt(plate: Plate, measured: tuple[Measurement, ...]) -> float | None:
    moves = travels(plate, PEAK_TO_PEAK) if plate.displacement_mm is None else ()
    true = [m.upper_mm for m in measured if m.upper_mm is not None]
    if not moves or not true or plate.tilt_degrees is None:
        return None
    return plate.tilt_degrees * max(true) / moves[0].mm


def _with_true_g(plate: Plate, measured: tuple[Measurement, ...]) -> Plate:
    peaks = [m.upper_g for m in measured if m.upper_g is not None]
    if plate.motion != LOW_MAGNITUDE or not peaks:
        return plate
    return replace(plate, fixed_g=round(max(peaks), 3), g_reads_as=PEAK)


def for_a_list(known: KnownPlate) -> Plate | None:
    """Return the plate as a list of a person's plates holds it: as it moves, with its panel.

    None where no plate can be believed to move as it was measured.
    """
    held = read_part(Plate, write_part(known.plate), "", dt.date.max, dt.date.min)
    return held if isinstance(held, Plate) else None


#: What was measured is measured again after so many months (project choice).
RECHECK_MONTHS = 12


def recheck_on(
    measured: Iterable[Measurement], repaired_on: dt.date | None = None
) -> dt.date | None:
    """Return the day from which a plate is to be measured again; None where it never was.

    measured  what counts: nothing from before the repair
    """
    newest = max((m.on for m in measured), default=None)
    return repaired_on if newest is None else add_months(newest, RECHECK_MONTHS)


def counts(measured: Measurement, repaired_on: dt.date | None) -> bool:
    """Tell whether a measurement is of the plate as it is: what was before a repair is not."""
    return repaired_on is None or measured.on >= repaired_on


# --- Per load ------------------------------------------------------------------------------


#: A measurement under a load this near to hers, in kg, is one of how it moves under her (project
#: choice).
NEAR_KG = 15.0


def under_load(
    measured: tuple[Measurement, ...], weight_kg: float | None
) -> tuple[Measurement, ...]:
    """Return the measurements that tell of a plate under somebody of this weight.

    Of each setting those under a load near to hers, where there are any; else all, so that the
    strongest counts.
    """
    if weight_kg is None:
        return measured
    near = {(m.set_hz, m.set_mm) for m in measured if abs(m.load_kg - weight_kg) <= NEAR_KG}
    return tuple(
        m
        for m in measured
        if abs(m.load_kg - weight_kg) <= NEAR_KG or (m.set_hz, m.set_mm) not in near
    )
