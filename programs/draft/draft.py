"""The drafted program: where each modality stands and why, and the weeks that follow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patients.facts.declared import Facts, Resources
from programs.dose import plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.draft import later_half_years, person
from programs.draft import ramps as courses
from programs.draft import weeks as made
from programs.draft.fit_into_days import Fitted, fit_weeks
from programs.draft.resume import FROM_THE_START, Resume
from programs.draft.reviews import reviews
from programs.draft.standings import LeftOut, Standing, left_out, standings, told_of_time
from programs.week.week import WEEK, Week
from safety.findings import ALL, Finding, Level, Modality
from safety.rules.all_rules import RULEBOOK
from safety.screen import Screen, Status, most_serious_first, screen
from safety.sources import cite


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A program as drafted from the facts alone.

    fitted   what falls on which day, week by week, with its minutes
    resume   where it took up
    """

    rulebook: str
    screen: Screen
    findings: tuple[Finding, ...]
    issuable: bool
    standings: Mapping[Modality, Standing]
    group: str
    plate_fit: plate.PlateFit | None
    weeks: tuple[Week, ...]
    left_out: tuple[LeftOut, ...]
    timetable: Mapping[str, tuple[Modality, ...]]
    reviews: tuple[tuple[int, str], ...]
    clinic: Clinic = AS_PUBLISHED
    fitted: tuple[Fitted, ...] = ()
    resume: Resume = FROM_THE_START


def draft(facts: Facts, resume: Resume = FROM_THE_START, limits: Clinic = AS_PUBLISHED) -> Draft:
    """Draft the program of one person on one day, or its revision from where she is.

    limits   the clinic's own, where it has set any
    """
    return draft_of(screen(facts, lifted=resume.lifted), resume, limits)


def draft_of(
    screened: Screen, resume: Resume = FROM_THE_START, limits: Clinic = AS_PUBLISHED
) -> Draft:
    """Return the draft of a person who was screened, with what the resume says lifted."""
    fit = _plate_fit(screened, resume, limits)
    stand = standings(screened, fit, limits, resume.stopped)
    course, fitted = _fitted(screened, fit, stand, resume, limits)
    facts, blocked = screened.situation.facts, bool(screened.blocked)
    asked = (*_fit_findings(fit, facts), *later_half_years.findings(screened, course))
    return Draft(
        rulebook=RULEBOOK,
        screen=screened,
        findings=most_serious_first((*screened.findings, *asked)),
        issuable=not blocked and any(week.days for week in fitted),
        standings=later_half_years.told(told_of_time(stand, course, fitted), course, fitted),
        group=course.group,
        plate_fit=fit,
        weeks=made.weeks(screened, course, fitted),
        left_out=left_out(course, fitted),
        timetable=_timetable(fitted),
        reviews=reviews(course),
        clinic=limits,
        fitted=fitted,
        resume=resume,
    )


def first_week_of(
    screened: Screen, resume: Resume = FROM_THE_START, limits: Clinic = AS_PUBLISHED
) -> Week | None:
    """Return week 1 alone of the same draft; None where it has no weeks."""
    fit = _plate_fit(screened, resume, limits)
    stand = standings(screened, fit, limits, resume.stopped)
    course, fitted = _fitted(screened, fit, stand, resume, limits)
    return next(iter(made.weeks(screened, course, fitted[:1])), None)


def _fitted(
    screened: Screen,
    fit: plate.PlateFit | None,
    stand: Mapping[Modality, Standing],
    resume: Resume,
    limits: Clinic,
) -> tuple[courses.Course, tuple[Fitted, ...]]:
    """Return the ramps and the weeks that they are fitted into, none where something blocks."""
    included = frozenset(m for m, s in stand.items() if s.status is Status.INCLUDED)
    rank = {m: one.rank for m, one in stand.items()}
    course = courses.course(screened, included, fit, rank, resume, limits)
    return course, () if screened.blocked else fit_weeks(course)


def _plate_fit(screened: Screen, resume: Resume, limits: Clinic) -> plate.PlateFit | None:
    s = screened.situation
    resources = s.facts.resources or Resources()
    return plate.choose_plate(
        resources.plates or (),
        weight_kg=s.facts.person.weight_kg,
        support_rail=resources.support_rail,
        watch=s.fragile,
        watched=s.company,
        cap_g=person.plate_cap_g(screened, resume, limits),
        clinic=limits,
    )


def _fit_findings(fit: plate.PlateFit | None, facts: Facts) -> tuple[Finding, ...]:
    """Return what must be asked about plate, days and minutes, as findings."""
    resources = facts.resources or Resources()
    asked = [
        ("resources.plates", Modality.PLATE, resources.plates, "which plate can be used"),
        ("resources.days", ALL, resources.days, "the days for training"),
        ("resources.minutes", ALL, resources.minutes_per_day, "the minutes a day"),
    ]
    found = [
        _missing(code, about, (words,)) for code, about, value, words in asked if value is None
    ]
    if fit is not None and fit.missing and fit.fit is not plate.Fit.NOT_FIT:
        found.append(_missing("plate.fit", Modality.PLATE, fit.missing))
    return tuple(found)


def _missing(code: str, about: Modality | str, words: tuple[str, ...]) -> Finding:
    return Finding(
        rule=code,
        about=about,
        level=Level.MISSING,
        text=f"Not recorded: {', '.join(words)}.",
        sources=cite("project"),
        missing=words,
    )


def _timetable(fitted: tuple[Fitted, ...]) -> Mapping[str, tuple[Modality, ...]]:
    held = {
        day: tuple(m for m in Modality if any(day in w.days.get(m, ()) for w in fitted))
        for day in WEEK
    }
    return {day: modalities for day, modalities in held.items() if modalities}
