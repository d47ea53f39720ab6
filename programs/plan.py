"""The drafted program: where each modality stands and why, and the weeks that follow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from patients.facts import Facts, Resources
from programs import course as courses
from programs import weeks as made
from programs.clinic_limits import AS_PUBLISHED, Clinic
from programs.course import FROM_THE_START, Resume
from programs.dose import impact, plate
from programs.dose.plate_settings import LOW_MAGNITUDE
from programs.dose.resistance import group_of
from programs.fitting import fit_weeks
from programs.plate_words import GENTLE_TRIALS
from programs.timetable import WEEK, Fitted
from programs.value import DEFAULT_AIM, ranks
from programs.week import Week
from safety.findings import ALL, Finding, Level, Modality
from safety.rules.book import RULEBOOK
from safety.screen import Screen, Status, most_serious_first, screen
from safety.sources import cite


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where one modality stands: its status, its rank for her aims, and why."""

    status: Status
    rank: int
    why: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class LeftOut:
    """A modality that is included but finds no room from this week on."""

    about: Modality
    from_week: int
    why: str


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A program as drafted from the facts alone.

    fitted   what falls on which day, week by week, with its minutes
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


REVIEWS = (
    (4, "What was done, what hurt, any fall; pressure again; the first changes."),
    (12, "Log, function tests, red flags and illnesses asked again; the ramp revised."),
    (26, "Function tests; what the next half year holds; this draft ends here."),
    (52, "Density, not before 12 months, held against the scanner's own error."),
)


def draft(facts: Facts, resume: Resume = FROM_THE_START, limits: Clinic = AS_PUBLISHED) -> Draft:
    """Draft the program of one person on one day, or its revision from where she is.

    limits   the clinic's own, where it has set any
    """
    screened = screen(facts, lifted=resume.lifted)
    fit = _plate_fit(screened, resume, limits)
    findings = most_serious_first((*screened.findings, *_fit_findings(fit, facts)))
    standings = _standings(screened, fit, limits)
    included = frozenset(m for m, s in standings.items() if s.status is Status.INCLUDED)
    course = courses.course(screened, included, fit, resume, limits)
    blocked = bool(screened.blocked)
    fitted = () if blocked else fit_weeks(course, {m: one.rank for m, one in standings.items()})
    return Draft(
        rulebook=RULEBOOK,
        screen=screened,
        findings=findings,
        issuable=not blocked and any(week.days for week in fitted),
        standings=_with_time(standings, course, fitted),
        group=course.group,
        plate_fit=fit,
        weeks=made.weeks(screened, _as_fitted(course, fitted), fitted),
        left_out=_left_out(fitted, included),
        timetable=_timetable(fitted),
        reviews=REVIEWS,
        clinic=limits,
        fitted=fitted,
    )


def _plate_fit(screened: Screen, resume: Resume, limits: Clinic) -> plate.PlateFit | None:
    s = screened.situation
    resources = s.facts.resources or Resources()
    return plate.choose_plate(
        resources.plates or (),
        weight_kg=s.facts.person.weight_kg,
        support_rail=resources.support_rail,
        fragile=courses.capped(screened, resume),
        watched=s.company,
        ceiling_g=limits.value("plate.top_g"),
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


def _standings(
    screened: Screen, fit: plate.PlateFit | None, limits: Clinic
) -> dict[Modality, Standing]:
    facts = screened.situation.facts
    group = group_of(screened.situation, screened.limits(Modality.RESISTANCE))
    first = screened.situation.fall_risk.drafted_as == "high" or group == "C"
    supervised = bool(facts.resources and facts.resources.supervised)
    rank = ranks(facts.aims or (), balance_first=first)
    found = {
        m: Standing(
            status=screened.status(m),
            rank=rank[m],
            why=(
                _rank_words(facts, rank[m]),
                *_screen_words(screened, m),
                *limits.words(m, group, supervised=supervised),
            ),
            sources=_sources(screened, m),
        )
        for m in Modality
    }
    found[Modality.PLATE] = _with_fit(found[Modality.PLATE], fit, facts)
    cap = courses.impact_cap_bw(screened, group, limits)
    found[Modality.IMPACT] = _beside_lifting(found, cap)
    return found


def _rank_words(facts: Facts, rank: int) -> str:
    aims = facts.aims or (DEFAULT_AIM,)
    asked = "" if facts.aims else " (no aim was recorded)"
    return f"Number {rank} of 5 in value for the aims: {', '.join(aims)}{asked}."


def _screen_words(screened: Screen, modality: Modality) -> tuple[str, ...]:
    weighty = [f for f in screened.about(modality) if f.level is not Level.REFER]
    return tuple(dict.fromkeys(f.text for f in weighty))


def _sources(screened: Screen, modality: Modality) -> tuple[str, ...]:
    used = [source for f in screened.about(modality) for source in f.sources]
    return tuple(dict.fromkeys((*cite("project"), *used)))


def _with_fit(standing: Standing, fit: plate.PlateFit | None, facts: Facts) -> Standing:
    """Nothing fit to use excludes the plate; what is not known about it holds it."""
    resources = facts.resources or Resources()
    if fit is None:
        asked = resources.plates is not None
        words = "There is no plate." if asked else "Whether there is a plate was not recorded."
        status = Status.EXCLUDED if asked else Status.ON_HOLD
    else:
        said = (GENTLE_TRIALS,) if fit.plate.motion == LOW_MAGNITUDE else ()
        words = f"{fit.plate.name}: {' '.join((*fit.reasons, *said))}"
        status = _FIT_STATUS[fit.fit]
    worst = max(standing.status, status, key=_STATUS_ORDER.index)
    return replace(standing, status=worst, why=(*standing.why, words))


_STATUS_ORDER = (Status.INCLUDED, Status.ON_HOLD, Status.EXCLUDED)
_FIT_STATUS = {
    plate.Fit.FIT: Status.INCLUDED,
    plate.Fit.ON_HOLD: Status.ON_HOLD,
    plate.Fit.NOT_FIT: Status.EXCLUDED,
}


def _beside_lifting(found: Mapping[Modality, Standing], cap_bw: float) -> Standing:
    """Impact above walking goes beside resistance, never instead of it."""
    standing = found[Modality.IMPACT]
    lifting = found[Modality.RESISTANCE].status is Status.INCLUDED
    if lifting or cap_bw <= impact.WALKING_BW or standing.status is not Status.INCLUDED:
        return standing
    words = "Impact above walking goes beside resistance, and resistance is not included."
    return replace(standing, status=Status.ON_HOLD, why=(*standing.why, words))


def _with_time(
    standings: Mapping[Modality, Standing], course: courses.Course, fitted: tuple[Fitted, ...]
) -> Mapping[Modality, Standing]:
    """Say where her days or minutes hold lifting back."""
    lifting = standings[Modality.RESISTANCE]
    sessions = [len(week.days.get(Modality.RESISTANCE, ())) for week in fitted]
    if course.lifting_steps is None or not sessions or min(sessions) >= 2:
        return standings
    fits = "Only one lifting session a week fits" if min(sessions) else "No lifting session fits"
    words = f"{fits}, and bone needs two: two days that are not neighbours, with enough minutes."
    told = replace(lifting, why=(*lifting.why, words), sources=(*lifting.sources, *cite("gap2013")))
    return {**standings, Modality.RESISTANCE: told}


def _as_fitted(course: courses.Course, fitted: tuple[Fitted, ...]) -> courses.Course:
    """Return the ramps with no more minutes of posture than the weeks have room for."""
    return replace(course, posture_room=tuple(week.posture_min for week in fitted))


def _left_out(fitted: tuple[Fitted, ...], included: frozenset[Modality]) -> tuple[LeftOut, ...]:
    found = []
    for modality in Modality:
        absent = [n for n, week in enumerate(fitted, 1) if modality not in week.days]
        if modality in included and absent:
            found.append(LeftOut(about=modality, from_week=absent[0], why=_no_room(absent)))
    return tuple(found)


def _no_room(absent: list[int]) -> str:
    """Say for which weeks there is no room."""
    return (
        f"No room in {weeks_named(absent)} in the days and minutes there are; "
        "the least valuable gives way first."
    )


def weeks_named(numbers: Sequence[int]) -> str:
    """Return "week 3", "weeks 3 to 5", or "some of" these where others lie between."""
    first, last = numbers[0], numbers[-1]
    some = "" if last - first + 1 == len(numbers) else "some of "
    return f"{some}weeks {first} to {last}" if len(numbers) > 1 else f"week {first}"


def _timetable(fitted: tuple[Fitted, ...]) -> Mapping[str, tuple[Modality, ...]]:
    held = {
        day: tuple(m for m in Modality if any(day in w.days.get(m, ()) for w in fitted))
        for day in WEEK
    }
    return {day: modalities for day, modalities in held.items() if modalities}
