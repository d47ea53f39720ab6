"""Where the next program takes up each modality after a review."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from programs.adherence import Planned
from programs.course import Resume
from programs.review import Next
from programs.week import Week
from safety.findings import LOADED, Modality

#: Weeks of a ramp that a step takes where the step lies before this program and is not seen.
STEP_WEEKS = 2
#: What makes a dose; the rest of a week follows from it, or from the room in her days.
_DOSE = {
    Modality.PLATE: ("frequency_hz", "displacement_mm", "bouts", "bout_s", "vibration_min"),
    Modality.RESISTANCE: ("sets", "reps", "percent_1rm"),
    Modality.IMPACT: ("sessions", "impacts", "minutes", "exercises"),
    Modality.BALANCE: ("minutes", "rung"),
}
_STEPS_BACK = {Next.BACK_ONE: 1, Next.BACK_TWO: 2}


def resume_of(
    decided: Mapping[Modality, Next],
    planned: Planned,
    full_weeks: int,
    before: Resume,
    lifted: Iterable[str] = (),
) -> Resume:
    """Return where the next program takes up.

    decided      what comes next of each modality; one that is not named starts at its start
    full_weeks   weeks of the signed program that are over
    before       where the signed program itself took up: what was done then counts on
    """
    done = {
        modality: _done(chosen, planned, modality, full_weeks, before.done(modality))
        for modality, chosen in decided.items()
    }
    return Resume(done_weeks=done, lifted=frozenset(lifted))


def _done(chosen: Next, planned: Planned, modality: Modality, full: int, before: int) -> int:
    if chosen in (Next.START_AGAIN, Next.STOP):
        return 0
    if chosen is Next.ADVANCE:
        return before + full
    if chosen in _STEPS_BACK:
        return _stepped_back(planned, modality, full, before, _STEPS_BACK[chosen])
    return before + max(0, full - 1)


def _stepped_back(planned: Planned, modality: Modality, full: int, before: int, steps: int) -> int:
    """Go back to the first week of the step before, or of the one before that.

    A step is a run of weeks of one dose. Where this program has no earlier one, the ramp
    before it gives so many weeks for each.
    """
    starts = _step_starts(planned, modality, max(1, full))
    if steps < len(starts):
        return before + starts[-1 - steps] - 1
    unseen = steps - (len(starts) - 1)
    return max(0, before - STEP_WEEKS * unseen)


def _step_starts(planned: Planned, modality: Modality, until: int) -> list[int]:
    """Return the first week of each step of the signed weeks up to one of them."""
    doses = [_dose_of(planned.dose(week, modality), modality) for week in range(1, until + 1)]
    return [n for n, dose in enumerate(doses, 1) if n == 1 or dose != doses[n - 2]]


def _dose_of(week: Mapping[str, Any] | None, modality: Modality) -> tuple[Any, ...] | None:
    if week is None:
        return None
    if modality is Modality.POSTURE:
        return (week["minutes"] / week["sessions"],)
    return tuple(_plain(week[name]) for name in _DOSE[modality])


def _plain(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


# --- Never above what was signed ----------------------------------------------------------


def within_signed(
    drafted: Callable[[Resume], tuple[Week, ...]],
    resume: Resume,
    planned: Planned,
    before: Resume,
) -> Resume:
    """Return the resume with which no loaded modality starts above its signed dose.

    drafted   gives the weeks of the draft that takes up there

    A ramp that waited for room, a change made before signing, a lifted cap or new facts
    would else let the first week jump. Such a modality takes up so many weeks earlier.
    """
    for modality in LOADED:
        signed = _signed_dose(planned, modality, resume.done(modality) - before.done(modality))
        while resume.done(modality) and _above(drafted(resume), signed, modality):
            resume = _earlier(resume, modality)
    return resume


def _signed_dose(planned: Planned, modality: Modality, done: int) -> Mapping[str, Any] | None:
    """Return the signed dose of the week that is taken up, or the last before it."""
    until = min(max(1, done + 1), len(planned.weeks))
    doses = (planned.dose(week, modality) for week in range(until, 0, -1))
    return next((dose for dose in doses if dose), None)


def _above(weeks: tuple[Week, ...], signed: Mapping[str, Any] | None, modality: Modality) -> bool:
    new = getattr(weeks[0], modality) if weeks else None
    if new is None:
        return False
    return signed is None or _HEAVIER[modality](vars(new), signed)


def _heavier_plate(new: Mapping[str, Any], signed: Mapping[str, Any]) -> bool:
    names = ("frequency_hz", "displacement_mm", "peak_g", "vibration_min")
    return any((new[name] or 0) > (signed[name] or 0) for name in names)


def _heavier_lifting(new: Mapping[str, Any], signed: Mapping[str, Any]) -> bool:
    if new["percent_1rm"] == signed["percent_1rm"]:
        return bool(new["sets"] * new["reps"] > signed["sets"] * signed["reps"])
    return bool(new["percent_1rm"] > signed["percent_1rm"] or new["sets"] > signed["sets"])


def _heavier_impact(new: Mapping[str, Any], signed: Mapping[str, Any]) -> bool:
    if new["peak_bw"] != signed["peak_bw"]:
        return bool(new["peak_bw"] > signed["peak_bw"])
    names = ("impacts", "minutes")
    return any((new[name] or 0) > (signed[name] or 0) for name in names)


_HEAVIER = {
    Modality.PLATE: _heavier_plate,
    Modality.RESISTANCE: _heavier_lifting,
    Modality.IMPACT: _heavier_impact,
}


def _earlier(resume: Resume, modality: Modality) -> Resume:
    weeks = {**resume.done_weeks, modality: resume.done(modality) - 1}
    return replace(resume, done_weeks=weeks)
