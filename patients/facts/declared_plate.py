"""What may be known of a vibration plate: each fact once, with question, unit, range and help."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from patients.facts import codes
from patients.facts.question import Kind, ask, number, yes_no


@dataclass(frozen=True, kw_only=True)
class FrequencyRange:
    """The frequencies that a plate has."""

    from_hz: float = number("From", "Hz", 1, 120, decimals=1, key="from", required=True)
    to_hz: float = number("To", "Hz", 1, 120, decimals=1, key="to", required=True)
    step_hz: float = number("Step", "Hz", 0.05, 60, decimals=1, key="step", required=True)

    @property
    def all_hz(self) -> tuple[float, ...]:
        """Return each of them, lowest first; none where no step leads up."""
        if self.step_hz <= 0 or self.to_hz < self.from_hz:
            return ()
        # Decimal, or 0.1 Hz steps would miss the last one.
        low, high, step = (Decimal(str(v)) for v in (self.from_hz, self.to_hz, self.step_hz))
        return tuple(float(low + n * step) for n in range(int((high - low) / step) + 1))


@dataclass(frozen=True, kw_only=True)
class Displacement:
    """The displacement settings of a plate: as its panel shows them, or as they were measured."""

    settings: tuple[float, ...] = ask(
        "Settings", Kind.NUMBERS, unit="mm", low=0.01, high=40, decimals=2, required=True
    )
    reads_as: str | None = ask("The panel reads", Kind.CHOICE, choices=codes.DISPLACEMENT_READINGS)


@dataclass(frozen=True, kw_only=True)
class MeasuredPanel:
    """What the panel shows of a plate whose own numbers are as they were measured.

    frequency_hz      one for each of the plate's own, in their order
    displacement_mm   likewise; None where only the frequency was measured
    """

    measured_on: dt.date = ask("Measured on", Kind.DATE, required=True)
    frequency_hz: FrequencyRange | None = ask("Frequency", Kind.GROUP, of=FrequencyRange)
    displacement_mm: tuple[float, ...] | None = ask(
        "Displacement", Kind.NUMBERS, unit="mm", low=0.01, high=40, decimals=2
    )
    reads_as: str | None = ask("The panel reads", Kind.CHOICE, choices=codes.DISPLACEMENT_READINGS)


@dataclass(frozen=True, kw_only=True)
class Plate:
    """A vibration plate that she can use.

    panel   of a plate that was measured, whose frequency and displacement are then as it moves
    """

    name: str = ask("Name", Kind.TEXT, required=True, help="A name of your own for it")
    motion: str = ask("Motion", Kind.CHOICE, choices=codes.MOTIONS, required=True)
    frequency_hz: FrequencyRange | None = ask("Frequency", Kind.GROUP, of=FrequencyRange)
    displacement_mm: Displacement | None = ask("Displacement", Kind.GROUP, of=Displacement)
    fixed_g: float | None = number("Acceleration", "g", 0.01, 20, decimals=2)
    g_reads_as: str | None = ask("The g given is", Kind.CHOICE, choices=codes.G_READINGS)
    foot_distance_mm: float | None = number(
        "Foot to the tilting axis", "mm", 20, 500, help="Middle of the foot"
    )
    tilt_degrees: float | None = number("Tilt to one side", "degrees", 0.05, 15, decimals=2)
    rail: bool | None = yes_no("Rail on the plate")
    load_limit_kg: float | None = number("Load limit", "kg", 20, 500)
    price: float | None = number("Price", "", 0, 100000, decimals=2)
    panel: MeasuredPanel | None = ask("As measured; the panel shows", Kind.GROUP, of=MeasuredPanel)
