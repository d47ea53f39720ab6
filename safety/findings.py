"""The words of the safety screen: what a finding is about and how serious it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Modality(StrEnum):
    """A kind of loading that a program may hold."""

    PLATE = "plate"
    RESISTANCE = "resistance"
    IMPACT = "impact"
    BALANCE = "balance"
    POSTURE = "posture"


#: What a finding may be about: one modality, or the whole program.
ALL = "all"
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
    reps_in_reserve   fewest repetitions left in reserve
    impact_bw         greatest peak force of an impact, body weights
    """

    plate_start_dose: bool = False
    percent_1rm: float | None = None
    reps_in_reserve: float | None = None
    impact_bw: float | None = None
    group_c: bool = False
    near_support: bool = False
    spare_spine: bool = False
    no_held_breath: bool = False

    def tightest(self, other: Limits) -> Limits:
        """Return the limits that satisfy both."""
        return Limits(
            plate_start_dose=self.plate_start_dose or other.plate_start_dose,
            percent_1rm=_least(self.percent_1rm, other.percent_1rm),
            reps_in_reserve=_most(self.reps_in_reserve, other.reps_in_reserve),
            impact_bw=_least(self.impact_bw, other.impact_bw),
            group_c=self.group_c or other.group_c,
            near_support=self.near_support or other.near_support,
            spare_spine=self.spare_spine or other.spare_spine,
            no_held_breath=self.no_held_breath or other.no_held_breath,
        )


def _least(a: float | None, b: float | None) -> float | None:
    return b if a is None else a if b is None else min(a, b)


def _most(a: float | None, b: float | None) -> float | None:
    return b if a is None else a if b is None else max(a, b)


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing the safety screen says about one modality, or about all.

    about     a modality, or "all"
    cleared   true where a valid clearance lifts what the finding asks; it stays on record
    facts     the person's own facts that it used, in words
    missing   what was not recorded, in words
    holds     the modality stays out of the weeks until this is answered or cleared
    blocks    nothing may be issued, to anyone, while this stands
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
    blocks: bool = False
    same_day: bool = False
    limits: Limits = Limits()

    @property
    def modalities(self) -> tuple[Modality, ...]:
        """Return the modalities that the finding is about."""
        return tuple(Modality) if self.about == ALL else (Modality(self.about),)
