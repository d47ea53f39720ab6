"""Where each modality stands in a draft, and why: in words made from the rule that decided."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from patients.facts.declared import Facts, Resources
from programs.dose import plate
from programs.dose.clinic_limits import own_words
from programs.dose.in_force import Clinic
from programs.dose.plate_settings import GENTLE_TRIALS, LOW_MAGNITUDE
from programs.draft import person
from programs.draft.days import inside
from programs.draft.fit_into_days import Fitted
from programs.draft.order_of_value import DEFAULT_AIM, ranks
from programs.draft.ramps import ASSUMED_DAYS, Course
from safety.findings import WALKING_BW, Level, Modality
from safety.screen import Screen, Status
from safety.sources import cite

#: Less balance than this a week is told as too little where fall risk is not low (row 24).
LITTLE_BALANCE_MIN = 60


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where one modality stands: its status, its rank for her aims, and why.

    until   the last day of the clearance that carries it; None where it needs none
    """

    status: Status
    rank: int
    why: tuple[str, ...]
    sources: tuple[str, ...]
    until: dt.date | None = None


@dataclass(frozen=True, kw_only=True)
class LeftOut:
    """A modality that is included but finds no room from this week on."""

    about: Modality
    from_week: int
    why: str


def standings(
    screened: Screen,
    fit: plate.PlateFit | None,
    limits: Clinic,
    stopped: frozenset[Modality] = frozenset(),
) -> dict[Modality, Standing]:
    """Return where each modality stands, before her minutes are looked at.

    stopped   what a review has stopped
    """
    facts = screened.situation.facts
    group = person.group(screened)
    first = _balance_first(screened, group)
    rank = ranks(facts.aims or (), balance_first=bool(first))
    supervised = person.is_overseen(screened)
    found = {
        m: Standing(
            status=screened.status(m),
            rank=rank[m],
            why=(
                _rank_words(facts, rank[m], first if m is Modality.BALANCE else ""),
                *_screen_words(screened, m),
                *own_words(limits, m, group, supervised=supervised),
            ),
            sources=_sources(screened, m),
        )
        for m in Modality
    }
    found[Modality.PLATE] = _with_fit(found[Modality.PLATE], fit, facts)
    found = {m: _with_end(one, m, screened) for m, one in found.items()}
    found |= {m: _stopped(found[m]) for m in stopped}
    found[Modality.IMPACT] = _beside_lifting(found, person.impact_cap_bw(screened, group, limits))
    return found


def _balance_first(screened: Screen, group: str) -> str:
    """Return why balance comes first for her; empty where the aims alone decide (row 23)."""
    s = screened.situation
    if s.fall_risk.drafted_as == "high":
        told = [one.text for one in s.fall_risk.fired if one.level == "high"]
        return _sentence("fall risk is high", told)
    if s.function_is_low:
        return _sentence("function is low", [one.text for one in s.low_function.fired])
    if group != "C":
        return ""
    told = [f.text for f in screened.about(Modality.RESISTANCE) if f.limits.group_c]
    told += [one.text for one in s.fracture_risk.fired if one.level == "very_high"]
    return _sentence("lifting begins with form before load", told)


def _sentence(words: str, told: Sequence[str]) -> str:
    return f"{words} ({told[0].rstrip('.')})" if told else words


def _rank_words(facts: Facts, rank: int, first: str) -> str:
    if first and rank == 1:
        return f"Number 1 of 5: it comes first because {first}."
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
    # Where there is nothing to use, that is the reason, whatever else was asked about it.
    first, *others = standing.why
    told = (words, *others) if status is Status.EXCLUDED else (*others, words)
    return replace(standing, status=worst, why=(first, *told))


def _stopped(standing: Standing) -> Standing:
    if standing.status is not Status.INCLUDED:
        return standing
    words = "Stopped at the review: left out until a review takes it up again."
    first, *others = standing.why
    return replace(standing, status=Status.ON_HOLD, until=None, why=(first, words, *others))


_STATUS_ORDER = (Status.INCLUDED, Status.ON_HOLD, Status.EXCLUDED)
_FIT_STATUS = {
    plate.Fit.FIT: Status.INCLUDED,
    plate.Fit.ON_HOLD: Status.ON_HOLD,
    plate.Fit.NOT_FIT: Status.EXCLUDED,
}


def _with_end(standing: Standing, modality: Modality, screened: Screen) -> Standing:
    """Say until when a clearance carries it; with none of her days inside it waits (row 22b)."""
    until = screened.until(modality)
    if until is None or standing.status is not Status.INCLUDED:
        return standing
    s = screened.situation
    resources = s.facts.resources or Resources()
    days = ASSUMED_DAYS if resources.days is None else resources.days
    told = f"Only until {until:%-d %B %Y}, the last day of its clearance; then it stops."
    if days and not any(inside(days, week, s.day, until) for week in (1, 2)):
        told = f"Its clearance ends on {until:%-d %B %Y}, before any of her days."
        return replace(standing, status=Status.ON_HOLD, why=(*standing.why, told))
    return replace(standing, until=until, why=(*standing.why, told))


def _beside_lifting(found: Mapping[Modality, Standing], cap_bw: float) -> Standing:
    """Say that impact stays with walking where resistance is not included (row 10)."""
    standing = found[Modality.IMPACT]
    lifting = found[Modality.RESISTANCE].status is Status.INCLUDED
    if lifting or cap_bw <= WALKING_BW or standing.status is not Status.INCLUDED:
        return standing
    words = (
        "No higher than brisk walking: impact above it goes beside resistance, never instead, "
        "and resistance is not included."
    )
    return replace(standing, why=(*standing.why, words))


# --- What her minutes make of it -----------------------------------------------------------


def told_of_time(
    stand: Mapping[Modality, Standing], course: Course, fitted: tuple[Fitted, ...]
) -> Mapping[Modality, Standing]:
    """Say where her days or minutes hold lifting or balance back (row 24)."""
    told = dict(stand)
    for modality, words, source in (
        (Modality.RESISTANCE, _little_lifting(course, fitted), "gap2013"),
        (Modality.RESISTANCE, _no_load(course, fitted), "project"),
        (Modality.BALANCE, _little_balance(course, fitted), "wfg2022"),
    ):
        if words:
            one = told[modality]
            sources = tuple(dict.fromkeys((*one.sources, *cite(source))))
            told[modality] = replace(one, why=(*one.why, words), sources=sources)
    return told


def _weeks_of(modality: Modality, course: Course, fitted: Sequence[Fitted]) -> list[Fitted]:
    """Return the weeks in which a modality is there by its clearance, with room or without."""
    return [week for n, week in enumerate(fitted, 1) if modality in course.there(n)]


def _little_lifting(course: Course, fitted: tuple[Fitted, ...]) -> str:
    weeks = _weeks_of(Modality.RESISTANCE, course, fitted)
    held = [len(week.days.get(Modality.RESISTANCE, ())) for week in weeks]
    if not held or max(held) >= 2:
        return ""
    fits = "Only one lifting session a week fits" if max(held) else "No lifting session fits"
    return f"{fits}, and bone needs two: two days that are not neighbours, with enough minutes."


def _no_load(course: Course, fitted: tuple[Fitted, ...]) -> str:
    weeks = [week for week in fitted if week.lifting is not None]
    lifts = {one.code: one for week in weeks for one in course.lifts[: week.shape.exercises]}
    if not lifts or any(one.loadable for one in lifts.values()):
        return ""
    return "None of these exercises has a load that can be told in kg, and bone needs a weight."


def _little_balance(course: Course, fitted: tuple[Fitted, ...]) -> str:
    weeks = _weeks_of(Modality.BALANCE, course, fitted)
    most = max((week.balance_min for week in weeks), default=LITTLE_BALANCE_MIN)
    if course.fall_risk not in ("intermediate", "high") or most >= LITTLE_BALANCE_MIN:
        return ""
    return f"At most {most} minutes of balance a week fit: too little for her risk of falling."


def left_out(course: Course, fitted: tuple[Fitted, ...]) -> tuple[LeftOut, ...]:
    """Return what is included and finds no room, or ends with its clearance, and the reason."""
    found = []
    for modality in Modality:
        if modality in course.included and fitted:
            absent = [n for n, week in enumerate(fitted, 1) if modality not in week.days]
            ends = modality in course.until
            days = _its_days(modality, course)
            ended = [n for n in absent if ends and not course.inside(modality, days, n)]
            if full := [n for n in absent if n not in ended]:
                why = _no_room(modality, course, fitted[full[0] - 1], full)
                found.append(LeftOut(about=modality, from_week=full[0], why=why))
            elif ended:
                why = f"Its clearance ends on {course.until[modality]:%-d %B %Y}."
                found.append(LeftOut(about=modality, from_week=ended[0], why=why))
    return tuple(found)


def _its_days(modality: Modality, course: Course) -> tuple[str, ...]:
    """Return the days that a modality's first sessions fall on."""
    loaded = {
        Modality.PLATE: course.plate_days,
        Modality.RESISTANCE: course.lift_days,
        Modality.IMPACT: course.impact_days[: course.impact[0].days] if course.impact else (),
    }
    return loaded.get(modality, course.days)


def _no_room(modality: Modality, course: Course, week: Fitted, weeks: Sequence[int]) -> str:
    """Say which weeks have no room, and what takes the time there is."""
    if not course.days:
        return "There is no day for training."
    rank = course.rank
    before = [str(m) for m in sorted(week.days, key=lambda m: rank[m]) if rank[m] < rank[modality]]
    minutes = f"{len(course.days)} x {course.minutes_a_day:g} minutes"
    words = f"No room in {weeks_named(weeks)} in {minutes} a week."
    if not before:
        return words
    return f"{words} {_listed(before).capitalize()} come{'s' if len(before) == 1 else ''} first."


def _listed(words: Sequence[str]) -> str:
    return " and ".join(", ".join(words).rsplit(", ", 1))


def weeks_named(numbers: Sequence[int]) -> str:
    """Return "week 3", "weeks 3 to 5", or "some of" these where others lie between."""
    first, last = numbers[0], numbers[-1]
    some = "" if last - first + 1 == len(numbers) else "some of "
    return f"{some}weeks {first} to {last}" if len(numbers) > 1 else f"week {first}"
