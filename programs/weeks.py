"""The weeks of a program, put together from the ramps and what fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from programs import course as courses
from programs.dose import balance, impact
from programs.dose.plate_settings import LOW_MAGNITUDE
from programs.dose.resistance import EXERCISES as MOST_LIFTS
from programs.dose.resistance import drafted_kg
from programs.exercises import Exercise, balance_rung
from programs.plate import Vibration, exposure
from programs.timetable import Fitted
from programs.week import (
    BalanceWeek,
    ImpactWeek,
    LiftDose,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Week,
)
from safety.findings import Modality
from safety.screen import Screen

PLATE_POSTURE = "knees bent 20 to 30 degrees, never locked; weight on the forefoot; upright"
#: On a plate below 1 g, which is stood on rather than trained on: common practice.
GENTLE_POSTURE = "upright; knees soft, never locked"
_FRAGILE = "; two hands on the rail; stand still, no exercises"


@dataclass(frozen=True, kw_only=True)
class _Same:
    """What is the same in every week, looked up once.

    lifts   most valuable first: a shorter session takes the first of them
    """

    lifts: tuple[Exercise, ...]
    one_rms: Mapping[str, float]
    load_step_kg: float
    near_support: bool
    posture: tuple[str, ...]


def weeks(screen: Screen, course: courses.Course, fitted: tuple[Fitted, ...]) -> tuple[Week, ...]:
    """Return the weeks."""
    same = _same(screen)
    return tuple(_week(number, screen, course, week, same) for number, week in enumerate(fitted, 1))


def _same(screen: Screen) -> _Same:
    resources = screen.situation.facts.resources
    return _Same(
        lifts=courses.lifts(screen, MOST_LIFTS),
        one_rms=courses.one_rms(screen),
        load_step_kg=(resources.load_step_kg if resources else None) or 1.0,
        near_support=screen.limits(Modality.BALANCE).near_support,
        posture=tuple(exercise.code for exercise in courses.posture_exercises(screen)),
    )


def _week(number: int, screen: Screen, course: courses.Course, fitted: Fitted, same: _Same) -> Week:
    return Week(
        week=number,
        minutes=round(fitted.minutes, 1),
        plate=_plate(number, screen, course, fitted),
        resistance=_resistance(number, course, fitted, same),
        impact=_impact(number, course, fitted),
        balance=_balance(number, course, fitted, same),
        posture=_posture(number, course, fitted, same),
    )


def _plate(number: int, screen: Screen, course: courses.Course, fitted: Fitted) -> PlateWeek | None:
    on = fitted.days.get(Modality.PLATE)
    step = course.plate_step(number, fitted.waited)
    if not on or step is None or course.fit is None:
        return None
    at = step.setting
    vibration = (
        Vibration.of_g(at.frequency_hz, at.peak_g, reads_as="peak")
        if at.displacement_mm is None
        else Vibration.shown(at.frequency_hz, at.displacement_mm, reads_as="peak_to_peak")
    )
    seconds = step.vibration_min * 60
    dose = exposure(vibration, seconds=seconds)
    fragile = screen.situation.fragile
    gentle = course.fit.plate.motion == LOW_MAGNITUDE
    stance = GENTLE_POSTURE if gentle else PLATE_POSTURE
    first = number == 1 and not course.resume.done(Modality.PLATE)
    resources = screen.situation.facts.resources
    return PlateWeek(
        plate=course.fit.plate.name,
        sessions=len(on),
        frequency_hz=at.frequency_hz,
        displacement_mm=at.displacement_mm,
        setting=at.panel,
        peak_g=round(at.peak_g, 2),
        bouts=step.bouts,
        bout_s=step.bout_s,
        rest_s=step.rest_s,
        vibration_min=round(step.vibration_min, 2),
        posture=f"{stance}{_FRAGILE}" if fragile else stance,
        supervised=first or fragile or bool(resources and resources.supervised),
        rail=True,
        a8_m_s2=round(dose.a8_m_s2, 2),
        vdv_m_s175=round(dose.vdv_m_s175, 1),
    )


def _resistance(
    number: int, course: courses.Course, fitted: Fitted, same: _Same
) -> ResistanceWeek | None:
    on = fitted.days.get(Modality.RESISTANCE)
    if not on or not course.lifting_steps:
        return None
    step, shape = course.lifting_steps[number - 1], fitted.shape
    return ResistanceWeek(
        sessions=len(on),
        group=course.group,
        sets=min(step.sets, shape.cut_sets or step.sets),
        reps=step.reps,
        percent_1rm=step.percent_1rm,
        reps_in_reserve=step.reps_in_reserve,
        exercises=tuple(
            LiftDose(exercise=one.code, load_kg=_load(one, step.percent_1rm, same))
            for one in same.lifts[: shape.exercises]
        ),
    )


def _load(exercise: Exercise, percent: float, same: _Same) -> float | None:
    one_rm = same.one_rms.get(exercise.lift or exercise.code)
    return None if one_rm is None else drafted_kg(one_rm, percent, same.load_step_kg)


def _impact(number: int, course: courses.Course, fitted: Fitted) -> ImpactWeek | None:
    on = fitted.days.get(Modality.IMPACT)
    step = course.impact_step(number, fitted.waited)
    if not on or step is None:
        return None
    peak = step.exercise.peak_bw or impact.WALKING_BW
    index = impact.osteogenic_index(peak, step.impacts, len(on)) if step.impacts else None
    return ImpactWeek(
        sessions=len(on),
        impacts=step.impacts,
        minutes=step.minutes,
        peak_bw=peak,
        exercises=(step.exercise.code,),
        osteogenic_index=None if index is None else round(index, 1),
    )


def _balance(
    number: int, course: courses.Course, fitted: Fitted, same: _Same
) -> BalanceWeek | None:
    on = fitted.days.get(Modality.BALANCE)
    if not on:
        return None
    at = number + course.resume.done(Modality.BALANCE)
    rung = balance.rung(at, near_support=same.near_support)
    return BalanceWeek(
        sessions=len(on),
        minutes=fitted.balance_min,
        rung=rung,
        exercises=tuple(exercise.code for exercise in balance_rung(rung)),
    )


def _posture(
    number: int, course: courses.Course, fitted: Fitted, same: _Same
) -> PostureWeek | None:
    on = fitted.days.get(Modality.POSTURE)
    if not on:
        return None
    return PostureWeek(
        sessions=len(on),
        minutes=course.posture_min_a_day(number) * len(on),
        exercises=same.posture,
    )
