"""Whether a clinician's changes may stand: every limit they pass, and what a reason may take."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from programs.dose import plate_edit
from programs.dose.limit import Breach
from programs.dose.plate import ramp
from programs.dose.plate_limits import DELOAD_WEEKS
from programs.draft import person
from programs.edit.base_draft import Basis
from programs.edit.breaches import breaches_of
from programs.edit.changes import EXERCISES_OF, FIELDS, Edit, Weeks, left_out, replay
from programs.edit.place_on_days import days_of, minutes_on
from programs.exercises import Exercise, possible
from programs.week.week import ImpactWeek, PlateWeek, ResistanceWeek, Week, part_of
from safety.findings import WALKING_BW, Modality
from safety.screen import Status
from safety.sources import SOURCES

#: Rulebook row 24.
_TIME = "project choice: never more days or minutes than the person has"
#: Breaches of when a rise may come. A ramp that waited for room, or was taken up half-way, was
#: drafted with its own rhythm, and what was drafted is not held against the clinician.
_RHYTHM = frozenset({"deload", "deload_weeks", "first_rise_week", "held", "steady", "weeks_a_step"})
_ALWAYS = SOURCES["common"].title


@dataclass(frozen=True, kw_only=True)
class Judged:
    """Changed weeks, and what they pass that the weeks before them did not."""

    weeks: Weeks
    breaches: tuple[Breach, ...]

    @property
    def refused(self) -> tuple[Breach, ...]:
        """Return what no reason lets stand."""
        return tuple(b for b in self.breaches if not b.judgement)

    @property
    def reasoned(self) -> tuple[Breach, ...]:
        """Return what stands only with a written reason."""
        return tuple(b for b in self.breaches if b.judgement)


def judge(proposed: Weeks, made: Sequence[Edit], wanted: Sequence[Edit], basis: Basis) -> Judged:
    """Make the wanted changes after those made already, and hold the result to the limits.

    A change that cannot be made at all is refused before its result is looked at.
    """
    before = replay(proposed, made, basis)
    wrong = tuple(b for edit in wanted for b in _impossible(before, edit, basis))
    if wrong:
        return Judged(weeks=before, breaches=wrong)
    after = replay(proposed, (*made, *wanted), basis)
    held = {_key(b) for b in check(before, basis)}
    found = tuple(b for b in check(after, basis) if not b.judgement or _key(b) not in held)
    nothing = _nothing_left(after, left_out((*made, *wanted)))
    return Judged(weeks=after, breaches=(*found, *nothing))


def _key(breach: Breach) -> tuple[str, int, str]:
    return breach.name, breach.week, breach.text


def check(weeks: Weeks, basis: Basis) -> tuple[Breach, ...]:
    """Return every limit that these weeks pass; none for the weeks as drafted."""
    found = (*_of_each_week(weeks, basis), *_of_ramps(weeks, basis))
    if not any(b.name in _RHYTHM for b in found):
        return found
    of_draft = _of_ramps(basis.made.weeks, basis)
    drafted = {(b.name, b.week) for b in of_draft if b.name in _RHYTHM}
    return tuple(b for b in found if (b.name, b.week) not in drafted)


def _of_each_week(weeks: Weeks, basis: Basis) -> Iterator[Breach]:
    for week in weeks:
        yield from _standing(week, basis)
        yield from _time(week, basis)
        yield from _beside_lifting(week)


def _of_ramps(weeks: Weeks, basis: Basis) -> Iterator[Breach]:
    """Yield what the weeks pass as a row; of the rhythm's names all are among these."""
    yield from _plate(weeks, basis)
    yield from breaches_of(weeks, basis)


# --- Changes that cannot be made ----------------------------------------------------------


def _impossible(weeks: Weeks, edit: Edit, basis: Basis) -> Iterator[Breach]:
    """Yield why a change cannot be made, whatever it would lead to."""
    modality = edit.modality
    if not 1 <= edit.week_from <= edit.week_to <= len(weeks):
        yield _no(edit, "weeks", f"The weeks run from 1 to {len(weeks)}, first to last.")
        return
    if modality not in basis.included:
        status = basis.made.standings[modality].status
        words = "on hold" if status is Status.ON_HOLD else "excluded"
        why = " ".join(basis.made.standings[modality].why)
        yield _no(edit, "standing", f"It is {words} and cannot be put in. {why}")
        return
    if not edit.name:
        return
    absent = [w.week for w in weeks if edit.covers(w.week) and part_of(w, modality) is None]
    if absent:
        yield _no(edit, "not_in_week", f"There is none in week {absent[0]} to change.")
    elif edit.name == EXERCISES_OF:
        yield from _swap(weeks, edit, basis)
    else:
        yield from _believable(weeks, edit)


def _no(edit: Edit, name: str, text: str, source: str = _ALWAYS) -> Breach:
    return Breach(
        path=edit.path,
        week=edit.week_from,
        name=name,
        text=text,
        source=source,
        judgement=False,
    )


def _believable(weeks: Weeks, edit: Edit) -> Iterator[Breach]:
    field = next((f for f in FIELDS[edit.modality] if f.name == edit.name), None)
    covered = [part_of(week, edit.modality) for week in weeks if edit.covers(week.week)]
    if field is None or any(getattr(part, edit.name) is None for part in covered):
        yield _no(edit, "field", "There is no such number here.")
    elif isinstance(edit.new, bool) or not isinstance(edit.new, int | float):
        yield _no(edit, "number", "A number is expected here.")
    elif not math.isfinite(edit.new) or (field.whole and edit.new != int(edit.new)):
        yield _no(edit, "whole", "A whole number is expected here.")
    elif not field.low <= edit.new <= field.high:
        between = f"{field.low:g} to {field.high:g} {field.unit}"
        yield _no(edit, "believable", f"Check this: {between} is expected.")


def _swap(weeks: Weeks, edit: Edit, basis: Basis) -> Iterator[Breach]:
    able = {one.code for one in choices(edit.modality, basis)}
    if edit.new not in able:
        yield _no(edit, "swap", "This exercise is barred, or needs what is not there.")
        return
    held = [exercises_in(week, edit.modality) for week in weeks if edit.covers(week.week)]
    if any(edit.old not in codes for codes in held):
        yield _no(edit, "swap", "The exercise to change is not in all of these weeks.")
    elif any(edit.new in codes for codes in held):
        yield _no(edit, "swap", "This exercise is there already.")


def exercises_in(week: Week, modality: Modality) -> tuple[str, ...]:
    """Return the codes of a modality's exercises in a week."""
    part = part_of(week, modality)
    if part is None or isinstance(part, PlateWeek):
        return ()
    if isinstance(part, ResistanceWeek):
        return tuple(one.exercise for one in part.exercises)
    return part.exercises


def choices(modality: Modality, basis: Basis) -> tuple[Exercise, ...]:
    """Return the exercises that she can do with what she has and that nothing bars."""
    screen = basis.made.screen
    found = possible(modality, person.equipment(screen), person.barred(screen))
    if modality is Modality.IMPACT:
        cap = person.reasoned_cap_bw(screen, basis.made.group, basis.made.clinic)
        found = tuple(one for one in found if one.peak_bw is not None and one.peak_bw <= cap)
    spared = screen.limits(modality).spare_spine
    return tuple(one for one in found if one.fragile_spine or not spared)


# --- What the weeks pass ------------------------------------------------------------------


def _standing(week: Week, basis: Basis) -> Iterator[Breach]:
    for modality in Modality:
        if part_of(week, modality) is not None and modality not in basis.included:
            text = "It is not included, so it cannot be in a week."
            yield _over(str(modality), week, "standing", text, _ALWAYS)


def _over(path: str, week: Week, name: str, text: str, source: str) -> Breach:
    return Breach(path=path, week=week.week, name=name, text=text, source=source, judgement=False)


def _time(week: Week, basis: Basis) -> Iterator[Breach]:
    """Yield where sessions do not fit into her days, or minutes into what she has."""
    course = basis.course
    placed = days_of(week, basis)
    for modality, days in placed.items():
        part = part_of(week, modality)
        if part is not None and len(days) < part.sessions:
            text = f"The days ({', '.join(course.days)}) do not hold {part.sessions} sessions"
            apart = modality in (Modality.RESISTANCE, Modality.PLATE)
            text += " that are not on neighbouring days." if apart else "."
            yield _over(f"{modality}.sessions", week, "days", text, _TIME)
    most = course.minutes_a_day
    total = len(course.days) * most
    fullest = max(minutes_on(week, placed, course.days).values(), default=0.0)
    if week.minutes > total:
        text = f"{week.minutes:g} minutes a week; there are {total} ({len(course.days)} x {most})."
        yield _over("", week, "minutes", text, _TIME)
    elif fullest > most + 1e-9:
        text = f"{fullest:g} minutes on one day; there are {most}."
        yield _over("", week, "minutes", text, _TIME)


def _beside_lifting(week: Week) -> Iterator[Breach]:
    match week:
        case Week(impact=ImpactWeek(peak_bw=peak), resistance=None) if peak > WALKING_BW:
            text = "Impact above walking goes beside resistance, never instead of it."
            yield _over("impact", week, "beside_lifting", text, "project choice")
        case _:
            pass


def _nothing_left(weeks: Weeks, out: Iterable[Modality]) -> Iterator[Breach]:
    if tuple(out) and all(part_of(week, m) is None for week in weeks for m in Modality):
        text = "Something has to be left in the program."
        yield _over("", weeks[0], "nothing_left", text, _ALWAYS)


def _plate(weeks: Weeks, basis: Basis) -> Iterator[Breach]:
    """Yield what the weeks on the plate pass, each held against those before it."""
    fit = basis.made.plate_fit
    if fit is None:
        return
    start_only = basis.made.screen.limits(Modality.PLATE).plate_start_dose
    done = basis.resume.done(Modality.PLATE)
    clinic = basis.made.clinic
    steps = ramp(
        fit,
        cap_g=basis.cap_g,
        start_dose_only=start_only,
        places=max(done, 1),
        clinic=clinic,
    )
    earlier = [plate_edit.dose_of(step, 1) for step in steps[:done]]
    for week in weeks:
        if week.plate is None:
            continue
        dose = _dose(week.plate)
        found = plate_edit.check_step(
            dose,
            fit=fit,
            week=week.week,
            done=done,
            earlier=earlier,
            cap_g=basis.cap_g,
            start_dose_only=start_only,
            clinic=clinic,
        )
        risen = plate_edit.rises(earlier[-1], dose) if earlier else ()
        yield from _by_half_year(found, risen, week.week, basis)
        earlier.append(dose)


def _by_half_year(
    found: Iterable[Breach], risen: Sequence[str], week: int, basis: Basis
) -> Iterator[Breach]:
    """Yield what is passed, the steady weeks being those of a later half year or maintenance."""
    resume = basis.resume
    if not resume.goes_on_from_done:
        yield from found
        return
    yield from (one for one in found if one.name != DELOAD_WEEKS.name)
    rest = resume.rests(week)
    if risen and rest is not None:
        shown = f"{', '.join(risen)} in week {week}"
        judged = rest.judgement is not None
        yield rest.breach(shown, about=Modality.PLATE, week=week, judgement=judged)


def _dose(part: PlateWeek) -> plate_edit.PlateDose:
    return plate_edit.PlateDose(
        frequency_hz=part.frequency_hz,
        displacement_mm=part.displacement_mm,
        bouts=part.bouts,
        bout_s=part.bout_s,
        rest_s=part.rest_s,
        minutes=part.vibration_min if part.bouts is None else None,
        sessions=part.sessions,
    )


# --- For reading --------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Passed:
    """One limit and all the weeks in which it is passed."""

    first: Breach
    weeks: tuple[int, ...]

    @property
    def weeks_words(self) -> str:
        """Return "week 3" or "weeks 3 to 10"."""
        first, last = self.weeks[0], self.weeks[-1]
        return f"week {first}" if first == last else f"weeks {first} to {last}"


def gathered(breaches: Iterable[Breach]) -> tuple[Passed, ...]:
    """Return each limit once, with the weeks in which it is passed, in order."""
    found: dict[tuple[str, str], list[Breach]] = {}
    for breach in breaches:
        found.setdefault((breach.path, breach.name), []).append(breach)
    return tuple(
        Passed(first=same[0], weeks=tuple(sorted(b.week for b in same))) for same in found.values()
    )
