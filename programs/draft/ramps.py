"""What each included modality asks for, place by place, before it is fitted into her days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate

from patients.facts.declared import Resources
from programs.dose import balance, impact, plate, posture, resistance
from programs.dose.impact import ImpactStep
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.limit import DRAFT_WEEKS
from programs.dose.plate import PlateFit, PlateStep
from programs.dose.plate_limits import LOW_SESSIONS_A_WEEK, SESSIONS_A_WEEK
from programs.dose.plate_settings import LOW_MAGNITUDE
from programs.dose.resistance import LiftingStep
from programs.draft import person
from programs.draft.bouts import at_least
from programs.draft.days import emptiest, inside, spread, spread_both
from programs.draft.resume import FROM_THE_START, Resume
from programs.draft.rises import Step
from programs.draft.share import BalanceShare, Shape, Time
from programs.exercises import Exercise
from programs.week.week import WEEK
from safety.findings import Modality
from safety.screen import Screen

#: Drafted where days or minutes were not recorded, and said so.
ASSUMED_DAYS = ("mon", "wed", "fri")
ASSUMED_MINUTES = 30


@dataclass(frozen=True, kw_only=True)
class BalanceStep:
    """One place of balance: minutes of a week aimed at, and the rung; None in a seated program."""

    place: int
    minutes: int
    rung: int | None


@dataclass(frozen=True, kw_only=True)
class PostureStep:
    """One place of posture: minutes of a day aimed at, seconds of a hold, and repetitions."""

    place: int
    minutes: int
    hold_s: int
    reps: int
    loaded: bool


@dataclass(frozen=True, kw_only=True)
class Course:
    """The ramps of the included modalities, each from where it is taken up; () where one is not.

    walk     walking, for weeks in which lifting is not there
    lifts    exercises, most valuable first: a shorter session takes the first of them
    until    last day of the clearance that carries a modality (rulebook row 22b)
    balance_part   the part of her minutes that balance has first: 2 a half, 3 a third, 0 none
    """

    starts_on: dt.date
    time: Time
    group: str
    included: frozenset[Modality]
    until: Mapping[Modality, dt.date]
    fit: PlateFit | None
    lifts: tuple[Exercise, ...]
    plate: tuple[PlateStep, ...]
    lifting: tuple[LiftingStep, ...]
    impact: tuple[ImpactStep, ...]
    walk: tuple[ImpactStep, ...]
    balance: tuple[BalanceStep, ...]
    posture: tuple[PostureStep, ...]
    balance_part: int
    fall_risk: str
    resume: Resume
    lift_days: tuple[str, ...]
    plate_days: tuple[str, ...]
    impact_days: tuple[str, ...]
    clinic: Clinic = AS_PUBLISHED

    @property
    def days(self) -> tuple[str, ...]:
        """Return her days."""
        return self.time.days

    @property
    def minutes_a_day(self) -> float:
        """Return the minutes of each day."""
        return self.time.minutes_a_day

    @property
    def rank(self) -> Mapping[Modality, int]:
        """Return the order of value."""
        return self.time.rank

    def there(self, week: int) -> frozenset[Modality]:
        """Return what is in a week: included, with one of her days inside its clearance."""
        if not self.until:
            return self.included if self.days else frozenset()
        return frozenset(m for m in self.included if self.inside(m, self.days, week))

    def inside(self, modality: Modality, days: Sequence[str], week: int) -> tuple[str, ...]:
        """Return those of the days of a week on which the modality's clearance still holds."""
        return inside(days, week, self.starts_on, self.until.get(modality))

    def impact_for(self, there: frozenset[Modality]) -> tuple[ImpactStep, ...]:
        """Return the ramp of impact: walking where lifting is not there."""
        return self.impact if Modality.RESISTANCE in there else self.walk

    def counts_impact(self, there: frozenset[Modality]) -> bool:
        """Tell whether impact above walking is asked for."""
        asked = self.impact_for(there) if Modality.IMPACT in there else ()
        return any(step.exercise.counted for step in asked)

    @cached_property
    def _peaks(self) -> dict[tuple[int, int | None], tuple[float, ...]]:
        """Hold the longest session from each place on, by exercises and most sets, as asked for."""
        return {}

    def lifting_peak(self, at: int, exercises: int, cut_sets: int | None) -> float:
        """Return the minutes of the longest lifting session from a place of this draft on."""
        peaks = self._peaks.get((exercises, cut_sets))
        if peaks is None:
            minutes = [self.lifting_min(step, exercises, cut_sets) for step in self.lifting]
            peaks = tuple(reversed([*accumulate(reversed(minutes), max)]))
            self._peaks[exercises, cut_sets] = peaks
        return peaks[at]

    def lifting_min(self, step: LiftingStep, exercises: int, cut_sets: int | None) -> float:
        """Return the minutes of a lifting session of so many exercises."""
        own = dict(step.own_reps)
        reps = [own.get(one.code, step.reps) for one in self.lifts[:exercises]]
        return resistance.session_min(min(step.sets, cut_sets or step.sets), reps)

    def place_of(self, step: LiftingStep) -> int:
        """Return where a step stands among the places of this draft, from 0."""
        return step.place - self.lifting[0].place

    def session(self, step: Step, shape: Shape) -> tuple[float, tuple[str, ...]]:
        """Return the minutes of a session of plate, lifting or impact, and its days."""
        if isinstance(step, PlateStep):
            return step.session_min, self.plate_days
        if isinstance(step, LiftingStep):
            minutes = self.lifting_min(step, shape.exercises, shape.cut_sets)
            return minutes, self.lift_days[: shape.lifting_sessions]
        return impact.session_min(step), self.impact_days[: step.days]

    def balance_share(self, there: bool) -> BalanceShare:
        """Return what balance asks of the week (rulebook row 24).

        Balance of rank 1 that the row does not name has a third: project choice, for without a
        share of its own more time could give it less.
        """
        goal = self.balance[-1].minutes if there and self.balance else 0
        whole = int(self.minutes_a_day)
        first = 0
        if self.balance_part:
            part = -(-len(self.days) * whole // self.balance_part)
            first = min(goal, at_least(part, dict.fromkeys(self.days, whole)))
        unsteady = self.fall_risk != "low"
        least = balance.SHORT_MIN_A_DAY
        if unsteady:
            least = min(balance.SHORT_MIN_UNSTEADY, max(whole // 2, 1))
        even = -(-goal // max(len(self.days), 1))
        return BalanceShare(
            goal=goal if first or not self.balance_part else 0,
            first=first,
            least=max(min(least, even), balance.LEAST_BOUT_MIN),
        )


def course(
    screen: Screen,
    included: frozenset[Modality],
    fit: PlateFit | None,
    rank: Mapping[Modality, int],
    resume: Resume = FROM_THE_START,
    clinic: Clinic = AS_PUBLISHED,
) -> Course:
    """Work out the ramps of the included modalities, each from where it is taken up."""
    s = screen.situation
    resources = s.facts.resources or Resources()
    # An empty list is an answer: she has no day, and nothing may be put on one.
    days = ASSUMED_DAYS if resources.days is None else resources.days
    group = person.group(screen)
    has_plate = fit is not None and Modality.PLATE in included
    lift_days, plate_days = _lift_and_plate_days(fit if has_plate else None, days, clinic)
    ramps = _Ramps(screen, group, len(days), resume, clinic)
    jumps = Modality.IMPACT in included
    impact_ramp = ramps.impact() if jumps else ()
    walking = ramps.impact(walking_only=True) if jumps else ()
    ends = {m: screen.until(m) for m in Modality if m in included}
    return Course(
        starts_on=s.day,
        time=Time(days=days, minutes_a_day=resources.minutes_per_day or ASSUMED_MINUTES, rank=rank),
        group=group,
        included=included,
        until={m: day for m, day in ends.items() if day is not None},
        fit=fit,
        lifts=ramps.lifts,
        plate=ramps.plate(fit) if fit and has_plate else (),
        lifting=ramps.lifting() if Modality.RESISTANCE in included else (),
        impact=impact_ramp,
        # Where she walks already it is one ramp, and goes on when lifting ends (row 22b).
        walk=impact_ramp if walking == impact_ramp else walking,
        balance=ramps.balance() if Modality.BALANCE in included else (),
        posture=ramps.posture() if Modality.POSTURE in included else (),
        balance_part=_part_of_balance(screen, rank),
        fall_risk=s.fall_risk.drafted_as,
        resume=resume,
        lift_days=lift_days,
        plate_days=plate_days,
        impact_days=_impact_days(days, _load(lift_days, plate_days)),
        clinic=clinic,
    )


def _part_of_balance(screen: Screen, rank: Mapping[Modality, int]) -> int:
    """Return the part of her minutes that balance has first: 2 a half, 3 a third, 0 none."""
    if person.balance_has_half(screen):
        return 2
    return 3 if rank[Modality.BALANCE] == 1 else 0


def _impact_days(days: tuple[str, ...], load: Mapping[str, float]) -> tuple[str, ...]:
    """Return the days impact takes first, in the week's order, then the others, fullest last."""
    by_room = emptiest(days, load)
    first, others = by_room[: impact.MOST_DAYS], by_room[impact.MOST_DAYS :]
    return (*sorted(first, key=WEEK.index), *others)


def _load(lift_days: tuple[str, ...], plate_days: tuple[str, ...]) -> Mapping[str, float]:
    """Return how full each day is: a lifting session weighs as much as two others."""
    on_both = (*lift_days, *lift_days, *plate_days)
    return {day: float(on_both.count(day)) for day in on_both}


def _lift_and_plate_days(
    fit: PlateFit | None, days: tuple[str, ...], clinic: Clinic
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    if fit is None:
        return spread(days, resistance.SESSIONS_A_WEEK), ()
    if fit.plate.motion == LOW_MAGNITUDE:
        plate_days = days[: clinic.whole(LOW_SESSIONS_A_WEEK)]
        return spread(days, resistance.SESSIONS_A_WEEK), plate_days
    return spread_both(days, resistance.SESSIONS_A_WEEK, clinic.whole(SESSIONS_A_WEEK))


@dataclass(frozen=True, kw_only=True)
class Whole:
    """The places of each ramp from place 1, whatever is behind her; walk as in a Course.

    loaded   any of the lifts has a load in kg
    """

    plate: tuple[PlateStep, ...]
    lifting: tuple[LiftingStep, ...]
    impact: tuple[ImpactStep, ...]
    walk: tuple[ImpactStep, ...]
    balance: tuple[BalanceStep, ...]
    posture: tuple[PostureStep, ...]
    loaded: bool


def whole(
    screen: Screen, fit: PlateFit | None, resume: Resume, clinic: Clinic, places: int
) -> Whole:
    """Return so many places of each ramp, from place 1."""
    days = (screen.situation.facts.resources or Resources()).days
    ramps = _Ramps(
        screen,
        person.group(screen),
        len(ASSUMED_DAYS if days is None else days),
        replace(resume, done_weeks={}),
        clinic,
        places,
    )
    return Whole(
        plate=ramps.plate(fit) if fit else (),
        lifting=ramps.lifting(),
        impact=ramps.impact(),
        walk=ramps.impact(walking_only=True),
        balance=ramps.balance(),
        posture=ramps.posture(),
        loaded=any(one.loadable for one in ramps.lifts),
    )


@dataclass(frozen=True)
class _Ramps:
    """The ramp of each modality, from where it is taken up, for as long as a draft runs."""

    screen: Screen
    group: str
    days: int
    resume: Resume
    clinic: Clinic
    weeks: int = DRAFT_WEEKS

    def _places(self, modality: Modality) -> int:
        return self.weeks + self.resume.done(modality)

    def plate(self, fit: PlateFit) -> tuple[PlateStep, ...]:
        steps = plate.ramp(
            fit,
            cap_g=person.plate_cap_g(self.screen, self.resume, self.clinic),
            start_dose_only=self.screen.limits(Modality.PLATE).plate_start_dose,
            places=self._places(Modality.PLATE),
            clinic=self.clinic,
        )
        return steps[self.resume.done(Modality.PLATE) :]

    @cached_property
    def lifts(self) -> tuple[Exercise, ...]:
        return person.lifts(self.screen, resistance.EXERCISES, self.resume.changed)

    def lifting(self) -> tuple[LiftingStep, ...]:
        s = self.screen.situation
        stands = s.tests.read.chair_stands_30s
        own = {
            one.code: resistance.own_start(one.code, self.group, stands)
            for one in self.lifts
            if not one.loadable
        } | dict(self.resume.own_start)
        steps = resistance.ramp(
            person.lifting_stages(self.screen, self.group),
            floor=person.least_could_lift(self.screen, self.group, self.clinic),
            reserve=self.clinic.whole(resistance.LIMITS["reps_in_reserve"]),
            most_sets=self.clinic.whole(resistance.LIMITS["sets"]),
            own=own,
            places=self._places(Modality.RESISTANCE),
        )
        return steps[self.resume.done(Modality.RESISTANCE) :]

    def impact(self, *, walking_only: bool = False) -> tuple[ImpactStep, ...]:
        changed = self.resume.changed
        asked = person.impact_asked(self.screen, self.group, self.days, self.clinic, changed)
        if walking_only:
            asked = person.walking_only(asked)
        steps = impact.ramp(asked, self._places(Modality.IMPACT))
        return steps[self.resume.done(Modality.IMPACT) :]

    def balance(self) -> tuple[BalanceStep, ...]:
        s = self.screen.situation
        places = self._places(Modality.BALANCE)
        goal = balance.goal_min(
            s.fall_risk.drafted_as, age=s.age, falls_aim="falls" in (s.facts.aims or ())
        )
        minutes = balance.ramp(
            min(goal, self.clinic.whole(balance.LIMITS["minutes"])),
            low_function=s.function_is_low,
            places=places,
        )
        rungs = person.balance_rungs(self.screen, places, self.resume.first_rung)
        steps = (
            BalanceStep(place=place, minutes=least, rung=rung)
            for place, (least, rung) in enumerate(zip(minutes, rungs, strict=True), 1)
        )
        return tuple(steps)[self.resume.done(Modality.BALANCE) :]

    def posture(self) -> tuple[PostureStep, ...]:
        most = self.clinic.whole(posture.LIMITS["minutes_a_day"])
        loaded = person.may_load_the_back(self.screen, self.group)
        return tuple(
            PostureStep(
                place=place,
                minutes=min(posture.minutes_a_day(place), most),
                hold_s=posture.hold_s(place),
                reps=posture.reps(place),
                loaded=loaded and posture.is_loaded(place),
            )
            for place in range(1, self._places(Modality.POSTURE) + 1)
        )[self.resume.done(Modality.POSTURE) :]
