"""A clinician's changes to the drafted weeks. What is derived follows what is changed."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from programs.dose import impact, resistance
from programs.dose.could_lift import EQUATION_REPS, MOST, Effort
from programs.dose.plate_settings import (
    LOW_MAGNITUDE,
    Travel,
    fixed_peak_g,
    panel_hz,
    setting,
    travels,
)
from programs.dose.plate_start import reading
from programs.dose.vibration import Vibration, exposure
from programs.draft import person
from programs.edit.base_draft import Basis
from programs.exercises import BALANCE_RUNGS, EXERCISES, Exercise
from programs.week.minutes import week_min
from programs.week.week import (
    BalanceWeek,
    ImpactIndex,
    ImpactWeek,
    LiftDose,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Week,
    part_of,
)
from safety.findings import WALKING_BW, Modality

Weeks = tuple[Week, ...]
EXERCISES_OF = "exercises"
COULD_LIFT = (EQUATION_REPS[0], MOST)


@dataclass(frozen=True, kw_only=True)
class Field:
    """A number of a modality that may be changed, and the values it can believably have."""

    name: str
    label: str
    unit: str
    low: float
    high: float
    whole: bool = True


def _field(
    name: str, label: str, unit: str, low: float, high: float, *, whole: bool = True
) -> Field:
    return Field(name=name, label=label, unit=unit, low=low, high=high, whole=whole)


_SESSIONS = _field("sessions", "Sessions", "a week", 1, 7)
FIELDS: Mapping[Modality, tuple[Field, ...]] = {
    Modality.PLATE: (
        _SESSIONS,
        _field("frequency_hz", "Frequency", "Hz", 1, 120, whole=False),
        _field("displacement_mm", "Displacement", "mm peak to peak", 0.01, 80, whole=False),
        _field("bouts", "Bouts", "a session", 1, 30),
        _field("bout_s", "Each bout", "s", 5, 600),
        _field("rest_s", "Rest between bouts", "s", 0, 600),
        _field("vibration_min", "Vibration", "min a session", 1, 60, whole=False),
    ),
    Modality.RESISTANCE: (
        _SESSIONS,
        _field("sets", "Sets", "an exercise", 1, 10),
        _field("reps", "Repetitions", "a set", 3, 30),
        _field("could_lift", "Weight that could be lifted", "times", *COULD_LIFT),
    ),
    Modality.IMPACT: (
        _SESSIONS,
        _field("impacts", "Impacts", "a session", 1, 500),
        _field("minutes", "Walking", "min a session", 1, 120),
    ),
    Modality.BALANCE: (
        _SESSIONS,
        _field("minutes", "Minutes", "a week", 1, 600),
        _field("rung", "Level of the ladder", f"of {BALANCE_RUNGS}", 1, BALANCE_RUNGS),
    ),
    Modality.POSTURE: (_SESSIONS, _field("minutes", "Minutes", "a week", 1, 300)),
}


@dataclass(frozen=True, kw_only=True)
class Edit:
    """One change over some weeks, both included.

    path   "plate.frequency_hz" with the new value; "resistance.exercises" with the codes of
           the old and the new exercise; "plate" with False to leave it out, True to take it
           back in, over all weeks
    """

    path: str
    new: Any
    week_from: int
    week_to: int
    old: Any = None

    @property
    def modality(self) -> Modality:
        """Return the modality. Raises ValueError where the path names none."""
        return Modality(self.path.split(".")[0])

    @property
    def name(self) -> str:
        """Return the field of the modality, or nothing where it is about the whole of it."""
        return self.path.partition(".")[2]

    def covers(self, week: int) -> bool:
        """Tell whether the change is about this week."""
        return self.week_from <= week <= self.week_to


def fields_in(weeks: Iterable[Week], modality: Modality) -> tuple[Field, ...]:
    """Return the numbers of a modality that these weeks hold."""
    parts = [part for week in weeks if (part := part_of(week, modality)) is not None]
    return tuple(
        field
        for field in FIELDS[modality]
        if any(getattr(part, field.name) is not None for part in parts)
        and (field.name != "vibration_min" or _runs_on(parts))
    )


def _runs_on(parts: Sequence[Part]) -> bool:
    """Tell whether the plate runs without bouts, so that its minutes are a dose of their own."""
    return all(isinstance(part, PlateWeek) and part.bouts is None for part in parts)


def replay(proposed: Weeks, edits: Iterable[Edit], basis: Basis) -> Weeks:
    """Return the weeks as proposed with all changes made, in their order.

    What is left out is taken away last, so that it comes back as it had been changed.
    """
    made = tuple(edits)
    weeks = proposed
    for edit in made:
        if edit.name:
            weeks = apply(weeks, edit, basis)
    for modality in left_out(made):
        weeks = tuple(_without(week, modality) for week in weeks)
    return weeks


def left_out(edits: Iterable[Edit]) -> tuple[Modality, ...]:
    """Return the modalities that the changes, the last one deciding, leave out."""
    last = {edit.modality: edit.new for edit in edits if not edit.name}
    return tuple(m for m in Modality if last.get(m) is False)


def _without(week: Week, modality: Modality) -> Week:
    if part_of(week, modality) is None:
        return week
    nothing: dict[str, Any] = {str(modality): None}
    without = replace(week, **nothing)
    return replace(without, minutes=week_min(without))


def apply(weeks: Weeks, edit: Edit, basis: Basis) -> Weeks:
    """Return the weeks with one number or exercise changed and all that derives from it.

    Weeks without the modality, and a value that is there already, stay as they are.
    """
    return tuple(_changed(week, edit, basis) if edit.covers(week.week) else week for week in weeks)


def _changed(week: Week, edit: Edit, basis: Basis) -> Week:
    part = part_of(week, edit.modality)
    if part is None:
        return week
    changed = _CHANGES[type(part)](part, edit, basis)
    if changed == part:
        return week
    after = replace(week, **{str(edit.modality): changed})
    return replace(after, minutes=week_min(after))


def value_in(week: Week, edit: Edit) -> Any:
    """Return what the week holds now of what the change is about; None where nothing."""
    part = part_of(week, edit.modality)
    if not edit.name:
        return part is not None
    if edit.name == EXERCISES_OF:
        return edit.old
    return None if part is None else getattr(part, edit.name)


# --- Each modality: the change, and what follows from it ----------------------------------


def _plate(part: PlateWeek, edit: Edit, basis: Basis) -> PlateWeek:
    changed = replace(part, **{edit.name: edit.new})
    if edit.name == "displacement_mm":
        changed = replace(changed, setting=_panel(edit.new, basis))
    if edit.name == "frequency_hz":
        changed = replace(changed, panel_hz=panel_hz(basis.plate, edit.new))
    if changed.bouts is not None and changed.bout_s is not None:
        changed = replace(changed, vibration_min=round(changed.bouts * changed.bout_s / 60, 2))
    motion, peak = _motion(changed, basis)
    seconds = _vibration_s(changed)
    dose = exposure(motion, seconds=seconds)
    return replace(
        changed,
        peak_g=round(peak, 2),
        a8_m_s2=round(dose.a8_m_s2, 2),
        vdv_m_s175=round(dose.vdv_m_s175, 1),
    )


def _vibration_s(part: PlateWeek) -> float:
    if part.bouts is None or part.bout_s is None:
        return part.vibration_min * 60
    return part.bouts * part.bout_s


def _motion(part: PlateWeek, basis: Basis) -> tuple[Vibration, float]:
    """Return the motion of a week on the plate and its peak in g."""
    hz = part.frequency_hz
    if part.displacement_mm is None:
        peak = fixed_peak_g(basis.plate) or part.peak_g
        return Vibration.of_g(hz, peak, reads_as="peak"), peak
    at = setting(hz, Travel(mm=part.displacement_mm, panel=part.setting))
    motion = Vibration.shown(hz, part.displacement_mm, reads_as="peak_to_peak")
    return motion, at.peak_g


def _panel(mm: float, basis: Basis) -> float | None:
    """Return what the plate's panel shows for a displacement; None where it shows nothing."""
    return next((t.panel for t in plate_travels(basis) if math.isclose(t.mm, mm)), None)


def plate_travels(basis: Basis) -> tuple[Travel, ...]:
    """Return the displacements of her plate; none on a low-magnitude plate."""
    plate = basis.plate
    return () if plate.motion == LOW_MAGNITUDE else travels(plate, reading(plate))


def _lifting(part: ResistanceWeek, edit: Edit, basis: Basis) -> ResistanceWeek:
    if edit.name == EXERCISES_OF:
        codes = _swapped([one.exercise for one in part.exercises], edit)
        changed = part
    else:
        codes = tuple(one.exercise for one in part.exercises)
        changed = replace(part, **{edit.name: edit.new})
    drafted = {one.exercise: one for one in part.exercises}
    lifts = tuple(_lift(code, drafted.get(code), changed, basis) for code in codes)
    return _with_effort(replace(changed, exercises=lifts))


def _lift(code: str, was: LiftDose | None, part: ResistanceWeek, basis: Basis) -> LiftDose:
    """Return an exercise with its load; one without a load keeps its own repetitions."""
    exercise = EXERCISES[code]
    if not exercise.loadable:
        own = was.reps if was else _first_reps(code, part, basis)
        return LiftDose(exercise=code, load_kg=None, reps=own)
    return LiftDose(exercise=code, load_kg=load_of(code, part.reps, part.could_lift, basis))


def _first_reps(code: str, part: ResistanceWeek, basis: Basis) -> int:
    stands = basis.made.screen.situation.tests.read.chair_stands_30s
    return resistance.own_start(code, part.group, stands)


def _with_effort(part: ResistanceWeek) -> ResistanceWeek:
    """Return a week whose percent and reserve follow from could-lift (rulebook row 19a)."""
    if part.could_lift is None or not any(EXERCISES[o.exercise].loadable for o in part.exercises):
        return replace(part, could_lift=None, percent_1rm=None, reps_in_reserve=None)
    effort = Effort(reps=part.reps, could_lift=part.could_lift)
    return replace(part, percent_1rm=effort.percent_1rm, reps_in_reserve=effort.reps_in_reserve)


def load_of(code: str, reps: int, could_lift: int | None, basis: Basis) -> float | None:
    """Return the load of an exercise in kg; None where its one-repetition maximum is unknown."""
    one_rm = person.one_rms(basis.made.screen).get(EXERCISES[code].lift or code)
    if one_rm is None or could_lift is None:
        return None
    effort = Effort(reps=reps, could_lift=could_lift)
    return effort.load_kg(one_rm, basis.resources.load_step_kg or 1.0)


def _swapped(codes: Iterable[str], edit: Edit) -> tuple[str, ...]:
    return tuple(edit.new if code == edit.old else code for code in codes)


def _impact(part: ImpactWeek, edit: Edit, basis: Basis) -> ImpactWeek:
    if edit.name == EXERCISES_OF:
        changed = _as_counted(replace(part, exercises=_swapped(part.exercises, edit)))
    else:
        changed = replace(part, **{edit.name: edit.new})
    if changed.impacts is None:
        return replace(changed, osteogenic_index=None)
    index = impact.osteogenic_index(_hardest(changed), changed.impacts, changed.sessions)
    told = ImpactIndex(hip=round(index.hip, 1), spine=round(index.spine, 1))
    return replace(changed, osteogenic_index=told)


def _as_counted(part: ImpactWeek) -> ImpactWeek:
    """Return a week with the force of its exercise; impacts or minutes start low where new."""
    hardest = _hardest(part)
    forced = replace(part, peak_bw=hardest.peak_bw or WALKING_BW, leg_bw=hardest.leg_bw)
    if hardest.counted:
        return replace(forced, impacts=part.impacts or impact.START_IMPACTS, minutes=None)
    return replace(forced, impacts=None, minutes=part.minutes or impact.START_WALK_MIN)


def _hardest(part: ImpactWeek) -> Exercise:
    return max((EXERCISES[code] for code in part.exercises), key=lambda one: one.peak_bw or 0.0)


def _balance(part: BalanceWeek, edit: Edit, basis: Basis) -> BalanceWeek:
    if edit.name == EXERCISES_OF:
        return replace(part, exercises=_swapped(part.exercises, edit))
    changed = replace(part, **{edit.name: edit.new})
    if changed.rung == part.rung:
        return changed
    found = person.balance_exercises(basis.made.screen, changed.rung)
    return replace(changed, exercises=tuple(exercise.code for exercise in found))


def _posture(part: PostureWeek, edit: Edit, basis: Basis) -> PostureWeek:
    if edit.name == EXERCISES_OF:
        return replace(part, exercises=_swapped(part.exercises, edit))
    changed = replace(part, **{edit.name: edit.new})
    if edit.name == "sessions":
        # Her minutes a day stay; a session less takes its minutes with it.
        changed = replace(changed, minutes=round(part.minutes / part.sessions * edit.new))
    return changed


_CHANGES: Mapping[type[Any], Callable[[Any, Edit, Basis], Any]] = {
    PlateWeek: _plate,
    ResistanceWeek: _lifting,
    ImpactWeek: _impact,
    BalanceWeek: _balance,
    PostureWeek: _posture,
}
