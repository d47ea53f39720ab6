"""Whether one dose asks more than another, in any variable (rulebook row 26's invariant)."""

from __future__ import annotations

from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
)

#: Loads and the repetitions of an exercise without a load are bounded lift by lift, not here.
_PLATE = ("frequency_hz", "displacement_mm", "peak_g", "bouts", "bout_s", "vibration_min")


def heavier(new: Part, done: Part) -> bool:
    """Tell whether a dose is above another of its modality in any variable.

    Repetitions count within one load; impacts and minutes of walking within one rung. How many
    days a week is no variable.
    """
    match new, done:
        case PlateWeek(), PlateWeek():
            return _more(new, done, *_PLATE)
        case ResistanceWeek(), ResistanceWeek():
            return _heavier_lifting(new, done)
        case ImpactWeek(), ImpactWeek():
            return _heavier_impact(new, done)
        case BalanceWeek(), BalanceWeek():
            return new.minutes > done.minutes or (new.rung or 0) > (done.rung or 0)
        case PostureWeek(), PostureWeek():
            return _longer(new, done) or _more(new, done, "hold_s", "reps")
        case _:
            raise TypeError(f"{new} and {done} are of two modalities")


def _more(new: Part, done: Part, *names: str) -> bool:
    """Tell of any of these that is more; one that an older format did not say tells nothing."""
    both = ((getattr(new, name), getattr(done, name)) for name in names)
    return any(now is not None and was is not None and now > was for now, was in both)


def _heavier_lifting(new: ResistanceWeek, done: ResistanceWeek) -> bool:
    if new.sets > done.sets:
        return True
    if new.percent_1rm is None or done.percent_1rm is None:
        return False
    if new.percent_1rm == done.percent_1rm:
        return new.reps > done.reps
    return new.percent_1rm > done.percent_1rm


def _heavier_impact(new: ImpactWeek, done: ImpactWeek) -> bool:
    if new.exercises == done.exercises:
        return _more(new, done, "impacts", "minutes")
    if new.impacts is None:
        return False
    return _more(new, done, "peak_bw", "leg_bw")


def _longer(new: PostureWeek, done: PostureWeek) -> bool:
    """Tell of more minutes a day, or of the loaded back extension that comes in."""
    loaded = _LOADED in new.exercises and _LOADED not in done.exercises
    return loaded or new.minutes / new.sessions > done.minutes / done.sessions


_LOADED = "loaded_prone_lift"
