"""Lifting: groups, the ramp, and loads from a set lifted to fatigue (rulebook row 19)."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal

from programs.dose.limit import DRAFT_WEEKS, Limit, is_deload
from safety.findings import Limits
from safety.situation import Situation
from safety.sources import cite

WARM_UP_MIN = 2.0
SECONDS_A_REPETITION = 4
REST_S = 60
SESSIONS_A_WEEK = 2
EXERCISES = 4
FEWEST_EXERCISES = 2
LEAST_RESERVE = 2
TECHNIQUE_WEEKS = 8

_RAMP_SOURCES = cite("uk2022", "toofit2014", "project")
LIMITS = {
    limit.name: limit
    for limit in (
        Limit(
            name="percent_1rm.A",
            value=80,
            unit="% of 1RM",
            text="Group A: at most 80 %; 85 % only in supervised five-by-five "
            "after 8 weeks of technique, with a written reason",
            source=_RAMP_SOURCES,
            judgement=85,
        ),
        Limit(
            name="percent_1rm.B",
            value=75,
            unit="% of 1RM",
            text="Group B: at most 75 %",
            source=_RAMP_SOURCES,
        ),
        Limit(
            name="percent_1rm.B.supervised",
            value=80,
            unit="% of 1RM",
            text="Group B supervised: at most 80 %; 85 % only in supervised five-by-five "
            "after 8 weeks of technique, with a written reason",
            source=_RAMP_SOURCES,
            judgement=85,
        ),
        Limit(
            name="percent_1rm.C",
            value=70,
            unit="% of 1RM",
            text="Group C: at most 70 %",
            source=_RAMP_SOURCES,
        ),
        Limit(
            name="reps_in_reserve",
            value=LEAST_RESERVE,
            unit="repetitions",
            text="At least 2 repetitions in reserve",
            source=cite("uk2022", "project"),
        ),
        Limit(
            name="sessions",
            value=SESSIONS_A_WEEK,
            unit="a week",
            text="Two lifting sessions a week, 48 hours apart",
            source=cite("gap2013", "uk2022"),
            judgement=3,
        ),
        Limit(
            name="sets",
            value=3,
            unit="sets",
            text="At most 3 sets; five only in supervised five-by-five, with a written reason",
            source=_RAMP_SOURCES,
            judgement=5,
        ),
    )
}


@dataclass(frozen=True, kw_only=True)
class LiftingStep:
    """The lifting of one week, before exercises and loads are chosen."""

    week: int
    sets: int
    reps: int
    percent_1rm: float
    reps_in_reserve: int


def group_of(s: Situation, limits: Limits) -> str:
    """Return the group A, B or C that lifting and impact are drafted by."""
    if limits.group_c or s.fracture_risk.drafted_as == "very_high":
        return "C"
    if s.fracture_risk.drafted_as == "high" or s.age >= 80:
        return "B"
    return "A"


def top_percent(group: str, *, supervised: bool) -> Limit:
    """Return the greatest load of the group."""
    guarded = ".supervised" if group == "B" and supervised else ""
    return LIMITS[f"percent_1rm.{group}{guarded}"]


def ramp(
    group: str, *, supervised: bool, limits: Limits, weeks: int = DRAFT_WEEKS
) -> tuple[LiftingStep, ...]:
    """Return the lifting of each week; it never rises in a deload week."""
    top = min(top_percent(group, supervised=supervised).value, limits.percent_1rm or 100)
    reserve = int(max(LEAST_RESERVE, limits.reps_in_reserve or 0))
    steps = _form_first(weeks) if group == "C" else _by_stages(group, top, weeks)
    return tuple(
        replace(
            step,
            percent_1rm=min(step.percent_1rm, top),
            reps_in_reserve=max(step.reps_in_reserve, reserve),
        )
        for step in steps
    )


#: Stages after the first weeks: percent, repetitions, reserve; at least two weeks each.
_STAGES = {
    "A": ((70, 12, 3), (75, 10, 2), (80, 8, 2)),
    "B": ((65, 12, 3), (70, 12, 3), (75, 10, 2), (80, 8, 2)),
}
#: The last week of three sets of fifteen at 50 to 60 %.
_LEARNT_BY = {"A": 6, "B": 10}


def _by_stages(group: str, top: float, weeks: int) -> tuple[LiftingStep, ...]:
    stages = [stage for stage in _STAGES[group] if stage[0] <= top]
    learnt = _LEARNT_BY[group]
    steps = []
    for week in range(1, weeks + 1):
        if week <= learnt or not stages:
            steps.append(_learning(group, min(week, learnt)))
        else:
            percent, reps, reserve = stages[min((week - learnt - 1) // 2, len(stages) - 1)]
            steps.append(_step(3, reps, percent, reserve))
    return tuple(replace(step, week=week) for week, step in enumerate(steps, 1))


def _learning(group: str, week: int) -> LiftingStep:
    """One set, two, then three of fifteen; the load rises to 60 % in the last of them."""
    half = {"A": 5, "B": 5}[group]
    full = {"A": 6, "B": 9}[group]
    percent = 60 if week >= full else 55 if week >= half else 50
    return _step(min(week, 3), 15, percent, 5 if week <= 2 else 4)


def _step(sets: int, reps: int, percent: float, reserve: int) -> LiftingStep:
    return LiftingStep(week=0, sets=sets, reps=reps, percent_1rm=percent, reps_in_reserve=reserve)


def _form_first(weeks: int) -> tuple[LiftingStep, ...]:
    """Group C: one change a week: a second set, repetitions to 12, then 5 % a fortnight."""
    steps = [LiftingStep(week=1, sets=1, reps=8, percent_1rm=40, reps_in_reserve=4)]
    for week in range(2, weeks + 1):
        steps.append(_next_by_form(replace(steps[-1], week=week)))
    return tuple(steps)


def _next_by_form(step: LiftingStep) -> LiftingStep:
    week = step.week
    if is_deload(week):
        return step
    if step.sets < 2:
        return replace(step, sets=2)
    if step.reps < 12:
        return replace(step, reps=step.reps + 1)
    if step.percent_1rm < LIMITS["percent_1rm.C"].value and week % 2 == 1:
        return replace(step, percent_1rm=step.percent_1rm + 5, reps_in_reserve=3)
    return step


def session_min(*, exercises: int, sets: int, reps: int) -> float:
    """Return the minutes of a lifting session: warm-up, repetitions and rests."""
    a_set_s = reps * SECONDS_A_REPETITION + REST_S
    return WARM_UP_MIN + exercises * sets * a_set_s / 60


def one_rm_kg(kg: float, reps: int) -> float | None:
    """Return the one-repetition maximum of a set lifted to fatigue, in kg.

    By the equation made on trained women of 57 after menopause (Kemmler and others,
    J Strength Cond Res 2006;20:838): 3 to 20 repetitions; None outside.
    """
    if not 3 <= reps <= 20:
        return None
    return kg * (0.988 + 0.0104 * reps + 0.00190 * reps**2 - 0.0000584 * reps**3)


def load_kg(one_rm: float, percent: float, step_kg: float) -> float:
    """Return the load, rounded down to the equipment's step, in kg."""
    step = Decimal(str(step_kg))
    wanted = Decimal(str(round(one_rm * percent / 100, 6)))
    return float(math.floor(wanted / step) * step)


def drafted_kg(one_rm: float, percent: float, step_kg: float) -> float | None:
    """Return the load to draft; None where even one step of the equipment is more than that.

    Nothing at all would be no lift: she then finds her load by the repetitions in reserve.
    """
    return load_kg(one_rm, percent, step_kg) or None
