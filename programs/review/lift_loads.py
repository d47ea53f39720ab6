"""The loads of single lifts at a restart: none above what was done, one up where the log says so.

Rows 26 and 26a: each lift has its own load, or its own repetitions where it has none, whatever a
newer set to fatigue or a newer chair stand test would give.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from programs.dose.could_lift import down_to_step
from programs.draft.resume import Resume
from programs.exercises import EXERCISES
from programs.review.adherence import LiftedSet, Session
from programs.week.week import LiftDose, ResistanceWeek
from safety.findings import Modality

#: A step of load is at most this much of the load before, percent.
STEP_PERCENT = 10
#: Repetitions left above plan, in the last set of so many sessions running.
LEFT_ABOVE, SESSIONS_RUNNING = 2, 2


def step_up(kg: float, step_kg: float) -> float:
    """Return a load one step up: 10 % at most, or the equipment's smallest step where more."""
    return max(down_to_step(kg * (1 + STEP_PERCENT / 100), step_kg), round(kg + step_kg, 6))


def lift_of(exercise: str) -> str:
    """Return the lift whose maximum sets the load of an exercise; itself where there is none."""
    known = EXERCISES.get(exercise)
    return (known.lift if known else None) or exercise


def rising(done: ResistanceWeek, entries: Sequence[Session]) -> frozenset[str]:
    """Return the exercises that the log lets go up, by two or more left above plan.

    entries   of lifting, oldest first
    Groups A and B only (row 26a).
    """
    if done.group == "C" or done.reps_in_reserve is None:
        return frozenset()
    plan = done.reps_in_reserve
    loaded = [one for one in done.exercises if one.load_kg is not None]
    trained = [one for one in entries if one.trained][-SESSIONS_RUNNING:]
    return frozenset(one.exercise for one in loaded if _left_over(one, trained, plan))


def _left_over(lift: LiftDose, trained: Sequence[Session], plan: int) -> bool:
    last = [_last_set(lift.exercise, one.sets) for one in trained]
    left = [one.left for one in last if one is not None and one.left is not None]
    return len(left) == SESSIONS_RUNNING and min(left) >= plan + LEFT_ABOVE


def _last_set(exercise: str, sets: Iterable[LiftedSet]) -> LiftedSet | None:
    names = {exercise, lift_of(exercise)}
    return next((one for one in reversed(tuple(sets)) if one.lift in names), None)


def kg_done(lift: LiftDose, entries: Sequence[Session]) -> float | None:
    """Return the load last done: as signed, or the lighter one that was written down."""
    sets = (_last_set(lift.exercise, one.sets) for one in reversed(entries) if one.trained)
    logged = next((one.kg for one in sets if one is not None and one.kg is not None), None)
    if lift.load_kg is None or logged is None:
        return lift.load_kg
    return min(lift.load_kg, logged)


def maxima(
    new: ResistanceWeek, allowed: Mapping[str, float], raised: frozenset[str]
) -> dict[str, float]:
    """Return, by lift, the 1RM that keeps each load of a week within what is allowed.

    allowed   kg by exercise; raised: those that go up to it even if they were lighter
    """
    found: dict[str, float] = {}
    for one in new.exercises:
        most = allowed.get(one.exercise)
        if one.load_kg is None or most is None or new.percent_1rm is None:
            continue
        if one.load_kg > most or one.exercise in raised:
            lift = lift_of(one.exercise)
            asked = 100 * most / new.percent_1rm
            found[lift] = min(asked, found.get(lift, asked))
    return found


def maxima_done(done: ResistanceWeek, entries: Sequence[Session]) -> dict[str, float]:
    """Return, by lift, the 1RM that what was lifted comes to (row 29a)."""
    found: dict[str, float] = {}
    for one in done.exercises:
        kg = kg_done(one, entries)
        if kg is not None and done.percent_1rm is not None:
            lift = lift_of(one.exercise)
            held = 100 * kg / done.percent_1rm
            found[lift] = min(held, found.get(lift, held))
    return found


def own_starts(new: ResistanceWeek, most: Mapping[str, int], resume: Resume) -> dict[str, int]:
    """Return the repetitions of place 1 that keep an exercise without a load within the most.

    resume   where the week takes up
    """
    from_start = {
        one.exercise: most[one.exercise]
        for one in new.exercises
        if one.reps is not None and one.reps > most.get(one.exercise, one.reps)
    }
    # One comes on every second place (row 19c).
    more = resume.done(Modality.RESISTANCE) // 2
    return {code: reps - more for code, reps in from_start.items()}
