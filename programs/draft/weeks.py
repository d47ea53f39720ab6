"""The weeks of a program, put together from the ramps and what fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from programs.dose import impact
from programs.dose.plate_settings import LOW_MAGNITUDE, panel_hz
from programs.dose.resistance import LiftingStep
from programs.dose.vibration import Vibration, exposure
from programs.draft import person
from programs.draft.fit_into_days import Fitted
from programs.draft.ramps import Course
from programs.exercises import Exercise
from programs.week.week import (
    BalanceWeek,
    ImpactIndex,
    ImpactWeek,
    LiftDose,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Stance,
    Week,
)
from safety.findings import WALKING_BW, Modality
from safety.screen import Screen

PLATE_POSTURE = (Stance.KNEES_BENT, Stance.FOREFOOT, Stance.UPRIGHT)
#: On a plate below 1 g, which is stood on rather than trained on: common practice.
GENTLE_POSTURE = (Stance.UPRIGHT, Stance.KNEES_SOFT)
_FRAGILE = (Stance.TWO_HANDS, Stance.STILL)


@dataclass(frozen=True, kw_only=True)
class _Same:
    """What is the same in every week, looked up once."""

    one_rms: Mapping[str, float]
    load_step_kg: float
    near_support: bool
    posture: Mapping[bool, tuple[str, ...]]
    balance: Mapping[int | None, tuple[str, ...]]


def weeks(screen: Screen, course: Course, fitted: tuple[Fitted, ...]) -> tuple[Week, ...]:
    """Return the weeks."""
    same = _same(screen, course, fitted)
    return tuple(_week(number, screen, course, week, same) for number, week in enumerate(fitted, 1))


def _same(screen: Screen, course: Course, fitted: tuple[Fitted, ...]) -> _Same:
    one_rms = person.one_rms(screen)
    known = frozenset(one_rms)
    if course.resume.goes_on_from_done:
        known |= person.lifted_before(screen)
    resources = screen.situation.facts.resources
    loaded = {week.posture.loaded for week in fitted if week.posture}
    rungs = {week.balance.rung for week in fitted if week.balance}
    return _Same(
        one_rms={**one_rms, **{k: v for k, v in course.resume.one_rm_kg.items() if k in known}},
        load_step_kg=(resources.load_step_kg if resources else None) or 1.0,
        near_support=person.near_support(screen),
        posture={one: _codes(person.posture_exercises(screen, loaded=one)) for one in loaded},
        balance={rung: _codes(person.balance_exercises(screen, rung)) for rung in rungs},
    )


def _codes(exercises: tuple[Exercise, ...]) -> tuple[str, ...]:
    return tuple(exercise.code for exercise in exercises)


def _week(number: int, screen: Screen, course: Course, fitted: Fitted, same: _Same) -> Week:
    return Week(
        week=number,
        minutes=round(fitted.minutes, 1),
        plate=_plate(number, screen, course, fitted),
        resistance=_resistance(course, fitted, same),
        impact=_impact(fitted),
        balance=_balance(fitted, same),
        posture=_posture(fitted, same),
    )


def _plate(number: int, screen: Screen, course: Course, fitted: Fitted) -> PlateWeek | None:
    step = fitted.plate
    if step is None or course.fit is None:
        return None
    at = step.setting
    vibration = (
        Vibration.of_g(at.frequency_hz, at.peak_g, reads_as="peak")
        if at.displacement_mm is None
        else Vibration.shown(at.frequency_hz, at.displacement_mm, reads_as="peak_to_peak")
    )
    dose = exposure(vibration, seconds=step.vibration_min * 60)
    s = screen.situation
    gentle = course.fit.plate.motion == LOW_MAGNITUDE
    stance = GENTLE_POSTURE if gentle else PLATE_POSTURE
    first = number == 1 and course.fit.plate.name not in course.resume.watched
    return PlateWeek(
        plate=course.fit.plate.name,
        sessions=len(fitted.days[Modality.PLATE]),
        frequency_hz=at.frequency_hz,
        displacement_mm=at.displacement_mm,
        setting=at.panel,
        peak_g=round(at.peak_g, 2),
        bouts=step.bouts,
        bout_s=step.bout_s,
        rest_s=step.rest_s,
        vibration_min=round(step.vibration_min, 2),
        posture=(*stance, *_FRAGILE) if s.fragile else stance,
        supervised=first or s.watched_each_session or person.is_overseen(screen),
        rail=True,
        a8_m_s2=round(dose.a8_m_s2, 2),
        vdv_m_s175=round(dose.vdv_m_s175, 1),
        panel_hz=panel_hz(course.fit.plate, at.frequency_hz),
    )


def _resistance(course: Course, fitted: Fitted, same: _Same) -> ResistanceWeek | None:
    step, shape = fitted.lifting, fitted.shape
    if step is None:
        return None
    lifts = course.lifts[: shape.exercises]
    loaded = any(one.loadable for one in lifts)
    return ResistanceWeek(
        sessions=len(fitted.days[Modality.RESISTANCE]),
        group=course.group,
        sets=min(step.sets, shape.cut_sets or step.sets),
        reps=step.reps,
        could_lift=step.could_lift if loaded else None,
        percent_1rm=step.effort.percent_1rm if loaded else None,
        reps_in_reserve=step.effort.reps_in_reserve if loaded else None,
        exercises=tuple(_lift(one, step, same) for one in lifts),
    )


def _lift(exercise: Exercise, step: LiftingStep, same: _Same) -> LiftDose:
    one_rm = same.one_rms.get(exercise.lift or exercise.code) if exercise.loadable else None
    load = None if one_rm is None else step.effort.load_kg(one_rm, same.load_step_kg)
    own = dict(step.own_reps).get(exercise.code)
    return LiftDose(exercise=exercise.code, load_kg=load, reps=own)


def _impact(fitted: Fitted) -> ImpactWeek | None:
    step = fitted.impact
    if step is None:
        return None
    sessions, exercise = len(fitted.days[Modality.IMPACT]), step.exercise
    index = impact.osteogenic_index(exercise, step.impacts, sessions) if step.impacts else None
    return ImpactWeek(
        sessions=sessions,
        impacts=step.impacts,
        minutes=step.minutes,
        peak_bw=exercise.peak_bw or WALKING_BW,
        leg_bw=exercise.leg_bw,
        exercises=(exercise.code,),
        osteogenic_index=None
        if index is None
        else ImpactIndex(hip=round(index.hip, 1), spine=round(index.spine, 1)),
    )


def _balance(fitted: Fitted, same: _Same) -> BalanceWeek | None:
    step = fitted.balance
    if step is None:
        return None
    return BalanceWeek(
        sessions=len(fitted.days[Modality.BALANCE]),
        minutes=fitted.balance_min,
        rung=step.rung,
        near_support=same.near_support,
        exercises=same.balance[step.rung],
    )


def _posture(fitted: Fitted, same: _Same) -> PostureWeek | None:
    step = fitted.posture
    if step is None:
        return None
    sessions = len(fitted.days[Modality.POSTURE])
    return PostureWeek(
        sessions=sessions,
        minutes=fitted.posture_min * sessions,
        hold_s=step.hold_s,
        reps=step.reps,
        exercises=same.posture[step.loaded],
    )
