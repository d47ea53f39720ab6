"""What a later half year and a maintenance program say and ask for (rulebook row 29a)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from programs.draft import person
from programs.draft.fit_into_days import Fitted
from programs.draft.ramps import Course
from programs.draft.resume import Resume
from programs.draft.standings import Standing
from programs.exercises import EXERCISES, Exercise, of
from safety.findings import Finding, Level, Modality
from safety.screen import Screen
from safety.sources import cite

NEW_SET = "lifts.new_set"
_AT_THE_CLINIC = (
    "In group C or under a precaution on lifting it is done only at the clinic, watched, and "
    "stopped with two left."
)
_HOLDS = (
    "A maintenance program: one dose that holds, no higher than what was done, with a review each "
    "half year. What was gained is lost again without training."
)


def asks_for_a_set(screen: Screen, course: Course) -> bool:
    """Tell whether a new set to fatigue is wanted and was not given."""
    resume, facts = course.resume, screen.situation.facts
    loaded = any(one.loadable for one in course.lifts)
    lifts = resume.is_later and not resume.maintains and Modality.RESISTANCE in course.included
    return lifts and loaded and not person.new_set_since(facts, resume.half_weeks)


def findings(screen: Screen, course: Course) -> tuple[Finding, ...]:
    """Return what a later half year asks for, as findings: a new set to fatigue."""
    if not asks_for_a_set(screen, course):
        return ()
    text = f"Not recorded: a new set to fatigue for this half year. {_goes_on(course)}"
    guarded = course.group == "C" or screen.limits(Modality.RESISTANCE).least_could_lift
    return (
        Finding(
            rule=NEW_SET,
            about=Modality.RESISTANCE,
            level=Level.MISSING,
            text=f"{text} {_AT_THE_CLINIC}" if guarded else text,
            sources=cite("project"),
            missing=("a new set to fatigue for this half year",),
        ),
    )


def _goes_on(course: Course) -> str:
    if any({one.code, one.lift} & set(course.resume.one_rm_kg) for one in course.lifts):
        return "Until then the loads go on from what was lifted."
    return "Until then each load is found by how often it could be lifted."


def told(
    stand: Mapping[Modality, Standing], course: Course, fitted: tuple[Fitted, ...]
) -> Mapping[Modality, Standing]:
    """Say what a later half year changes and why the rest stays, and that a dose holds."""
    found = dict(stand)
    for modality, words in _said(course, fitted):
        one = found[modality]
        key = "detraining" if course.resume.maintains else "project"
        sources = tuple(dict.fromkeys((*one.sources, *cite(key))))
        found[modality] = replace(one, why=(*one.why, words), sources=sources)
    return found


def _said(course: Course, fitted: tuple[Fitted, ...]) -> Iterator[tuple[Modality, str]]:
    resume = course.resume
    if not fitted:
        return
    if resume.maintains:
        yield from ((m, _HOLDS) for m in Modality if m in fitted[0].days)
        return
    week = fitted[0]
    if resume.is_later and week.lifting is not None:
        yield Modality.RESISTANCE, _lifting(course.lifts[: week.shape.exercises], resume)
    if resume.is_later and week.impact is not None:
        yield Modality.IMPACT, _impact(week.impact.exercise, resume)


def _lifting(lifts: Iterable[Exercise], resume: Resume) -> str:
    new = [one.name for one in lifts if one.code not in resume.changed]
    stay = [one.name for one in lifts if one.code in resume.changed]
    if not resume.changed & {one.code for one in of(Modality.RESISTANCE)}:
        return f"{_half(resume)}: lifting starts again, so no exercise is changed."
    words = [f"{_half(resume)}."]
    if new:
        words.append(f"Changed, and begun one step back: {', '.join(new)}.")
    if stay:
        words.append(
            f"Not changed: {', '.join(stay)}; nothing else of its kind fits the equipment and "
            "what may be done."
        )
    return " ".join(words)


def _impact(exercise: Exercise, resume: Resume) -> str:
    before = resume.changed & {one.code for one in of(Modality.IMPACT)}
    if not before:
        return f"{_half(resume)}: impact starts again, so its exercise is not changed."
    if exercise.code in before:
        return (
            f"{_half(resume)}. Not changed: {exercise.name}; no other that may be done has no "
            "more force and little less."
        )
    names = " and ".join(EXERCISES[code].name for code in sorted(before))
    return f"{_half(resume)}. {exercise.name} takes the place of {names}, with no more force."


def _half(resume: Resume) -> str:
    return f"Half year {resume.half_year}"
