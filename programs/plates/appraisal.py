"""One or more plates laid out beside the program without any, for one person to decide on.

Nothing here recommends: it sets side by side what is known, and what each would ask of her.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from patients.facts import codes
from patients.facts.declared import Facts, Resources
from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.limit import DRAFT_WEEKS
from programs.draft.draft import Draft, draft
from programs.draft.order_of_value import DEFAULT_AIM, ORDER
from programs.draft.resume import FROM_THE_START, Resume
from programs.plates.evidence import (
    Alternative,
    Balance,
    Checked,
    Direction,
    alternatives,
    balance,
    direction,
    for_plate,
)
from programs.plates.evidence.trial import COUNTED
from programs.plates.fit_for_person import Person, PlateSheet, person, plate_sheet
from programs.plates.measured_motion import KnownPlate
from programs.week.minutes import minutes_of, week_min
from programs.week.week import Week, part_of
from safety.findings import Finding, Modality

YEAR_WEEKS = 52
NOT_GRADED = "no grade read"
_FOUND = {
    Direction.BETTER: "found a gain",
    Direction.NO_DIFFERENCE: "none",
    Direction.MIXED: "mixed",
}


@dataclass(frozen=True, kw_only=True)
class Minutes:
    """Minutes of a week, in the first week and in the last that is drafted."""

    first: float
    last: float

    @property
    def words(self) -> str:
        """Return both in words; nothing where there is nothing."""
        if not self.first and not self.last:
            return ""
        same = round(self.first) == round(self.last)
        return f"{self.last:.0f}" if same else f"{self.first:.0f} to {self.last:.0f}"


@dataclass(frozen=True, kw_only=True)
class Program:
    """A drafted program in minutes of a week.

    left_out   the modalities that found no room, in words
    """

    made: Draft
    minutes: Mapping[Modality, Minutes]
    whole: Minutes
    left_out: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Cost:
    """What a minute on the plate comes to over a year: 26 weeks as drafted, then 26 held.

    planned_min     minutes of its sessions, rests included; 0 where it is not drafted
    vibration_min   of these, the minutes that it runs
    price           None where it is not known; in the clinic's own currency
    """

    price: float | None
    planned_min: float
    vibration_min: float

    @property
    def a_minute(self) -> float | None:
        """Return the price of a planned minute, where there is one."""
        if self.price is None or not self.planned_min:
            return None
        return self.price / self.planned_min


@dataclass(frozen=True, kw_only=True)
class PlateCase:
    """One plate: what it is fit for, the program with it, and what a minute on it costs."""

    sheet: PlateSheet
    program: Program
    cost: Cost

    def found(self, aim: str) -> str:
        """Return how many trials on this kind of plate found what for an aim, in words."""
        seen = Counter(direction(trial, aim) for trial in for_plate(self.plate.motion))
        said = [f"{seen[one]} {words}" for one, words in _FOUND.items() if seen[one]]
        return ", ".join(said) or "none measured it"

    @property
    def plate(self) -> Plate:
        """Return the plate as its panel says."""
        return self.sheet.known.nominal


@dataclass(frozen=True, kw_only=True)
class Effect:
    """One pooled effect of plates, its interval and how sure it is."""

    effect: str
    interval: str
    certainty: str
    checked: Checked
    source: str


@dataclass(frozen=True, kw_only=True)
class Others:
    """What one source says of training without a plate, in one line."""

    effects: tuple[str, ...]
    certainty: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Without:
    """What serves an aim without a plate: a modality that the draft without one holds."""

    modality: Modality
    minutes: Minutes


@dataclass(frozen=True, kw_only=True)
class AimCase:
    """What plates do for one of her aims, and what does the same without one."""

    aim: str
    said: Balance
    effects: tuple[Effect, ...]
    others: tuple[Others, ...]
    without: tuple[Without, ...]

    @property
    def name(self) -> str:
        """Return the aim in words."""
        return codes.AIMS[self.aim]


@dataclass(frozen=True, kw_only=True)
class Side:
    """One side where the sources disagree, and the aims that it is about, in words."""

    aims: str
    said: str


@dataclass(frozen=True, kw_only=True)
class Appraisal:
    """Plates laid out for one person.

    asked    False where no aim was recorded and falls were taken
    bars     what the screen finds about the plate, most serious first
    week_min the minutes she has in a week; None where days or minutes were not recorded
    who      what of her bears on a plate, the cap of a fragile person among it
    sides    both sides where the sources disagree, by the aims that it concerns, each line once
    """

    cases: tuple[PlateCase, ...]
    without: Program
    aims: tuple[AimCase, ...]
    asked: bool
    bars: tuple[Finding, ...]
    week_min: int | None
    who: Person
    sides: tuple[Side, ...]

    @property
    def modalities(self) -> tuple[Modality, ...]:
        """Return the modalities that any of the programs holds."""
        programs = (self.without, *(case.program for case in self.cases))
        return tuple(m for m in Modality if any(p.minutes[m].words for p in programs))


def appraise(
    facts: Facts,
    plates: Sequence[KnownPlate],
    *,
    resume: Resume = FROM_THE_START,
    clinic: Clinic = AS_PUBLISHED,
) -> Appraisal:
    """Lay plates out for a person, each drafted as her only one, beside a draft with none."""
    without = _program(facts, (), resume, clinic)
    who = person(without.made.screen, resume, clinic)
    named = facts.aims or (DEFAULT_AIM,)
    aims = tuple(_aim(aim, without) for aim in named)
    return Appraisal(
        cases=tuple(
            _case(plate_sheet(one, who), _program(facts, (one.plate,), resume, clinic))
            for one in plates
        ),
        without=without,
        aims=aims,
        asked=bool(facts.aims),
        bars=who.findings,
        week_min=_week_min(facts.resources),
        who=who,
        sides=_sides(aims),
    )


def _program(facts: Facts, plates: tuple[Plate, ...], resume: Resume, clinic: Clinic) -> Program:
    resources = replace(facts.resources or Resources(), plates=plates)
    made = draft(replace(facts, resources=resources), resume, clinic)
    return Program(
        made=made,
        minutes={m: _minutes(made.weeks, m) for m in Modality},
        whole=_minutes(made.weeks, None),
        left_out=tuple(f"{one.about} from week {one.from_week}" for one in made.left_out),
    )


def _minutes(weeks: Sequence[Week], modality: Modality | None) -> Minutes:
    if not weeks:
        return Minutes(first=0.0, last=0.0)
    ends = (weeks[0], weeks[-1])
    if modality is None:
        first, last = (week_min(week) for week in ends)
    else:
        first, last = (minutes_of(part_of(week, modality)) for week in ends)
    return Minutes(first=first, last=last)


def _case(sheet: PlateSheet, program: Program) -> PlateCase:
    weeks = program.made.weeks
    held = YEAR_WEEKS - DRAFT_WEEKS
    year = (*weeks, *(weeks[-1:] * held))
    return PlateCase(
        sheet=sheet,
        program=program,
        cost=Cost(
            price=sheet.known.nominal.price,
            planned_min=sum(minutes_of(week.plate) for week in year),
            vibration_min=sum(
                week.plate.vibration_min * week.plate.sessions for week in year if week.plate
            ),
        ),
    )


def _sides(aims: Sequence[AimCase]) -> tuple[Side, ...]:
    about: dict[str, list[str]] = {}
    for aim in aims:
        for line in aim.said.both_sides:
            about.setdefault(line, []).append(aim.name)
    return tuple(Side(aims=", ".join(names), said=line) for line, names in about.items())


def _week_min(resources: Resources | None) -> int | None:
    if resources is None or resources.days is None or resources.minutes_per_day is None:
        return None
    return len(resources.days) * resources.minutes_per_day


# --- Her aims -------------------------------------------------------------------------------


def _aim(aim: str, without: Program) -> AimCase:
    said = balance(aim)
    return AimCase(
        aim=aim,
        said=said,
        effects=_effects(said),
        others=_others(alternatives(aim)),
        without=tuple(
            Without(modality=m, minutes=without.minutes[m])
            for m in ORDER[aim]
            if without.minutes[m].words
        ),
    )


def _others(found: Sequence[Alternative]) -> tuple[Others, ...]:
    by_source: dict[tuple[str, str], list[str]] = {}
    for one in found:
        by_source.setdefault((one.cited, one.certainty), []).append(f"{one.what}: {one.effect}")
    return tuple(
        Others(effects=tuple(effects), certainty=certainty, source=source)
        for (source, certainty), effects in by_source.items()
    )


def _effects(said: Balance) -> tuple[Effect, ...]:
    """Return the pooled effects on what counts for the aim that have an interval or a grade."""
    return tuple(
        Effect(
            effect=one.effect,
            interval=one.interval,
            certainty=one.certainty,
            checked=one.checked,
            source=pooled.citation,
        )
        for pooled in said.pooled
        for one in pooled.outcomes
        if said.aim in one.aims
        and one.measure in COUNTED[said.aim]
        and (one.interval or one.certainty != NOT_GRADED)
    )
