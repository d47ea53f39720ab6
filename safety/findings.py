"""The words of the safety screen: what a finding is about and how serious it is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar


class Modality(StrEnum):
    """A kind of loading that a program may hold."""

    PLATE = "plate"
    RESISTANCE = "resistance"
    IMPACT = "impact"
    BALANCE = "balance"
    POSTURE = "posture"


#: What a finding may be about: one modality, or the whole program.
ALL = "all"
#: The most an impact may reach and still be walking: rulebook rows 5 and 20, body weights.
WALKING_BW = 1.5
LOADED = (Modality.PLATE, Modality.RESISTANCE, Modality.IMPACT)


class Level(StrEnum):
    """How serious a finding is, most serious first."""

    CONTRAINDICATED = "contraindicated"
    NEEDS_CLEARANCE = "needs_clearance"
    MISSING = "missing"
    PRECAUTION = "precaution"
    REFER = "refer"


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What a finding asks of the dose of the modality it is about. None asks nothing.

    percent_1rm       most load, percent of the one-repetition maximum
    least_could_lift  fewest times that the weight could be lifted at most: row 19a's N
    reps_in_reserve   fewest repetitions left in reserve
    impact_bw         greatest peak force of an impact on the whole body, body weights
    spare_spine       no loaded or end-range bending or twisting of the spine (row 5a)
    no_arching        nor arching of it
    no_arms           no exercise that uses an arm or holds a weight in a hand (row 4)
    no_toe_stands     no standing on toes (row 4)
    hands_on_support  hands on support in every standing exercise (row 3b)
    """

    plate_start_dose: bool = False
    percent_1rm: float | None = None
    least_could_lift: int | None = None
    reps_in_reserve: float | None = None
    impact_bw: float | None = None
    group_c: bool = False
    near_support: bool = False
    spare_spine: bool = False
    no_arching: bool = False
    no_arms: bool = False
    no_toe_stands: bool = False
    hands_on_support: bool = False
    no_held_breath: bool = False

    def tightest(self, other: Limits) -> Limits:
        """Return the limits that satisfy both."""
        held = {
            name: getattr(self, name) or getattr(other, name)
            for name in self.__dataclass_fields__
            if name not in _NUMBERS
        }
        return Limits(
            percent_1rm=_least(self.percent_1rm, other.percent_1rm),
            least_could_lift=_most(self.least_could_lift, other.least_could_lift),
            reps_in_reserve=_most(self.reps_in_reserve, other.reps_in_reserve),
            impact_bw=_least(self.impact_bw, other.impact_bw),
            **held,
        )


#: The limits of a finding that asks nothing of the dose.
NOTHING_ASKED = Limits()
_NUMBERS = ("percent_1rm", "least_could_lift", "reps_in_reserve", "impact_bw")
_Number = TypeVar("_Number", bound=float)


def _least(a: _Number | None, b: _Number | None) -> _Number | None:
    return b if a is None else a if b is None else min(a, b)


def _most(a: _Number | None, b: _Number | None) -> _Number | None:
    return b if a is None else a if b is None else max(a, b)


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing the safety screen says about one modality, or about all.

    about     a modality, or "all"
    cleared   true where a valid clearance lifts what the finding asks; it stays on record
    facts     the person's own facts that it used, in words
    missing   what was not recorded, in words
    holds     the modality stays out of the weeks until this is answered or cleared
    dosed     not recorded and dosed as if the answer were yes, or cleared and dosed with care
    blocks    nothing may be issued, to anyone, while this stands
    until     the last day of the clearance that lifts it; None where none does
    """

    rule: str
    about: Modality | str
    level: Level
    text: str
    sources: tuple[str, ...]
    facts: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    cleared: bool = False
    holds: bool = False
    dosed: bool = False
    blocks: bool = False
    same_day: bool = False
    limits: Limits = NOTHING_ASKED
    until: dt.date | None = None

    @property
    def modalities(self) -> tuple[Modality, ...]:
        """Return the modalities that the finding is about."""
        return tuple(Modality) if self.about == ALL else (Modality(self.about),)
