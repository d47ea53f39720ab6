"""The chance that her own scan shows a gain, month by month.

A scan shows her own change and its error: the chance is that of change plus error passing the least
significant change. A change as large as the LSC is seen every other time, no more. The change is
that of the trained people of a trial, less what she loses without training where the trial gives
only a difference from others; past the trial's length it is held, for nobody measured on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from patients.measured.trial_gains import TRIAL_GAINS, TrialGain
from patients.scanners.precision import FIRST_LOOK_MONTHS, TIMES_ERROR, Lsc

#: Rates of loss without training that can be chosen, percent a year (decisions: 0 to 1.5).
LOSSES = (0.0, 0.5, 1.0, 1.5)
USUAL_LOSS = 1.0
HALF, FOUR_IN_FIVE = 0.5, 0.8
#: The curve ends here; no trial ran as long.
END_MONTHS = 48
#: Months whose chance is this near to the greatest are as good.
_AS_GOOD = 0.01
#: Less than this is the computer's, not the scanner's.
_TINY = 1e-9
_NORMAL = NormalDist()


@dataclass(frozen=True, kw_only=True)
class Error:
    """The error of one measurement, percent, and how often it is measured on each day."""

    percent: float
    first_day: int = 1
    later_day: int = 1

    @property
    def of_change(self) -> float:
        """Return the standard deviation of the error of a change, percent."""
        return self.percent * math.sqrt(1 / self.first_day + 1 / self.later_day)

    @property
    def least(self) -> float:
        """Return the least change that counts, percent; with one scan a day 2.77 errors of one."""
        return TIMES_ERROR[95] / math.sqrt(2) * self.of_change


def error_of(least: Lsc, baseline_g_cm2: float) -> Error:
    """Return the error of one scan of a site, from its least significant change."""
    return Error(percent=100 * least.at(baseline_g_cm2) / baseline_g_cm2 / TIMES_ERROR[95])


def chance(change_percent: float, error: Error) -> float:
    """Return the chance that a true change is seen as a gain."""
    return _NORMAL.cdf((change_percent - error.least) / error.of_change)


def at_the_end(trial: TrialGain, baseline_g_cm2: float, loss_percent_a_year: float) -> float:
    """Return her own change at the end of a trial's length, percent.

    What training adds is the trained people's own change against those who did not train; her own
    loss is taken off that. Where no such others are known, the own change stands as printed.
    """
    amount = trial.percent(baseline_g_cm2)
    if trial.is_own_change and trial.control is None:
        return amount
    adds = amount - (trial.control or 0.0) if trial.is_own_change else amount
    return adds - loss_percent_a_year * trial.span_months / 12


def change_by(
    month: float, trial: TrialGain, baseline_g_cm2: float, loss_percent_a_year: float
) -> float:
    """Return her own change in a month, percent: evenly up to the trial's length, then held."""
    share = min(month / trial.span_months, 1.0)
    return share * at_the_end(trial, baseline_g_cm2, loss_percent_a_year)


@dataclass(frozen=True, kw_only=True)
class Chances:
    """The chance by month for a gain as in one trial.

    by_month        from month 0 on
    half, four_in_five
                    the first month of such a chance, never before the first look; None: never
    best            the earliest month that is as good as any
    twice           the chance then, where she is measured twice on that day
    """

    trial: TrialGain
    by_month: tuple[float, ...]
    change_percent: float
    half: int | None
    four_in_five: int | None
    best: int
    twice: float

    @property
    def at_best(self) -> float:
        """Return the chance in the best month."""
        return self.by_month[self.best]


def chances(
    site: str,
    least: Lsc,
    baseline_g_cm2: float,
    loss_percent_a_year: float,
    trials: Sequence[TrialGain] | None = None,
) -> tuple[Chances, ...]:
    """Return the chances at a site for each trial; () where none is known."""
    error = error_of(least, baseline_g_cm2)
    wanted = TRIAL_GAINS.get(site, ()) if trials is None else trials
    return tuple(_of(trial, error, baseline_g_cm2, loss_percent_a_year) for trial in wanted)


def _of(trial: TrialGain, error: Error, baseline_g_cm2: float, loss: float) -> Chances:
    changes = [change_by(m, trial, baseline_g_cm2, loss) for m in range(END_MONTHS + 1)]
    by_month = tuple(chance(change, error) for change in changes)
    looked = range(FIRST_LOOK_MONTHS, END_MONTHS + 1)
    most = max(by_month[month] for month in looked)
    best = next(month for month in looked if by_month[month] >= most - _AS_GOOD)
    twice = Error(percent=error.percent, later_day=2)
    return Chances(
        trial=trial,
        by_month=by_month,
        change_percent=changes[-1],
        half=next((m for m in looked if by_month[m] >= HALF - _TINY), None),
        four_in_five=next((m for m in looked if by_month[m] >= FOUR_IN_FIVE - _TINY), None),
        best=best,
        twice=chance(changes[best], twice),
    )
