"""The one-repetition maximum by every published equation, beside the one that decides.

`could_lift.one_rm_kg` decides: it was made on women after menopause. The others are shown
for comparison, each with its range and with what is known of its error.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from programs.dose import could_lift
from safety.sources import SOURCES

#: Classic equations agree best up to here (public coaching pages).
CLASSIC_MOST_REPS = 10
KNUTZEN = (
    "In adults of about 71, 7 to 10 repetitions, six older equations came out 1 to 10 kg too "
    f"low ({SOURCES['knutzen1999'].title})."
)


@dataclass(frozen=True, kw_only=True)
class Equation:
    """One published equation: factor times the load lifted gives the maximum.

    lifts        the lifts it was made for; empty: any
    least_reps, most_reps   repetitions to fatigue, both inside
    error        what is known of how far it goes wrong
    source       key of safety.sources
    decides      loads are drafted from this one
    """

    name: str
    factor: Callable[[int], float]
    least_reps: int
    most_reps: int
    error: str
    source: str
    lifts: frozenset[str] = frozenset()
    decides: bool = False


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """What one equation makes of one set, in kg; None with why_not where it makes nothing."""

    name: str
    kg: float | None
    why_not: str
    reps_range: tuple[int, int]
    error: str
    source: str
    decides: bool


def epley(reps: int) -> float:
    """Return the factor 1 + r/30."""
    return 1 + reps / 30


def brzycki(reps: int) -> float:
    """Return the factor 36 / (37 - r); r below 37."""
    return 36 / (37 - reps)


def brzycki_linear(reps: int) -> float:
    """Return the factor 1 / (1.0278 - 0.0278 r), the same line as first printed."""
    return 1 / (1.0278 - 0.0278 * reps)


def lander(reps: int) -> float:
    """Return the factor 100 / (101.3 - 2.67123 r)."""
    return 100 / (101.3 - 2.67123 * reps)


def lombardi(reps: int) -> float:
    """Return the factor r^0.10."""
    return float(reps**0.10)


def o_conner(reps: int) -> float:
    """Return the factor 1 + 0.025 r."""
    return 1 + 0.025 * reps


def mayhew(reps: int) -> float:
    """Return the factor 100 / (52.2 + 41.9 e^(-0.055 r))."""
    return 100 / (52.2 + 41.9 * math.exp(-0.055 * reps))


def wathan(reps: int) -> float:
    """Return the factor 100 / (48.8 + 53.8 e^(-0.075 r))."""
    return 100 / (48.8 + 53.8 * math.exp(-0.075 * reps))


#: Powers 0 to 3 of the repetitions, by lift. That the coefficients rise in power is a reading
#: of the table: it gives about 1.00 at one repetition.
_CUBICS = {
    "leg_extension": (0.999714613, 0.00184050532, 0.00390281962, -0.000128405344),
    "leg_flexion": (0.994637813, 0.00715193846, 0.00333621122, -0.000109143358),
    "trunk_extension": (1.01565994, -0.0130808261, 0.00601883266, -0.0002286238),
    "lat_pull": (0.987542505, 0.0152700149, 0.00278487038, -0.000115638888),
}


def cubic(lift: str) -> Callable[[int], float]:
    """Return the factor of the 2024 equation of a lift. Raises KeyError for another lift."""
    coefficients = _CUBICS[lift]
    return lambda reps: sum(c * reps**power for power, c in enumerate(coefficients))


def _kemmler(reps: int) -> float:
    factor = could_lift.factor(reps)
    assert factor is not None
    return factor


_CLASSICS = (
    ("Epley", epley, "epley"),
    ("Brzycki", brzycki, "brzycki"),
    ("Brzycki, linear form", brzycki_linear, "brzycki_linear"),
    ("Lander", lander, "lander"),
    ("Lombardi", lombardi, "lombardi"),
    ("O'Conner", o_conner, "o_conner"),
    ("Mayhew", mayhew, "mayhew"),
    ("Wathan", wathan, "wathan"),
)
EQUATIONS: tuple[Equation, ...] = (
    Equation(
        name="Kemmler 2006",
        factor=_kemmler,
        least_reps=3,
        most_reps=20,
        error="Mean absolute error 1.5 to 3.1 %, in 70 trained women of 57 after menopause; leg "
        "press, bench press, row and adduction. Other lifts are a reading beyond it.",
        source="kemmler2006",
        decides=True,
    ),
    *(
        Equation(
            name=name,
            factor=factor,
            least_reps=1,
            most_reps=CLASSIC_MOST_REPS,
            error=KNUTZEN,
            source=source,
        )
        for name, factor, source in _CLASSICS
    ),
    *(
        Equation(
            name=f"Older adults 2024, {lift.replace('_', ' ')}",
            factor=cubic(lift),
            least_reps=5,
            most_reps=16,
            error="Made on 40 trained adults of 73; its error was not read.",
            source="older2024",
            lifts=frozenset({lift}),
        )
        for lift in _CUBICS
    ),
)


def estimates(kg: float, reps: int, lift: str) -> tuple[Estimate, ...]:
    """Return what every equation for this lift makes of a set lifted to fatigue.

    The one that decides comes first. Outside its range an equation gives no kg and says why.
    """
    return tuple(
        _estimate(equation, kg, reps)
        for equation in EQUATIONS
        if not equation.lifts or lift in equation.lifts
    )


def _estimate(equation: Equation, kg: float, reps: int) -> Estimate:
    low, high = equation.least_reps, equation.most_reps
    inside = low <= reps <= high
    return Estimate(
        name=equation.name,
        kg=kg * equation.factor(reps) if inside else None,
        why_not="" if inside else f"Made for {low} to {high} repetitions; this set has {reps}.",
        reps_range=(low, high),
        error=equation.error,
        source=SOURCES[equation.source].text,
        decides=equation.decides,
    )


@dataclass(frozen=True, kw_only=True)
class ChartRow:
    """Percent of the maximum that may be lifted so often.

    also   another chart's figure, from memory, to be confirmed; None where it agrees
    """

    reps: int
    percent: int
    also: int | None = None
    from_memory: bool = False


#: Repetitions to percent: a public coaching page, 1 to 12; 15 and the second figures of
#: 11 and 12 are from memory, to be confirmed.
CHART: tuple[ChartRow, ...] = (
    *(
        ChartRow(reps=reps, percent=percent)
        for reps, percent in enumerate((100, 95, 93, 90, 87, 85, 83, 80, 77, 75), start=1)
    ),
    ChartRow(reps=11, percent=73, also=70),
    ChartRow(reps=12, percent=70, also=67),
    ChartRow(reps=15, percent=65, from_memory=True),
)


def percent_for(reps: int) -> int:
    """Return the chart's percent. Raises ValueError for repetitions it does not have."""
    for row in CHART:
        if row.reps == reps:
            return row.percent
    raise ValueError(f"repetitions are {reps}, the chart has 1 to 12 and 15")
