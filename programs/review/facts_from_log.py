"""What the log tells becomes a fact at once, on the careful side (rulebook row 26d)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace

from patients.facts.ages import add_months
from patients.facts.declared import Facts, Falls, Lift
from programs.review.adherence import Session
from safety.findings import Modality

#: The sections of the facts in which a fall, a warning sign, a broken bone, an illness stand.
FALLS, SYMPTOMS, FRACTURES = "falls", "symptoms", "fractures"
#: So many days without lifting, and a set to fatigue before them counts no more.
LAID_OFF_DAYS = 56


def was_asked(section: str, since: dt.date, asked: Mapping[str, dt.date]) -> bool:
    """Tell whether a section was asked on a day or after it."""
    return section in asked and asked[section] >= since


def with_log(
    facts: Facts, log: Iterable[Session], asked: Mapping[str, dt.date], day: dt.date
) -> Facts:
    """Return the facts as of a day with what the whole log up to it tells.

    A set to fatigue before eight weeks without lifting sets no load (row 19d).
    """
    entries = [one for one in log if one.on <= day]
    return replace(with_events(facts, entries, asked, day), lifts=_lifts(facts, entries, day))


def with_events(
    facts: Facts, log: Iterable[Session], asked: Mapping[str, dt.date], day: dt.date
) -> Facts:
    """Return the facts as of a day with what was logged and not asked about since.

    asked   when each section was last asked; one that is not named never was
    day     the day of the review, up to which the log is read

    Falls of the last 12 months are never fewer than the log holds; a fall not asked about since
    adds to them, and what came of it is missing. A sign or a broken bone not asked about since
    leaves its section unanswered.
    """
    entries = [one for one in log if one.on <= day]
    flagged = [one.known_on for one in entries if one.red_flag]
    broke = [one.known_on for one in entries if one.broke]
    if any(not was_asked(SYMPTOMS, on, asked) for on in flagged):
        facts = replace(facts, symptoms=None)
    if any(not was_asked(FRACTURES, on, asked) for on in broke):
        facts = replace(facts, fractures=None)
    return replace(facts, as_of=day, falls=_falls(facts, entries, asked, day))


def _lifts(facts: Facts, log: list[Session], day: dt.date) -> tuple[Lift, ...] | None:
    lifted = [one.on for one in log if one.modality is Modality.RESISTANCE and one.trained]
    last = max(lifted, default=day)
    if (day - last).days < LAID_OFF_DAYS:
        return facts.lifts
    return tuple(one for one in facts.lifts or () if one.on is not None and one.on > last)


def _falls(
    facts: Facts, log: list[Session], asked: Mapping[str, dt.date], day: dt.date
) -> Falls | None:
    """Return the falls; those of one day are one, for it may be ticked in each of its rows."""
    year_ago = add_months(day, -12)
    fallen = {one.on: one.known_on for one in log if one.fell and one.on >= year_ago}
    if not fallen:
        return facts.falls
    told = facts.falls or Falls()
    new = sum(not was_asked(FALLS, on, asked) for on in fallen.values())
    count = max((told.last_12_months or 0) + new, len(fallen))
    if not new:
        return replace(told, last_12_months=count)
    return replace(
        told,
        last_12_months=count,
        injury=told.injury or None,
        long_lie=told.long_lie or None,
        blackout=told.blackout or None,
    )
