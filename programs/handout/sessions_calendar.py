"""A calendar file of the training days, and the one that takes it back.

Titles tell nothing, since telephones show them on a locked screen. A rule ends by COUNT: an
end date would have to be told in another time zone than the start (RFC 5545, section 3.3.10).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from icalendar import Calendar, Event

from programs.handout.said import Words, gettext_noop
from programs.handout.weeks import DAYS, dates_of_week

PRODID = "-//Calcar//Exercise days//EN"
TITLE = gettext_noop("Exercises")
_DIGITS = 32


def sessions(
    snapshot: Mapping[str, Any],
    words: Words,
    *,
    digest: str,
    stamped_at: dt.datetime,
    starts_at: dt.time | None = None,
    zone: dt.tzinfo = dt.UTC,
) -> bytes:
    """Return the training days as one weekly event.

    digest      of the snapshot's text; the event's name is made from it, so that a file read
                twice gives one event
    stamped_at  when the file is made, with its zone
    starts_at   the clock time of the sessions in `zone`; None makes them whole-day events
    Raises ValueError where the program has no training day.
    """
    return _file(_event(snapshot, words, digest, stamped_at, starts_at, zone))


def taken_back(
    snapshot: Mapping[str, Any],
    words: Words,
    *,
    digest: str,
    stamped_at: dt.datetime,
    starts_at: dt.time | None = None,
    zone: dt.tzinfo = dt.UTC,
) -> bytes:
    """Return the file that removes the event, once another program has replaced this one."""
    event = _event(snapshot, words, digest, stamped_at, starts_at, zone)
    event["SEQUENCE"] = 1
    event.add("status", "CANCELLED")
    return _file(event, method="CANCEL")


def _event(
    snapshot: Mapping[str, Any],
    words: Words,
    digest: str,
    stamped_at: dt.datetime,
    starts_at: dt.time | None,
    zone: dt.tzinfo,
) -> Event:
    dates = _dates(snapshot)
    if not dates:
        raise ValueError("the program has no training day")
    first = dates[0]
    event = Event()
    event.add("uid", f"{digest[:_DIGITS]}@calcar.invalid")
    event.add("dtstamp", stamped_at.astimezone(dt.UTC))
    event.add("sequence", 0)
    event.add("summary", words.gettext(TITLE))
    event.add("class", "PRIVATE")
    event.add("transp", "TRANSPARENT")
    event.add(
        "dtstart", first if starts_at is None else dt.datetime.combine(first, starts_at, zone)
    )
    event.add("rrule", {"freq": "weekly", "byday": _by_day(snapshot), "count": len(dates)})
    return event


def _dates(snapshot: Mapping[str, Any]) -> list[dt.date]:
    starts_on = dt.date.fromisoformat(snapshot["starts_on"])
    days = tuple(snapshot["timetable"])
    return [d for week in snapshot["weeks"] for d in dates_of_week(starts_on, week["week"], days)]


def _by_day(snapshot: Mapping[str, Any]) -> list[str]:
    return [day[:2].upper() for day in DAYS if day in snapshot["timetable"]]


def _file(event: Event, method: str = "PUBLISH") -> bytes:
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("method", method)
    calendar.add_component(event)
    calendar.add_missing_timezones()
    made: bytes = calendar.to_ical()
    return made
