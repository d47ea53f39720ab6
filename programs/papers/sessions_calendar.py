"""A calendar file of the training days, and the one that takes them back.

Titles tell nothing, since telephones show them on a locked screen. A rule ends by COUNT: an
end date would have to be told in another time zone than the start (RFC 5545, section 3.3.10).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from icalendar import Calendar, Event

from programs.papers.only_until import cut
from programs.papers.paper_parts import Words, gettext_noop
from programs.papers.weeks import Phase, dates_of_week, days_of, phases
from programs.signed.program import SignedProgram

PRODID = "-//Calcar//Exercise days//EN"
TITLE = gettext_noop("Exercises")
_DIGITS = 32


def sessions(
    program: SignedProgram,
    words: Words,
    *,
    digest: str,
    stamped_at: dt.datetime,
    starts_at: dt.time | None = None,
    zone: dt.tzinfo = dt.UTC,
) -> bytes:
    """Return the training days as weekly events, one for each run of weeks with the same days.

    digest      of the signed text; the events' names are made from it, so that a file
                read twice gives each event once
    stamped_at  when the file is made, with its zone
    starts_at   the clock time of the sessions in `zone`; None makes them whole-day events
    Raises ValueError where the program has no training day.
    """
    return _file(_events(program, words, digest, stamped_at, starts_at, zone))


def taken_back(
    program: SignedProgram,
    words: Words,
    *,
    digest: str,
    stamped_at: dt.datetime,
    starts_at: dt.time | None = None,
    zone: dt.tzinfo = dt.UTC,
) -> bytes:
    """Return the file that removes the events, once another program has replaced this one."""
    events = _events(program, words, digest, stamped_at, starts_at, zone)
    for event in events:
        event["SEQUENCE"] = 1
        event.add("status", "CANCELLED")
    return _file(events, method="CANCEL")


def _events(
    program: SignedProgram,
    words: Words,
    digest: str,
    stamped_at: dt.datetime,
    starts_at: dt.time | None,
    zone: dt.tzinfo,
) -> list[Event]:
    program = cut(program)
    runs = phases(program.weeks, lambda week: days_of(week, program) or None)
    if not runs:
        raise ValueError("the program has no training day")
    events = []
    for number, run in enumerate(runs, 1):
        event = _event(run, program.starts_on, starts_at, zone)
        further = f"-{number}" if number > 1 else ""
        event.add("uid", f"{digest[:_DIGITS]}{further}@calcar.invalid")
        event.add("dtstamp", stamped_at.astimezone(dt.UTC))
        event.add("summary", words.gettext(TITLE))
        events.append(event)
    return events


def _event(
    run: Phase[tuple[str, ...]], starts_on: dt.date, starts_at: dt.time | None, zone: dt.tzinfo
) -> Event:
    """Return the event of weeks that have the same days, without its name."""
    weeks = range(run.first, run.last + 1)
    dates = [day for week in weeks for day in dates_of_week(starts_on, week, run.value)]
    first = dates[0]
    event = Event()
    event.add("sequence", 0)
    event.add("class", "PRIVATE")
    event.add("transp", "TRANSPARENT")
    event.add(
        "dtstart", first if starts_at is None else dt.datetime.combine(first, starts_at, zone)
    )
    by_day = [day[:2].upper() for day in run.value]
    event.add("rrule", {"freq": "weekly", "byday": by_day, "count": len(dates)})
    return event


def _file(events: Sequence[Event], method: str = "PUBLISH") -> bytes:
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("method", method)
    for event in events:
        calendar.add_component(event)
    calendar.add_missing_timezones()
    made: bytes = calendar.to_ical()
    return made
