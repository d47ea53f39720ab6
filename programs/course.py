"""What each included modality asks for in each week, before it is fitted into her days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from patients.facts import Resources
from programs.clinic_limits import AS_PUBLISHED, Clinic
from programs.dose import balance, impact, plate, posture, resistance
from programs.dose.limit import DRAFT_WEEKS
from programs.exercises import SPARE_SPINE_BARS, Exercise, choose_lifts, posture_set
from programs.timetable import WEEK, Wanted, emptiest, spread
from safety.findings import Modality
from safety.screen import Screen

#: Drafted where days or minutes were not recorded, and said so.
ASSUMED_DAYS = ("mon", "wed", "fri")
ASSUMED_MINUTES = 30
LOW_MAGNITUDE_SESSIONS = 5


@dataclass(frozen=True, kw_only=True)
class Resume:
    """Where a revised program takes up: what of each ramp is behind her, what a review lifted.

    done_weeks   weeks of the ramp that are done; a modality not named starts at its start
    lifted       codes of rules that a review with no trouble has lifted
    """

    done_weeks: Mapping[Modality, int] = field(default_factory=dict)
    lifted: frozenset[str] = frozenset()

    def done(self, modality: Modality) -> int:
        """Return the weeks of this modality's ramp that are behind her."""
        return self.done_weeks.get(modality, 0)


FROM_THE_START = Resume()
#: The name by which a review lifts the 1 g cap of the fragile (rulebook row 14).
FRAGILE_CAP = "plate.fragile_cap"


@dataclass(frozen=True, kw_only=True)
class Course:
    """The ramps of the included modalities over all weeks; None where one is not included.

    posture_room  minutes of posture a day that have room in each week; () before it is fitted
    """

    days: tuple[str, ...]
    minutes_a_day: int
    group: str
    fit: plate.PlateFit | None
    plate_steps: tuple[plate.PlateStep, ...] | None
    lifting_steps: tuple[resistance.LiftingStep, ...] | None
    impact_steps: tuple[impact.ImpactStep, ...] | None
    balance_min: tuple[int, ...] | None
    posture: bool
    resume: Resume
    lift_days: tuple[str, ...]
    plate_days: tuple[str, ...]
    impact_days: tuple[str, ...]
    clinic: Clinic = AS_PUBLISHED
    posture_room: tuple[int, ...] = ()

    def plate_step(self, week: int, waited: Mapping[Modality, int]) -> plate.PlateStep | None:
        """Return the plate's step of this week, a ramp that waited that much behind."""
        return _at(self.plate_steps, week - waited.get(Modality.PLATE, 0))

    def impact_step(self, week: int, waited: Mapping[Modality, int]) -> impact.ImpactStep | None:
        """Return the impact of this week, a ramp that waited that much behind."""
        return _at(self.impact_steps, week - waited.get(Modality.IMPACT, 0))

    def steps(self, modality: Modality) -> tuple[plate.PlateStep | impact.ImpactStep, ...]:
        """Return the ramp of plate or impact; empty where it is not included."""
        found = self.plate_steps if modality is Modality.PLATE else self.impact_steps
        return found or ()

    def rises(self, modality: Modality, week: int, waited: int) -> bool:
        """Tell whether a ramp so far behind differs in this week from the week before."""
        steps = self.steps(modality)
        return dose_of(steps[week - waited - 1]) != dose_of(steps[week - waited - 2])

    def wanted(
        self,
        week: int,
        waited: Mapping[Modality, int],
        without: frozenset[Modality] = frozenset(),
    ) -> Wanted:
        """Return what this week asks for; nothing of the plate or impact that it is without."""
        step = None if Modality.PLATE in without else self.plate_step(week, waited)
        jump = None if Modality.IMPACT in without else self.impact_step(week, waited)
        return Wanted(
            lifting=_at(self.lifting_steps, week),
            lift_days=self.lift_days if self.lifting_steps else (),
            plate_min=step.session_min if step else 0.0,
            plate_days=self.plate_days if step else (),
            impact_min=impact.session_min(jump) if jump else 0.0,
            impact_days=self.impact_days[: jump.days] if jump else (),
            jumps=bool(jump and jump.exercise.counted),
            balance_min=_at(self.balance_min, week) or 0,
            posture_min_a_day=self.posture_min_a_day(week),
        )

    def posture_min_a_day(self, week: int) -> int:
        """Return the posture minutes of a day in this week."""
        at = week + self.resume.done(Modality.POSTURE)
        most = int(self.clinic.value("posture.minutes_a_day"))
        if self.posture_room:
            most = min(most, self.posture_room[week - 1])
        return min(posture.minutes_a_day(at), most) if self.posture else 0


Step = TypeVar("Step")


def _at(steps: tuple[Step, ...] | None, week: int) -> Step | None:
    return steps[max(week, 1) - 1] if steps else None


def dose_of(step: plate.PlateStep | impact.ImpactStep) -> plate.PlateStep | impact.ImpactStep:
    """Return a step without its week and without what it says of the week before."""
    if isinstance(step, plate.PlateStep):
        return replace(step, week=0, changed="")
    return replace(step, week=0)


def room_of(step: plate.PlateStep | impact.ImpactStep) -> tuple[float, int, bool]:
    """Return all of a step that its room depends on: minutes, days, whether it is counted."""
    if isinstance(step, plate.PlateStep):
        return step.session_min, 0, False
    return impact.session_min(step), step.days, step.exercise.counted


def course(
    screen: Screen,
    included: frozenset[Modality],
    fit: plate.PlateFit | None,
    resume: Resume = FROM_THE_START,
    clinic: Clinic = AS_PUBLISHED,
) -> Course:
    """Work out the ramps of the included modalities, each from where it is taken up."""
    s = screen.situation
    resources = s.facts.resources or Resources()
    # An empty list is an answer: she has no day, and nothing may be put on one.
    days = ASSUMED_DAYS if resources.days is None else resources.days
    group = resistance.group_of(s, screen.limits(Modality.RESISTANCE))
    has_plate = fit is not None and Modality.PLATE in included
    lift_days = spread(days, resistance.SESSIONS_A_WEEK)
    plate_days = _plate_days(fit, days, frozenset(lift_days), clinic) if fit and has_plate else ()
    ramps = _Ramps(screen, group, len(days), resume, clinic)
    return Course(
        days=days,
        minutes_a_day=resources.minutes_per_day or ASSUMED_MINUTES,
        group=group,
        fit=fit,
        plate_steps=ramps.plate(fit) if fit and has_plate else None,
        lifting_steps=ramps.lifting() if Modality.RESISTANCE in included else None,
        impact_steps=ramps.impact() if Modality.IMPACT in included else None,
        balance_min=ramps.balance() if Modality.BALANCE in included else None,
        posture=Modality.POSTURE in included,
        resume=resume,
        lift_days=lift_days,
        plate_days=plate_days,
        impact_days=_impact_days(days, _load(lift_days, plate_days)),
        clinic=clinic,
    )


def _impact_days(days: tuple[str, ...], load: Mapping[str, float]) -> tuple[str, ...]:
    """Return the days impact takes first, in the week's order, then the others, fullest last."""
    by_room = emptiest(days, load)
    first, others = by_room[: impact.MOST_DAYS], by_room[impact.MOST_DAYS :]
    return (*sorted(first, key=WEEK.index), *others)


def _load(lift_days: tuple[str, ...], plate_days: tuple[str, ...]) -> Mapping[str, float]:
    """Return how full each day is: a lifting session weighs as much as two others."""
    on_both = (*lift_days, *lift_days, *plate_days)
    return {day: float(on_both.count(day)) for day in on_both}


def _plate_days(
    fit: plate.PlateFit, days: tuple[str, ...], busy: frozenset[str], clinic: Clinic
) -> tuple[str, ...]:
    if fit.plate.motion == "low_magnitude":
        return days[:LOW_MAGNITUDE_SESSIONS]
    return spread(days, int(clinic.value("plate.sessions")), busy)


@dataclass(frozen=True)
class _Ramps:
    """The ramp of each modality, from where it is taken up, for as long as a draft runs."""

    screen: Screen
    group: str
    days: int
    resume: Resume
    clinic: Clinic

    def _weeks(self, modality: Modality) -> int:
        return DRAFT_WEEKS + self.resume.done(modality)

    def plate(self, fit: plate.PlateFit) -> tuple[plate.PlateStep, ...]:
        steps = plate.ramp(
            fit,
            fragile=capped(self.screen, self.resume),
            start_dose_only=self.screen.limits(Modality.PLATE).plate_start_dose,
            weeks=self._weeks(Modality.PLATE),
            ceiling_g=self.clinic.value("plate.top_g"),
        )
        return steps[self.resume.done(Modality.PLATE) :]

    def lifting(self) -> tuple[resistance.LiftingStep, ...]:
        resources = self.screen.situation.facts.resources or Resources()
        supervised = bool(resources.supervised)
        own = self.clinic.lifting(self.group, supervised=supervised)
        steps = resistance.ramp(
            self.group,
            supervised=supervised,
            limits=self.screen.limits(Modality.RESISTANCE).tightest(own),
            weeks=self._weeks(Modality.RESISTANCE),
        )
        done = self.resume.done(Modality.RESISTANCE)
        return tuple(self.clinic.sets(step) for step in steps[done:])

    def impact(self) -> tuple[impact.ImpactStep, ...]:
        steps = impact.ramp(
            self.group,
            cap=impact_cap_bw(self.screen, self.group, self.clinic),
            days=self.days,
            equipment=equipment(self.screen),
            weeks=self._weeks(Modality.IMPACT),
            most=impact.Most(
                impacts=int(self.clinic.value("impact.impacts")),
                days=int(self.clinic.value("impact.sessions")),
                walk_min=int(self.clinic.value("impact.minutes")),
            ),
        )
        return steps[self.resume.done(Modality.IMPACT) :]

    def balance(self) -> tuple[int, ...]:
        goal = balance.goal_min(self.screen.situation.fall_risk.drafted_as)
        most = min(goal, int(self.clinic.value("balance.minutes")))
        minutes = balance.ramp(most, weeks=self._weeks(Modality.BALANCE))
        return minutes[self.resume.done(Modality.BALANCE) :]


def impact_cap_bw(screen: Screen, group: str, clinic: Clinic = AS_PUBLISHED) -> float:
    """Return the greatest peak force of an impact for her, in body weights."""
    return min(impact.cap_bw(group, screen.limits(Modality.IMPACT)), clinic.impact_bw(group))


def capped(screen: Screen, resume: Resume) -> bool:
    """Tell whether the plate is held to 1 g: a fragile person whose cap no review lifted."""
    return screen.situation.fragile and FRAGILE_CAP not in resume.lifted


def equipment(screen: Screen) -> frozenset[str]:
    """Return what she has; nothing where it was not recorded."""
    resources = screen.situation.facts.resources or Resources()
    return frozenset(resources.equipment or ())


def barred(screen: Screen) -> frozenset[str]:
    """Return the movements that her findings bar; from the floor only under trained eyes."""
    resources = screen.situation.facts.resources
    watched = frozenset() if resources and resources.supervised else frozenset({"floor_lift"})
    lifting = screen.limits(Modality.RESISTANCE)
    impact_bw = screen.limits(Modality.IMPACT).impact_bw
    no_jumps = impact_bw is not None and impact_bw <= 2
    spine = SPARE_SPINE_BARS if lifting.spare_spine or lifting.group_c else frozenset()
    return spine | watched | (frozenset({"jump"}) if no_jumps else frozenset())


def lifts(screen: Screen, count: int) -> tuple[Exercise, ...]:
    """Return the lifts for her aims, equipment and bars, most valuable first."""
    aims = screen.situation.facts.aims or ()
    return choose_lifts(equipment(screen), barred(screen), aims, count)


def posture_exercises(screen: Screen) -> tuple[Exercise, ...]:
    """Return her posture exercises."""
    spare = screen.limits(Modality.POSTURE).spare_spine
    return posture_set(spare, posture.EXERCISES)


def one_rms(screen: Screen) -> dict[str, float]:
    """Return the one-repetition maximum of each lift, from its newest set, in kg."""
    best: dict[str, float] = {}
    for lift in sorted(screen.situation.facts.lifts or (), key=lambda one: str(one.on or "")):
        estimate = resistance.one_rm_kg(lift.kg, lift.reps)
        if estimate is not None:
            best[lift.lift] = estimate
    return best
