"""Impact: the ladder, the count and the days (rulebook row 20)."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from programs.dose.limit import DRAFT_WEEKS, Limit, is_deload
from programs.exercises import Exercise, impact_ladder
from safety.findings import Limits
from safety.sources import cite

WALKING_BW = 1.5
START_IMPACTS = 10
NEW_RUNG_IMPACTS = 30
MOST_IMPACTS = 50
START_DAYS = 3
MOST_DAYS = 4
START_WALK_MIN = 5
MOST_WALK_MIN = 20
SECONDS_AN_IMPACT = 3
REST_A_SET_S = 60
IMPACTS_A_SET = 10

LIMITS = {
    limit.name: limit
    for limit in (
        Limit(
            name="peak_bw.A",
            value=4.0,
            unit="body weights",
            text="Group A: impacts to 4 body weights",
            source=cite("uk2022", "project"),
        ),
        Limit(
            name="peak_bw.B",
            value=3.0,
            unit="body weights",
            text="Group B: impacts to 3 body weights",
            source=cite("uk2022", "project"),
        ),
        Limit(
            name="peak_bw.C",
            value=WALKING_BW,
            unit="body weights",
            text="Group C: walking, to 1.5 body weights",
            source=cite("uk2022"),
        ),
        Limit(
            name="impacts",
            value=MOST_IMPACTS,
            unit="impacts a session",
            text="At most 50 impacts a session",
            source=cite("uk2022"),
            judgement=100,
        ),
        Limit(
            name="sessions",
            value=MOST_DAYS,
            unit="days a week",
            text="At most 4 days a week",
            source=cite("uk2022", "project"),
            judgement=7,
        ),
        Limit(
            name="minutes",
            value=MOST_WALK_MIN,
            unit="min a day",
            text="At most 20 minutes of brisk walking a day",
            source=cite("uk2022"),
            judgement=40,
        ),
    )
}


@dataclass(frozen=True, kw_only=True)
class ImpactStep:
    """The impact of one week: counted impacts, or minutes of walking."""

    week: int
    exercise: Exercise
    days: int
    impacts: int | None
    minutes: int | None


@dataclass(frozen=True, kw_only=True)
class Most:
    """The most of a ramp: impacts a session, days a week, minutes of walking a day."""

    impacts: int = MOST_IMPACTS
    days: int = MOST_DAYS
    walk_min: int = MOST_WALK_MIN


MOST = Most()


def cap_bw(group: str, limits: Limits) -> float:
    """Return the greatest peak force of an impact, in body weights."""
    own = LIMITS[f"peak_bw.{group}"].value
    return own if limits.impact_bw is None else min(own, limits.impact_bw)


def ramp(
    group: str,
    *,
    cap: float,
    days: int,
    equipment: frozenset[str] = frozenset(),
    weeks: int = DRAFT_WEEKS,
    most: Most = MOST,
) -> tuple[ImpactStep, ...]:
    """Return the impact of each week, one thing rising at a time."""
    ladder = impact_ladder(cap, equipment)
    if not ladder[0].counted:
        return _walking(ladder[0], min(days, most.days), weeks, most.walk_min)
    return _counted(ladder, group, replace(most, days=min(days, most.days)), weeks)


def _walking(exercise: Exercise, days: int, weeks: int, most_min: int) -> tuple[ImpactStep, ...]:
    return tuple(
        ImpactStep(
            week=week,
            exercise=exercise,
            days=days,
            impacts=None,
            minutes=min(START_WALK_MIN + 5 * ((week - 1) // 2), most_min),
        )
        for week in range(1, weeks + 1)
    )


def _counted(
    ladder: tuple[Exercise, ...], group: str, most: Most, weeks: int
) -> tuple[ImpactStep, ...]:
    step = ImpactStep(
        week=1,
        exercise=ladder[0],
        days=min(most.days, START_DAYS),
        impacts=START_IMPACTS,
        minutes=None,
    )
    steps, rung_since = [step], 1
    for week in range(2, weeks + 1):
        later = _later(replace(step, week=week), ladder, group, most, week - rung_since)
        rung_since = week if later.exercise is not step.exercise else rung_since
        step = later
        steps.append(step)
    return tuple(steps)


def _later(
    step: ImpactStep, ladder: tuple[Exercise, ...], group: str, most: Most, on_rung: int
) -> ImpactStep:
    """Raise the count to the most, then the days, then the rung; B every second week."""
    assert step.impacts is not None
    if is_deload(step.week) or (group == "B" and step.week % 2 == 0):
        return step
    if step.impacts < most.impacts:
        return replace(step, impacts=min(step.impacts + 10, most.impacts))
    if step.days < most.days:
        return replace(step, days=step.days + 1)
    rung = ladder.index(step.exercise) + 1
    if rung < len(ladder) and on_rung >= 2:
        return replace(step, exercise=ladder[rung], impacts=min(NEW_RUNG_IMPACTS, most.impacts))
    return step


def session_min(step: ImpactStep) -> float:
    """Return the minutes of a session: sets of ten with a minute's rest, or the walk."""
    if step.impacts is None:
        return float(step.minutes or 0)
    return counted_min(step.impacts)


def counted_min(impacts: int) -> float:
    """Return the minutes of so many impacts, in sets of ten with a minute's rest."""
    sets = math.ceil(impacts / IMPACTS_A_SET)
    return (impacts * SECONDS_AN_IMPACT + sets * REST_A_SET_S) / 60


def osteogenic_index(peak_bw: float, impacts: int, sessions: int) -> float:
    """Return the index of a week: peak force x ln(count + 1), summed over its sessions.

    A relative planning number from animal work, without a validated target (Turner and
    Robling, Exerc Sport Sci Rev 2003;31:45, as used in PMC2465063 and PMC3737855).
    """
    return peak_bw * math.log(impacts + 1) * sessions
