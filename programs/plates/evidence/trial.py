"""What a trial or a pooled analysis says, and whether its printed motion can be right."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from programs.dose.vibration import PEAK, PEAK_TO_PEAK, Vibration


class Direction(StrEnum):
    """What a trial found against its comparison."""

    BETTER = "better"
    NO_DIFFERENCE = "no difference"
    MIXED = "mixed"
    WORSE = "worse"
    NOT_READ = "result not read"


class Checked(StrEnum):
    """How a figure is known."""

    CHECKED = "read in a public text of it"
    ABSTRACT = "abstract only read"
    SECOND_HAND = "read second hand"
    MEMORY = "from memory, to be confirmed"


class Measure(StrEnum):
    """What was measured."""

    DENSITY = "density"
    STRUCTURE = "fine structure of bone"
    TURNOVER = "turnover marker"
    FRACTURES = "fractures"
    FALLS = "falls"
    BALANCE = "balance test"
    STRENGTH = "strength"
    FUNCTION = "walking and rising"


#: The measures that count for an aim; the others are shown but not counted.
COUNTED = {
    "hip": (Measure.DENSITY,),
    "spine": (Measure.DENSITY,),
    "wrist": (Measure.DENSITY,),
    "falls": (Measure.FALLS, Measure.BALANCE),
    "strength": (Measure.STRENGTH, Measure.FUNCTION),
}


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """One result for one or more aims: hip, spine, wrist, falls or strength."""

    aims: tuple[str, ...]
    measure: Measure
    direction: Direction
    effect: str
    checked: Checked


def found(
    aims: str, measure: Measure, direction: Direction, effect: str, checked: Checked
) -> Outcome:
    """Return a result for the aims named, a space between them."""
    return Outcome(
        aims=tuple(aims.split()),
        measure=measure,
        direction=direction,
        effect=effect,
        checked=checked,
    )


class Agreement(StrEnum):
    """Whether a printed g follows from the printed frequency and displacement."""

    PEAK_TO_PEAK = "the printed g follows if the displacement is peak to peak"
    ZERO_TO_PEAK = "the printed g follows only if the displacement is zero to peak"
    NEITHER = "the printed g follows from neither reading of the displacement"
    NOT_TESTABLE = "no set of frequency, displacement and g is printed"


#: A printed g within a tenth of the computed one is taken as rounding.
ROUNDING = 0.1


@dataclass(frozen=True, kw_only=True)
class Printed:
    """One motion as printed; None where it is not printed.

    hz, mm, g    as printed, whatever the reading of the displacement
    g_spread     the plus-or-minus that is printed with the g, or that its rounding leaves
    g_reads_as   peak, unless the paper says peak to peak
    """

    hz: float
    mm: float | None = None
    g: float | None = None
    g_spread: float = 0.0
    g_reads_as: str = PEAK

    @property
    def agreement(self) -> Agreement:
        """Tell under which reading the printed g follows; peak to peak is tried first."""
        if self.mm is None or self.g is None:
            return Agreement.NOT_TESTABLE
        off = self.g_spread + ROUNDING * self.g
        whole = Vibration.shown(self.hz, self.mm, reads_as=PEAK_TO_PEAK).peak_g
        if abs(whole - self.g) <= off:
            return Agreement.PEAK_TO_PEAK
        return Agreement.ZERO_TO_PEAK if abs(2 * whole - self.g) <= off else Agreement.NEITHER

    @property
    def comparison(self) -> str:
        """Return printed against computed in words; empty where nothing can be compared."""
        if self.mm is None or self.g is None:
            return ""
        whole = Vibration.shown(self.hz, self.mm, reads_as=PEAK_TO_PEAK).peak_g
        return (
            f"{self.hz:g} Hz and {self.mm:g} mm give {whole:.2f} g read peak to peak and "
            f"{2 * whole:.2f} g read zero to peak; printed: {self.g:g} g."
        )


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One trial of a vibration plate.

    people        number taken in; about, where the source is
    motions       kinds of plate, as in the register of plates; empty where not read
    motion_sure   False where the kind of plate is taken from the numbers, not read
    dose          frequency, size and schedule as printed
    minutes       vibration scheduled over the whole trial, where it can be worked out
    retracted_on  day of retraction; a retracted trial is listed and never used
    """

    key: str
    citation: str
    identifier: str
    checked: Checked
    who: str
    people: int
    motions: tuple[str, ...]
    motion_sure: bool
    printed: tuple[Printed, ...]
    dose: str
    months: float
    outcomes: tuple[Outcome, ...]
    minutes: int | None = None
    harms: str = ""
    note: str = ""
    retracted_on: dt.date | None = None

    @property
    def disagreements(self) -> tuple[Printed, ...]:
        """Return the printed motions whose g follows from neither reading."""
        return tuple(p for p in self.printed if p.agreement is Agreement.NEITHER)

    def outcome(self, aim: str) -> tuple[Outcome, ...]:
        """Return what it found for an aim, what counts for that aim first."""
        found = [o for o in self.outcomes if aim in o.aims]
        return tuple(sorted(found, key=lambda o: o.measure not in COUNTED[aim]))


@dataclass(frozen=True, kw_only=True)
class PooledOutcome:
    """One pooled result.

    effect, interval   as printed; the interval empty where none was read
    certainty          the review's own grade, or that none was read
    """

    aims: tuple[str, ...]
    measure: Measure
    direction: Direction
    effect: str
    interval: str
    certainty: str
    checked: Checked


@dataclass(frozen=True, kw_only=True)
class Pooled:
    """One meta-analysis or systematic review.

    studies, people   None where not read
    counted           what the studies are: an overview pools reviews, not trials
    """

    key: str
    citation: str
    identifier: str
    studies: int | None
    people: int | None
    outcomes: tuple[PooledOutcome, ...]
    note: str = ""
    counted: str = "studies"
