"""A plan in words for the clinician: doses, runs of equal weeks, changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from patients.facts.codes import DAYS
from programs.edit.changes import EXERCISES_OF, FIELDS, Edit, value_in
from programs.exercises import EXERCISES
from programs.week.document import posture_words
from programs.week.minutes import session_min
from programs.week.one_line import (
    NEAR_SUPPORT,
    band_words,
    hold_words,
    hz_read,
    impact_words,
    is_about,
    sets_words,
)
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Week,
    part_of,
)
from safety.findings import Modality
from safety.modalities import MODALITIES


@dataclass(frozen=True, kw_only=True)
class Run:
    """Weeks that follow each other and hold the same of one modality.

    dose      in words; nothing where the modality is not in these weeks
    more      what else is told of it: holds, support, the planning index
    drafted   the dose as proposed, where it differs; "not there" where it was not
    """

    first: int
    last: int
    sessions: int
    dose: str
    more: str
    strength: str
    minutes: float
    drafted: str

    @property
    def weeks(self) -> str:
        """Return "3" or "3 to 4"."""
        return weeks_words(self.first, self.last)


def weeks_words(first: int, last: int) -> str:
    """Return one number, or two with "to" between."""
    return f"{first}" if first == last else f"{first} to {last}"


def runs(weeks: Sequence[Week], proposed: Sequence[Week], modality: Modality) -> tuple[Run, ...]:
    """Return the weeks of a modality, those that are alike in one row.

    What does not change her session (who watches, the exposure figures) makes no new row.
    """
    pairs = [
        (now.week, part_of(now, modality), part_of(was, modality))
        for now, was in zip(weeks, proposed, strict=True)
    ]
    found = []
    for _, same in groupby(pairs, key=lambda pair: (_seen(pair[1]), _seen(pair[2]))):
        rows = list(same)
        found.append(_run(rows[0][0], rows[-1][0], rows[0][1], rows[0][2]))
    return tuple(found)


def _seen(part: Part | None) -> tuple[Any, ...]:
    if part is None:
        return ()
    return part.sessions, dose_words(part), strength_words(part), more_words(part)


def _run(first: int, last: int, part: Part | None, was: Part | None) -> Run:
    return Run(
        first=first,
        last=last,
        sessions=part.sessions if part else 0,
        dose=dose_words(part) if part else "",
        more=more_words(part) if part else "",
        strength=strength_words(part) if part else "",
        minutes=round(session_min(part), 1) if part else 0,
        drafted="" if _seen(part) == _seen(was) else _was_words(was),
    )


def _was_words(was: Part | None) -> str:
    return _sessions_words(was) if was else "not there"


def _sessions_words(part: Part) -> str:
    told = (f"{part.sessions} a week", dose_words(part), more_words(part))
    return ", ".join(filter(None, told))


def strength_words(part: Part) -> str:
    """Return the number that says how strong the dose is."""
    match part:
        case PlateWeek():
            return f"{part.peak_g:.2f}"
        case ResistanceWeek():
            return "" if part.percent_1rm is None else f"{_about(part)}{part.percent_1rm:g}"
        case ImpactWeek():
            return f"{_about(part)}{part.peak_bw:g}"
        case BalanceWeek():
            return "sitting" if part.rung is None else f"{part.rung}"
        case _:
            return ""


def _about(part: ResistanceWeek | ImpactWeek) -> str:
    """Return "about" where no equation holds, or nobody measured the force."""
    return "about " if is_about(part) else ""


def more_words(part: Part) -> str:
    """Return what is told of a dose beside it; empty where nothing is."""
    match part:
        case ResistanceWeek(could_lift=int(could_lift)):
            return band_words(could_lift)
        case ImpactWeek():
            return impact_words(part)
        case BalanceWeek(near_support=True):
            return NEAR_SUPPORT
        case PostureWeek():
            return hold_words(part)
        case _:
            return ""


def dose_words(part: Part) -> str:
    """Return the dose in words: of a session, or of the week where that is how it is dosed."""
    match part:
        case PlateWeek(bouts=None):
            return f"{hz_read(part)} without a break for {part.vibration_min:g} min"
        case PlateWeek():
            panel = "" if part.setting is None else f" (panel {part.setting:g})"
            return (
                f"{hz_read(part)}, {part.displacement_mm:.2g} mm{panel}, "
                f"{part.bouts} × {part.bout_s} s, {part.rest_s} s rest"
            )
        case ResistanceWeek():
            return f"{sets_words(part)}{_loads(part)}"
        case ImpactWeek(impacts=None):
            return f"{part.minutes} min of {_names(part.exercises)}"
        case ImpactWeek():
            return f"{part.impacts} × {_names(part.exercises)}"
        case _:
            return f"{part.minutes} min a week"


def _loads(part: ResistanceWeek) -> str:
    """Return the load of each exercise that has one, and the repetitions of those without."""
    known = [
        f"{exercise_name(one.exercise).lower()} {one.load_kg:g} kg"
        for one in part.exercises
        if one.load_kg is not None
    ]
    own = [
        f"{exercise_name(one.exercise).lower()} {one.reps} times"
        for one in part.exercises
        if one.reps is not None
    ]
    return f"; {', '.join((*known, *own))}" if known or own else ""


def _names(codes: Iterable[str]) -> str:
    return ", ".join(exercise_name(code).lower() for code in codes)


def exercise_name(code: Any) -> str:
    """Return the name of an exercise; its code where the catalogue no longer has it."""
    return EXERCISES[code].name if code in EXERCISES else str(code)


@dataclass(frozen=True, kw_only=True)
class Listed:
    """The exercises of a modality in weeks that follow each other; of a plate how to stand.

    was   those as proposed, where they differ
    """

    first: int
    last: int
    names: tuple[str, ...]
    was: tuple[str, ...]

    @property
    def weeks(self) -> str:
        """Return "3" or "3 to 4"."""
        return weeks_words(self.first, self.last)


def exercises(
    weeks: Sequence[Week], proposed: Sequence[Week], modality: Modality
) -> tuple[Listed, ...]:
    """Return the exercises of a modality, week for week; none for impact, whose dose names them."""
    pairs = [
        (now.week, _listed(part_of(now, modality)), _listed(part_of(was, modality)))
        for now, was in zip(weeks, proposed, strict=True)
    ]
    found = []
    for (names, was), same in groupby(pairs, key=lambda pair: pair[1:]):
        numbers = [number for number, *_ in same]
        if names:
            before = () if was == names else was
            found.append(Listed(first=numbers[0], last=numbers[-1], names=names, was=before))
    return tuple(found)


def _listed(part: Part | None) -> tuple[str, ...]:
    if isinstance(part, PlateWeek):
        return (posture_words(part.posture),)
    return tuple(exercise_name(code) for code in _codes(part))


def _codes(part: Part | None) -> tuple[str, ...]:
    match part:
        case ResistanceWeek():
            return tuple(one.exercise for one in part.exercises)
        case BalanceWeek() | PostureWeek():
            return part.exercises
        case _:
            return ()


def change_words(edit: Edit) -> str:
    """Return a change in words: "Frequency, Hz: 25 to 30"."""
    if not edit.name:
        return "left out" if edit.new is False else "taken back in"
    if edit.name == EXERCISES_OF:
        return f"{exercise_name(edit.old)}: now {exercise_name(edit.new).lower()}"
    field = next(f for f in FIELDS[edit.modality] if f.name == edit.name)
    return f"{field.label}: {_value(edit.old)}, now {_value(edit.new)} {field.unit}"


def _value(value: Any) -> str:
    """Return one number, or the least and the greatest of several."""
    if not isinstance(value, list):
        return f"{value:g}"
    low, high = min(value), max(value)
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


@dataclass(frozen=True, kw_only=True)
class Beside:
    """A change that was typed, beside what stands in its weeks now."""

    what: str
    weeks: str
    now: str
    wanted: str


def beside(edit: Edit, weeks: Sequence[Week]) -> Beside:
    """Return a typed change of a number or an exercise beside what stands."""
    span = weeks_words(edit.week_from, edit.week_to)
    covered = [week for week in weeks if edit.covers(week.week)]
    if edit.name == EXERCISES_OF:
        held = {code for week in covered for code in _codes(part_of(week, edit.modality))}
        now = ", ".join(sorted(exercise_name(code) for code in held))
        return Beside(what="Exercise", weeks=span, now=now, wanted=change_words(edit))
    field = next(f for f in FIELDS[edit.modality] if f.name == edit.name)
    values = [value for week in covered if (value := value_in(week, edit)) is not None]
    now = _value(values) if values else "not there"
    return Beside(what=field.label, weeks=span, now=now, wanted=f"{edit.new:g} {field.unit}")


def in_a_week(week: Week, modality: Modality) -> str:
    """Return what a week holds of a modality, its sessions before the dose; nothing where none."""
    part = part_of(week, modality)
    return _sessions_words(part) if part else ""


@dataclass(frozen=True, kw_only=True)
class WholeBeside:
    """One week across all modalities, as it is and as it would be.

    rows      each modality's name, what the week holds of it now, and what it would hold
    minutes   of the whole week, now and then
    """

    number: int
    rows: tuple[tuple[str, str, str], ...]
    minutes: tuple[float, float]


def first_changed(now: Sequence[Week], then: Sequence[Week]) -> WholeBeside | None:
    """Return the first week that would be another one, or None where none would."""
    for old, new in zip(now, then, strict=True):
        if old != new:
            rows = tuple(
                (MODALITIES[m].name, in_a_week(old, m), in_a_week(new, m)) for m in Modality
            )
            return WholeBeside(number=old.week, rows=rows, minutes=(old.minutes, new.minutes))
    return None


def week_starts(starts_on: dt.date, week: int) -> dt.date:
    """Return the first day of a week of the program, the first being week 1."""
    return starts_on + dt.timedelta(weeks=week - 1)


def days_in_words(timetable: Mapping[str, Sequence[str]]) -> tuple[tuple[str, str], ...]:
    """Return each day with what is on it."""
    return tuple(
        (DAYS[day], ", ".join(MODALITIES[Modality(m)].name.lower() for m in held))
        for day, held in timetable.items()
    )
