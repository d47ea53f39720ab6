"""Gains of density in trials of loading, by site, to tell when one could show on a scanner.

Each is the difference from people who did not train. A gain without its own span is taken
as that of one year; the trials ran from half a year up.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType

from patients.precision import FirstLook, Gain, Lsc, first_look, percent_change

_HOWE = "Howe 2011, Cochrane review, as summarised publicly"
_INTENSITY = "Kistler-Fischbacher 2021, resistance by intensity"


@dataclass(frozen=True)
class TrialGain:
    """An average gain with its 95 % interval, in percent or in g/cm2, over a span of months.

    low and high equal amount where no interval is known.
    """

    label: str
    amount: float
    low: float
    high: float
    in_percent: bool
    source: str
    months: int = 12

    @property
    def words(self) -> str:
        """Return the gain as printed, with its span."""
        unit = "%" if self.in_percent else "g/cm²"
        between = f" ({self.low:g} to {self.high:g})" if self.has_interval else ""
        return f"{self.amount:g} {unit}{between} in {self.months} months"

    @property
    def has_interval(self) -> bool:
        """Tell whether an interval is known."""
        return self.low != self.high

    def gain(self, baseline_g_cm2: float) -> Gain:
        """Return it in percent of a baseline a year."""
        low, amount, high = (
            self._percent(size, baseline_g_cm2) * 12 / self.months
            for size in (self.low, self.amount, self.high)
        )
        return Gain(amount, low, high, self.source)

    def _percent(self, size: float, baseline_g_cm2: float) -> float:
        if self.in_percent:
            return size
        return percent_change(baseline_g_cm2, baseline_g_cm2 + size)


#: By site, largest first.
TRIAL_GAINS = MappingProxyType(
    {
        "lumbar_spine": (
            TrialGain("Heavy resistance", 0.031, 0.012, 0.049, False, _INTENSITY),
            TrialGain("Combined exercise", 3.22, 1.80, 4.64, True, _HOWE),
            TrialGain("Moderate resistance", 0.012, 0.008, 0.017, False, _INTENSITY),
            TrialGain("Light resistance", 0.010, 0.005, 0.015, False, _INTENSITY),
        ),
        "total_hip": (
            TrialGain(
                "Vertical plate, 35 to 40 Hz",
                *(0.93, 0.93, 0.93),
                in_percent=True,
                source="Verschueren 2004, JBMR 19:352; from memory, to be confirmed. Its second "
                "half-year is taken to bring as much as the first",
                months=6,
            ),
        ),
        "femoral_neck": (
            TrialGain("Moderate resistance", 0.011, 0.007, 0.015, False, _INTENSITY),
            TrialGain("Light resistance", 0.011, 0.006, 0.016, False, _INTENSITY),
            TrialGain("Resistance, high force", 1.03, 0.24, 1.82, True, _HOWE),
        ),
    }
)


@dataclass(frozen=True)
class Look:
    """A trial's gain, and when one as large would pass the LSC."""

    trial: TrialGain
    at: FirstLook


def looks(
    site: str,
    least: Lsc,
    baseline_g_cm2: float,
    trials: Iterable[TrialGain] | None = None,
) -> tuple[Look, ...]:
    """Return when each trial's gain would show at a site; () where no trial is known."""
    wanted = TRIAL_GAINS.get(site, ()) if trials is None else trials
    return tuple(
        Look(trial, first_look(least, baseline_g_cm2, trial.gain(baseline_g_cm2)))
        for trial in wanted
    )
