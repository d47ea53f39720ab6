"""What each included modality asks for in each week, before it is fitted into her days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patients.facts import Resources
from programs.dose import balance, impact, plate, posture, resistance
from programs.exercises import SPARE_SPINE_BARS, Exercise, choose_lifts, posture_set
from programs.timetable import Wanted, emptiest, spread
from safety.findings import Modality
from safety.screen import Screen

#: Drafted where days or minutes were not recorded, and said so.
ASSUMED_DAYS = ("mon", "wed", "fri")
ASSUMED_MINUTES = 30
PLATE_SESSIONS = 3
LOW_MAGNITUDE_SESSIONS = 5


@dataclass(frozen=True, kw_only=True)
class Course:
    """The ramps of the included modalities over all weeks; None where one is not included."""

    days: tuple[str, ...]
    minutes_a_day: int
    group: str
    fit: plate.PlateFit | None
    plate: tuple[plate.PlateStep, ...] | None
    lifting: tuple[resistance.LiftingStep, ...] | None
    impact: tuple[impact.ImpactStep, ...] | None
    balance: tuple[int, ...] | None
    posture: bool
    lift_days: tuple[str, ...]
    plate_days: tuple[str, ...]
    impact_days: tuple[str, ...]

    def wanted(self, week: int) -> Wanted:
        """Return what this week asks for."""
        step = self.plate[week - 1] if self.plate else None
        jump = self.impact[week - 1] if self.impact else None
        return Wanted(
            lifting=self.lifting[week - 1] if self.lifting else None,
            lift_days=self.lift_days if self.lifting else (),
            plate_min=step.session_min if step else 0.0,
            plate_days=self.plate_days if step else (),
            impact_min=impact.session_min(jump) if jump else 0.0,
            impact_days=self.impact_days[: jump.days] if jump else (),
            balance_min=self.balance[week - 1] if self.balance else 0,
            posture_min_a_day=posture.minutes_a_day(week) if self.posture else 0,
        )


def course(screen: Screen, included: frozenset[Modality], fit: plate.PlateFit | None) -> Course:
    """Work out the ramps of the included modalities."""
    s = screen.situation
    resources = s.facts.resources or Resources()
    days = resources.days or ASSUMED_DAYS
    group = resistance.group_of(s, screen.limits(Modality.RESISTANCE))
    steps = _plate(screen, fit) if fit and Modality.PLATE in included else None
    lift_days = spread(days, resistance.SESSIONS_A_WEEK)
    plate_days = _plate_days(fit, days, frozenset(lift_days))
    return Course(
        days=days,
        minutes_a_day=resources.minutes_per_day or ASSUMED_MINUTES,
        group=group,
        fit=fit,
        plate=steps,
        lifting=_lifting(screen, group, resources) if Modality.RESISTANCE in included else None,
        impact=_impact(screen, group, len(days)) if Modality.IMPACT in included else None,
        balance=_balance(screen) if Modality.BALANCE in included else None,
        posture=Modality.POSTURE in included,
        lift_days=lift_days,
        plate_days=plate_days,
        impact_days=emptiest(days, _load(lift_days, plate_days if steps else ())),
    )


def _load(lift_days: tuple[str, ...], plate_days: tuple[str, ...]) -> Mapping[str, float]:
    """Return how full each day is: a lifting session weighs as much as two others."""
    on_both = (*lift_days, *lift_days, *plate_days)
    return {day: float(on_both.count(day)) for day in on_both}


def _plate(screen: Screen, fit: plate.PlateFit) -> tuple[plate.PlateStep, ...]:
    return plate.ramp(
        fit,
        fragile=screen.situation.fragile,
        start_dose_only=screen.limits(Modality.PLATE).plate_start_dose,
    )


def _plate_days(
    fit: plate.PlateFit | None, days: tuple[str, ...], busy: frozenset[str]
) -> tuple[str, ...]:
    if fit is None:
        return ()
    if fit.plate.motion == "low_magnitude":
        return days[:LOW_MAGNITUDE_SESSIONS]
    return spread(days, PLATE_SESSIONS, busy)


def _lifting(
    screen: Screen, group: str, resources: Resources
) -> tuple[resistance.LiftingStep, ...]:
    limits = screen.limits(Modality.RESISTANCE)
    return resistance.ramp(group, supervised=bool(resources.supervised), limits=limits)


def _impact(screen: Screen, group: str, days: int) -> tuple[impact.ImpactStep, ...]:
    cap = impact.cap_bw(group, screen.limits(Modality.IMPACT))
    return impact.ramp(group, cap=cap, days=days, equipment=equipment(screen))


def _balance(screen: Screen) -> tuple[int, ...]:
    return balance.ramp(balance.goal_min(screen.situation.fall_risk.drafted_as))


def equipment(screen: Screen) -> frozenset[str]:
    """Return what she has; nothing where it was not recorded."""
    resources = screen.situation.facts.resources or Resources()
    return frozenset(resources.equipment or ())


def barred(screen: Screen) -> frozenset[str]:
    """Return the movements that her findings bar."""
    lifting = screen.limits(Modality.RESISTANCE)
    impact_bw = screen.limits(Modality.IMPACT).impact_bw
    no_jumps = impact_bw is not None and impact_bw <= 2
    spine = SPARE_SPINE_BARS if lifting.spare_spine or lifting.group_c else frozenset()
    return spine | (frozenset({"jump"}) if no_jumps else frozenset())


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
