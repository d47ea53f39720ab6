"""A program in force with its log, for the tests of follow-up: drafted, logged and reviewed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from patients.facts.declared import Facts
from programs.draft.resume import Resume
from programs.review.adherence import Session
from programs.review.ledger import InForce
from programs.review.proposal import Reading
from programs.review.proposing import Review
from programs.week.week import PlateWeek
from safety.findings import Modality
from tests.people import steady
from tests.programs.logs import START

SECTIONS = tuple(Facts.__dataclass_fields__)
FALLER = {"last_12_months": 3, "injury": "no", "long_lie": "no", "blackout": "no"}


def after(weeks: int) -> dt.date:
    """Return the day on which so many full weeks are over."""
    return START + dt.timedelta(weeks=weeks)


def in_force(facts: Facts | None = None, resume: Resume | None = None) -> InForce:
    """Return a program signed on its first day, the steady person's unless told otherwise."""
    return InForce.of(None, facts or steady(), resume or Resume(), signed_on=START, starts_on=START)


def done(held: InForce, weeks: Iterable[int], *modalities: Modality, **said: Any) -> list[Session]:
    """Return every planned session of some weeks, done without trouble but as said."""
    planned = held.planned
    return [
        _session(held, week, m, on, said)
        for week in weeks
        for m in modalities or planned.modalities
        for on in planned.days(week, m)[: planned.sessions(week, m)]
    ]


def _session(
    held: InForce, week: int, m: Modality, on: dt.date, said: Mapping[str, Any]
) -> Session:
    part = held.planned.dose(week, m)
    plate = {"plate": part.plate, "watched": True} if isinstance(part, PlateWeek) else {}
    told: dict[str, Any] = {"done": "all", "pain": 0, "fell": False, "ill": False}
    return Session(on=on, modality=m, **told | plate | dict(said))


def reviewed(
    held: InForce,
    log: Iterable[Session],
    day: dt.date,
    facts: Facts | None = None,
    **more: Any,
) -> Review:
    """Return the review of a day; all was asked on that day unless told otherwise."""
    known = replace(facts or held.facts, as_of=day)
    asked = more.pop("asked", dict.fromkeys(SECTIONS, day))
    return Review(held, log, Reading(day=day, facts=known, asked=asked, **more))
