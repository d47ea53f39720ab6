"""Impact: the ladder, the count and the days (rulebook row 20)."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.limit import Limit, Range
from programs.exercises import Exercise, counted_rungs, walking
from safety.findings import WALKING_BW, Limits, Modality

START_IMPACTS = 10
NEW_RUNG_IMPACTS = 30
MOST_IMPACTS = 50
START_DAYS = 3
MOST_DAYS = 4
#: Group A, on a rung after the one that rose to four.
MOST_DAYS_LATER = 5
#: An aimed force that bone is taken to feel: a rung below it lasts two weeks (row 20).
FELT_BW = 1.5
#: Group C with a written reason, where neither fracture nor function speaks against it.
REASONED_C_BW = 2.0
FIRST_RUNG_WEEKS = 2
#: An exercise that takes the place of another has so much of its aimed force. Project choice.
CHANGED_SHARE = 0.8
LEAST_WEEKS_ON_RUNG = 4
WALK_DAYS = 4
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
            modality=Modality.IMPACT,
            value=4.0,
            unit="body weights",
            text="Group A: impacts to 4 body weights",
            sources=("uk2022", "project"),
            clinic=Range(text="Peak force of an impact, group A", tightest=1.5),
            beside="exercises",
            group="A",
        ),
        Limit(
            name="peak_bw.A.unsteady",
            modality=Modality.IMPACT,
            value=3.0,
            unit="body weights",
            text="Group A with a fall risk that is not low: impacts to 3 body weights",
            sources=("project",),
            clinic=Range(text="Peak force of an impact, group A, fall risk not low", tightest=1.5),
            beside="exercises",
            group="A",
        ),
        Limit(
            name="peak_bw.B",
            modality=Modality.IMPACT,
            value=3.0,
            unit="body weights",
            text="Group B: impacts to 3 body weights",
            sources=("uk2022", "project"),
            clinic=Range(text="Peak force of an impact, group B", tightest=1.5),
            beside="exercises",
            group="B",
        ),
        Limit(
            name="peak_bw.C",
            modality=Modality.IMPACT,
            value=WALKING_BW,
            unit="body weights",
            text="Group C: walking, to 1.5 body weights; to 2 with a written reason where no "
            "vertebra and not several bones have broken and function is normal",
            sources=("uk2022", "project"),
            judgement=REASONED_C_BW,
            beside="exercises",
            group="C",
        ),
        Limit(
            name="impacts",
            modality=Modality.IMPACT,
            value=MOST_IMPACTS,
            unit="impacts a session",
            text="At most 50 impacts a session",
            sources=("uk2022",),
            judgement=100,
            clinic=Range(text="Impacts of a session", tightest=10, loosest=100),
            beside="impacts",
        ),
        Limit(
            name="sessions",
            modality=Modality.IMPACT,
            value=MOST_DAYS,
            unit="days a week",
            text="At most 4 days a week",
            sources=("uk2022", "project"),
            judgement=7,
            clinic=Range(text="Days with impact or walking", tightest=1, loosest=7),
            beside="sessions",
        ),
        Limit(
            name="minutes",
            modality=Modality.IMPACT,
            value=MOST_WALK_MIN,
            unit="min a day",
            text="At most 20 minutes of brisk walking a day",
            sources=("uk2022",),
            judgement=40,
            clinic=Range(text="Brisk walking", tightest=5, loosest=40),
            beside="minutes",
        ),
    )
}


@dataclass(frozen=True, kw_only=True)
class ImpactStep:
    """One place of the ramp: counted impacts of a session, or its minutes of walking."""

    place: int
    exercise: Exercise
    days: int
    impacts: int | None
    minutes: int | None


@dataclass(frozen=True, kw_only=True)
class Most:
    """The most of a ramp: impacts a session, days a week, minutes of walking a day.

    days   of counted impacts; None: 4, and 5 for group A from the second counted rung on
    """

    impacts: int = MOST_IMPACTS
    days: int | None = None
    walk_min: int = MOST_WALK_MIN


def tops_bw(group: str, fall_risk: str) -> tuple[Limit, ...]:
    """Return what limits the peak force of the group; fall_risk is as it is drafted.

    An unsteady person of group A is held to the group's own limit too, where a clinic has
    tightened that one.
    """
    own = LIMITS[f"peak_bw.{group}"]
    unsteady = group == "A" and fall_risk != "low"
    return (own, LIMITS["peak_bw.A.unsteady"]) if unsteady else (own,)


def cap_bw(group: str, fall_risk: str, limits: Limits, clinic: Clinic = AS_PUBLISHED) -> float:
    """Return the greatest peak force of an impact on the whole body, in body weights.

    fall_risk   as it is drafted: anything but low holds group A to 3 BW
    """
    own = clinic.lowest(*tops_bw(group, fall_risk))
    return own if limits.impact_bw is None else min(own, limits.impact_bw)


def aimed_bw(exercise: Exercise, aim: str) -> float:
    """Return the force that the first aim reads: a leg's for the hip, else the whole body's."""
    return (exercise.leg_bw if aim == "hip" else exercise.peak_bw) or 0.0


def ladder(
    aim: str,
    cap: float,
    equipment: frozenset[str] | None = None,
    barred: frozenset[str] = frozenset(),
    changed: frozenset[str] = frozenset(),
) -> tuple[Exercise, ...]:
    """Return the counted rungs in the order in which they are climbed; none within 1.5 BW.

    The first is the one of lowest peak force; each next has the smallest peak force above the
    present one's that also raises the aimed force.

    changed   give place to others (row 29a), where one of no more force, and little less, is there
    """
    there = counted_rungs(cap, equipment, barred) if cap > WALKING_BW else ()
    others = _climbed((one for one in there if one.code not in changed), aim)
    gone = {
        one.code
        for one in there
        if one.code in changed and any(_takes_place(other, one, aim) for other in others)
    }
    return _climbed((one for one in there if one.code not in gone), aim)


def _climbed(rungs: Iterable[Exercise], aim: str) -> tuple[Exercise, ...]:
    """Return those of the rungs, by rising peak force, that also raise the aimed force."""
    found: list[Exercise] = []
    for exercise in rungs:
        if not found or aimed_bw(exercise, aim) > aimed_bw(found[-1], aim):
            found.append(exercise)
    return tuple(found)


def _takes_place(other: Exercise, one: Exercise, aim: str) -> bool:
    """Tell whether another exercise may take the place of one: no more force, and little less."""
    forces = ((other.peak_bw, one.peak_bw), (other.leg_bw, one.leg_bw))
    within = all((new or 0.0) <= (old or 0.0) for new, old in forces)
    return within and aimed_bw(other, aim) >= CHANGED_SHARE * aimed_bw(one, aim)


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What an impact ramp depends on.

    days         the days she has
    experience   none, some or regular; None where it was not recorded
    changed      exercises that give place to others in a later half year
    """

    group: str
    aim: str
    cap: float
    days: int
    experience: str | None = None
    equipment: frozenset[str] | None = frozenset()
    barred: frozenset[str] = frozenset()
    changed: frozenset[str] = frozenset()
    most: Most = Most()


def ramp(asked: Asked, places: int) -> tuple[ImpactStep, ...]:
    """Return the places of the ramp; the last dose is held to the end."""
    rungs = ladder(asked.aim, asked.cap, asked.equipment, asked.barred, asked.changed)
    found: list[ImpactStep] = []
    days = min(START_DAYS, asked.days, _most_days(asked, START_DAYS))
    first = 1 if asked.experience == "regular" and len(rungs) > 1 else 0
    for number, exercise in enumerate(rungs[first:], first):
        counts = _counts(exercise, number, asked, begun=number > first)
        room = min(asked.days, _most_days(asked, days))
        more = days + 1 if days < room and _is_felt(exercise, asked.aim) else days
        found += _on_rung(exercise, counts, days, more, asked)
        days = more
    if not rungs or not _is_felt(rungs[-1], asked.aim):
        found += _walking(asked, places)
    if not found:
        return ()
    found += [found[-1]] * (places - len(found))
    return tuple(replace(step, place=place) for place, step in enumerate(found[:places], 1))


def _is_felt(exercise: Exercise, aim: str) -> bool:
    return aimed_bw(exercise, aim) >= FELT_BW


def _most_days(asked: Asked, days: int) -> int:
    """Return the most days of a rung that begins on so many."""
    if asked.most.days is not None:
        return asked.most.days
    return MOST_DAYS_LATER if asked.group == "A" and days >= MOST_DAYS else MOST_DAYS


def _counts(exercise: Exercise, number: int, asked: Asked, *, begun: bool) -> list[int]:
    """Return the impacts of a session, place by place, until the most is reached once."""
    top = asked.most.impacts
    if number == 0 and not _is_felt(exercise, asked.aim):
        return [min(START_IMPACTS, top)] * FIRST_RUNG_WEEKS
    start = START_IMPACTS if number == 0 or (number == 1 and begun) else NEW_RUNG_IMPACTS
    pace = 2 if asked.group == "B" else 1
    climbed = [n for n in range(start, top, 10) for _ in range(pace)]
    if number == 0:
        climbed = [start] * FIRST_RUNG_WEEKS + climbed[pace:]
    return [*climbed, top]


def _on_rung(
    exercise: Exercise, counts: Sequence[int], days: int, more: int, asked: Asked
) -> list[ImpactStep]:
    """Return a rung's places: the counts, then a day more, and four weeks at least."""

    def at(impacts: int, on: int) -> ImpactStep:
        return ImpactStep(place=0, exercise=exercise, days=on, impacts=impacts, minutes=None)

    found = [at(impacts, days) for impacts in counts]
    if not _is_felt(exercise, asked.aim):
        return found
    if more > days:
        found.append(at(counts[-1], more))
    return found + [found[-1]] * (LEAST_WEEKS_ON_RUNG - len(found))


def _walking(asked: Asked, places: int) -> list[ImpactStep]:
    """Return the minutes of a walk rising by five, then a day more each week."""
    walk = walking(asked.equipment)
    if walk is None:
        return []
    top = asked.most.walk_min
    used = asked.experience in ("some", "regular")
    start = min(MOST_WALK_MIN if used else START_WALK_MIN, top)
    minutes = [*range(start, top, 5), top]
    most_days = asked.days if asked.most.days is None else min(asked.days, asked.most.days)
    days = min(WALK_DAYS, most_days)
    walked = [(each, days) for each in minutes] + [(top, n) for n in range(days + 1, most_days + 1)]
    return [
        ImpactStep(place=0, exercise=walk, days=on, impacts=None, minutes=each)
        for each, on in walked[:places]
    ]


def session_min(step: ImpactStep) -> float:
    """Return the minutes of a session: sets of ten with a minute's rest, or the walk."""
    if step.impacts is None:
        return float(step.minutes or 0)
    return counted_min(step.impacts)


def counted_min(impacts: int) -> float:
    """Return the minutes of so many impacts, in sets of ten with a minute's rest."""
    sets = math.ceil(impacts / IMPACTS_A_SET)
    return (impacts * SECONDS_AN_IMPACT + sets * REST_A_SET_S) / 60


@dataclass(frozen=True, kw_only=True)
class Index:
    """The osteogenic index of a week for the hip and the spine, each the middle of its range.

    measured   the force was measured; else the index is shown with a fifth either way
    """

    hip: float
    spine: float
    measured: bool

    def between(self, value: float) -> tuple[float, float]:
        """Return the range of one of the two."""
        return (value, value) if self.measured else (value * 0.8, value * 1.2)


def osteogenic_index(exercise: Exercise, impacts: int, sessions: int) -> Index:
    """Return the indices of a week: force x ln(contacts + 1), summed over its sessions.

    The hip reads a leg's force and contacts, the spine the whole body's. A relative planning
    number from animal work, without a validated target (Turner and Robling, Exerc Sport Sci Rev
    2003;31:45, as used in PMC2465063 and PMC3737855).
    """
    of_a_leg = impacts * exercise.contacts_of_10 / 10
    return Index(
        hip=(exercise.leg_bw or 0.0) * math.log(of_a_leg + 1) * sessions,
        spine=(exercise.peak_bw or 0.0) * math.log(impacts + 1) * sessions,
        measured=exercise.force_measured,
    )
