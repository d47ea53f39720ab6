"""What of a next draft lies above what was last done, looked at apart from the review."""

from __future__ import annotations

from programs.review.next_steps import Next
from programs.review.proposing import Review
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
)
from safety.findings import Modality


def variables(part: Part) -> dict[str, float | None]:
    """Return the variables of row 26, named so that only what compares is compared."""
    match part:
        case PlateWeek():
            names = ("frequency_hz", "displacement_mm", "peak_g", "bouts", "bout_s")
            return {name: getattr(part, name) for name in names} | {"min": part.vibration_min}
        case ResistanceWeek():
            loads = {f"kg {one.exercise}": one.load_kg for one in part.exercises}
            own = {f"reps {one.exercise}": one.reps for one in part.exercises}
            # Without a load each exercise carries its own repetitions (row 19c).
            load = part.percent_1rm
            reps = {f"reps at {load}": part.reps if load else None}
            return {"sets": part.sets, "percent": load, **loads, **own, **reps}
        case ImpactWeek() if part.impacts is None:
            return {"walking": part.minutes}
        case ImpactWeek():
            forces = {"peak": part.peak_bw, "leg": part.leg_bw}
            return {**forces, f"impacts of {part.exercises}": part.impacts}
        case BalanceWeek():
            return {"minutes": part.minutes, "rung": part.rung}
        case PostureWeek():
            a_day = part.minutes / part.sessions
            return {"minutes a day": a_day, "hold_s": part.hold_s, "reps": part.reps}


def risen(new: Part, done: Part) -> list[str]:
    before, now = variables(done), variables(new)
    both = {name: (now[name], before[name]) for name in now if name in before}
    return [n for n, (a, b) in both.items() if a is not None and b is not None and a > b + 1e-6]


def above_done(review: Review, m: Modality, place: int, new: Part, done: Part | None) -> list[str]:
    """Return the variables that restart above what may be."""
    if done is None or place == 1:
        return []
    if review.proposed[m] is not Next.ADVANCE:
        return risen(new, done)
    reached = review.ledger.reached(m)
    assert place <= reached + 1
    further = review.held.part_at(m, reached + 1)
    if further is None:
        # The signed ramp has no next place, so nothing may rise at all.
        return risen(new, done)
    loads = {name for name in variables(new) if name.startswith("kg ")}
    steep = [n for n in risen(new, done) if n in loads and not _a_step(new, done, n)]
    return steep + [n for n in risen(new, further) if n not in (*loads, "minutes", "minutes a day")]


def _a_step(new: Part, done: Part, name: str) -> bool:
    """Tell whether a load rose by 10 % at most, or by the smallest step of 1 kg."""
    before, now = variables(done)[name], variables(new)[name]
    assert before is not None
    assert now is not None
    return now <= max(before * 1.1, before + 1) + 1e-6
