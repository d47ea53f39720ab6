"""On which of her days the sessions of a week fall, once a clinician has changed it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from programs.dose.plate_settings import LOW_MAGNITUDE
from programs.draft.days import emptiest, spread
from programs.edit.base_draft import Basis
from programs.week.minutes import session_min
from programs.week.week import WEEK, Week, part_of
from safety.findings import Modality
from safety.modalities import AS_PLACED

Days = tuple[str, ...]


def days_of(week: Week, basis: Basis) -> dict[Modality, Days]:
    """Return the days of each modality of the week.

    Fewer than its sessions where her days do not lie as far apart as the modality asks.
    """
    load = dict.fromkeys(basis.course.days, 0.0)
    held: dict[Modality, Days] = {}
    for modality in AS_PLACED:
        if (part := part_of(week, modality)) is not None:
            on = _days(modality, part.sessions, basis, load)
            held[modality] = tuple(sorted(on, key=WEEK.index))
            for day in on:
                load[day] += session_min(part)
    return held


def _days(
    modality: Modality,
    sessions: int,
    basis: Basis,
    load: Mapping[str, float],
) -> Days:
    course = basis.course
    match modality:
        case Modality.RESISTANCE:
            return _apart(course.days, sessions, course.lift_days)
        case Modality.PLATE if basis.plate.motion == LOW_MAGNITUDE:
            return course.days[:sessions]
        case Modality.PLATE:
            return _apart(course.days, sessions, course.plate_days)
        case Modality.IMPACT:
            return course.impact_days[:sessions]
        case _:
            return emptiest(course.days, load)[:sessions]


def _apart(days: Days, sessions: int, drafted: Days) -> Days:
    """Return days that are no neighbours: the drafted ones where they are enough."""
    return drafted[:sessions] if sessions <= len(drafted) else spread(days, sessions)


def minutes_on(week: Week, placed: Mapping[Modality, Days], hers: Days) -> dict[str, float]:
    """Return the minutes of each of her days without balance, which goes where there is room."""
    on = dict.fromkeys(hers, 0.0)
    for modality, days in placed.items():
        part = part_of(week, modality)
        if part is not None and modality is not Modality.BALANCE:
            for day in days:
                on[day] += session_min(part)
    return on


def timetable(
    weeks: Sequence[Week], basis: Basis, drafted: Mapping[str, Sequence[str]]
) -> dict[str, list[str]]:
    """Return the modalities of each weekday over all weeks.

    A modality whose sessions are as drafted keeps its drafted days.
    """
    moved = {m for m in Modality if _sessions(weeks, m) != _sessions(basis.made.weeks, m)}
    placed = [days_of(week, basis) for week in weeks] if moved else []
    held: dict[str, list[str]] = {}
    for day in WEEK:
        on = [
            str(m)
            for m in Modality
            if (
                any(day in week.get(m, ()) for week in placed)
                if m in moved
                else m in drafted.get(day, ())
            )
        ]
        if on:
            held[day] = on
    return held


def _sessions(weeks: Sequence[Week], modality: Modality) -> list[int]:
    return [part.sessions if (part := part_of(week, modality)) else 0 for week in weeks]
