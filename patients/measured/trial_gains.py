"""Gains of density in trials of loading, by site, to tell when one could show on a scanner.

A gain is the change of the trained people themselves, or how much more it was than that of
people who did not train; each says which. Only the first is what a scan of one person shows.
A gain whose span was not read is taken as that of one year; the trials ran from half a year up.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from patients.scanners.precision import percent_change

_HOWE = "Howe 2011, Cochrane review, abstract only read"
_INTENSITY = (
    "Kistler-Fischbacher 2021, any exercise by its intensity, 63 groups, {}; abstract only read"
)
_HEAVY = "Watson 2018, J Bone Miner Res 33:211, 49 women trained; abstract only read"
_MEDICINE = "MEDEX-OP 2022, women on and off bone medicine; conference abstract only read"


@dataclass(frozen=True)
class TrialGain:
    """An average gain with its 95 % interval, in percent or in g/cm2, over a span of months.

    low and high equal amount where no interval is known.
    months         None where the span was not read: taken as a year
    is_own_change  of the trained people themselves; else more than people who did not train
    control        of those who did not train, beside an own change, in percent; None: not known
    """

    label: str
    amount: float
    low: float
    high: float
    in_percent: bool
    source: str
    months: int | None = None
    is_own_change: bool = False
    control: float | None = None

    @property
    def words(self) -> str:
        """Return the gain as printed, with its span and what it is held against."""
        unit = "%" if self.in_percent else "g/cm²"
        between = f" ({self.low:g} to {self.high:g})" if self.has_interval else ""
        span = "span not read, taken as 12 months"
        if self.months is not None:
            span = f"in {self.months} months"
        against = "own change" if self.is_own_change else "more than without training"
        if self.control is not None:
            against = f"own change, {self.control:g} % in those who did not train"
        return f"{self.amount:g} {unit}{between}, {span}; {against}".replace("-", "\u2212")

    @property
    def has_interval(self) -> bool:
        """Tell whether an interval is known."""
        return self.low != self.high

    def percent(self, baseline_g_cm2: float) -> float:
        """Return it in percent of a baseline, over its span."""
        if self.in_percent:
            return self.amount
        return percent_change(baseline_g_cm2, baseline_g_cm2 + self.amount)

    @property
    def span_months(self) -> int:
        """Return its span; a year where that was not read."""
        return self.months or 12


def _own_change(
    label: str, percent: float, source: str, months: int, control: float | None = None
) -> TrialGain:
    return TrialGain(
        label, percent, percent, percent, True, source, months, is_own_change=True, control=control
    )


#: By site, what the trained people gained themselves first, then more than without training.
TRIAL_GAINS = MappingProxyType(
    {
        "lumbar_spine": (
            _own_change("Heavy lifting, impact", 2.9, _HEAVY, 8, -1.2),
            _own_change("The same, medicine", 1.9, _MEDICINE, 8),
            TrialGain("High intensity", 0.031, 0.012, 0.049, False, _INTENSITY.format("4 high")),
            TrialGain("Combined exercise", 3.22, 1.80, 4.64, True, _HOWE),
            TrialGain(
                "Moderate intensity", 0.012, 0.008, 0.017, False, _INTENSITY.format("40 moderate")
            ),
            TrialGain("Low intensity", 0.010, 0.005, 0.015, False, _INTENSITY.format("19 low")),
        ),
        "total_hip": (
            _own_change(
                "Vertical plate, 35 to 40 Hz",
                0.93,
                "Verschueren 2004, JBMR 19:352; from memory, to be confirmed",
                6,
                -0.62,
            ),
        ),
        "femoral_neck": (
            _own_change("Heavy lifting, impact", 0.3, _HEAVY, 8, -1.9),
            TrialGain(
                "Moderate intensity",
                0.011,
                0.007,
                0.015,
                False,
                _INTENSITY.format("40 moderate; high had no effect here"),
            ),
            TrialGain(
                "Low intensity",
                0.011,
                0.006,
                0.016,
                False,
                _INTENSITY.format("19 low; high had no effect here"),
            ),
            TrialGain("Resistance, high force", 1.03, 0.24, 1.82, True, _HOWE),
        ),
    }
)
