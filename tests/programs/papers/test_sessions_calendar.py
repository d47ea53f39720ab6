"""The calendar file: no session slips, lost or doubled; nothing telling in it."""

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

import icalendar
import pytest
from dateutil.rrule import rrulestr

from programs.papers import ENGLISH
from programs.papers.sessions_calendar import sessions, taken_back
from programs.papers.weeks import dates_of_week, days_of
from tests.programs.sample_papers import DIGEST, WHO, program_of, snapshot_of

STAMPED = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
NINE = dt.time(9)
ZONES = (
    "Europe/London",
    "America/New_York",
    "Australia/Sydney",
    "Asia/Kolkata",
    "America/Santiago",
)


def made(held: Any, **more: Any) -> icalendar.Calendar:
    return icalendar.Calendar.from_ical(
        sessions(program_of(held), ENGLISH, **{"digest": DIGEST, "stamped_at": STAMPED} | more)
    )


def event_of(calendar: icalendar.Calendar) -> Any:
    (event,) = calendar.walk("VEVENT")
    return event


def weekly(**more: Any) -> Any:
    """Return a program with the same days in each of its weeks."""
    held = snapshot_of(**more)
    for week in held["weeks"]:
        week["balance"] = held["weeks"][0]["balance"]
    return held


def rising() -> Any:
    """Return a program with three days a week, a fourth from week 7, and none in week 9."""
    held = snapshot_of()
    held["timetable"] = {day: ["impact"] for day in ("mon", "wed", "fri", "sat")}
    for week in held["weeks"]:
        part = held["weeks"][0]["impact"] | {"sessions": 3 if week["week"] < 7 else 4}
        week |= dict.fromkeys(("plate", "resistance", "balance", "posture"))
        week["impact"] = None if week["week"] == 9 else part
    return held


def test_weeks_with_other_days_are_other_events() -> None:
    held = rising()
    events = made(held).walk("VEVENT")
    assert [event["RRULE"]["BYDAY"] for event in events] == [
        ["MO", "WE", "FR"],
        ["MO", "WE", "FR", "SA"],
        ["MO", "WE", "FR", "SA"],
    ]
    found = [moment.date() for event in events for moment in spread_out(event)]
    assert found == planned(held)
    assert len({event["UID"] for event in events}) == 3
    assert events[0]["UID"] == f"{DIGEST[:32]}@calcar.invalid"


def test_each_of_them_is_taken_back() -> None:
    held = rising()
    text = taken_back(program_of(held), ENGLISH, digest=DIGEST, stamped_at=STAMPED)
    events = icalendar.Calendar.from_ical(text).walk("VEVENT")
    assert {event["UID"] for event in events} == {e["UID"] for e in made(held).walk("VEVENT")}
    assert {(event["STATUS"], event["SEQUENCE"]) for event in events} == {("CANCELLED", 1)}


def spread_out(event: Any) -> list[Any]:
    """Return each session, as a calendar program works them out."""
    start = event["DTSTART"].dt
    naive = dt.datetime.combine(start, dt.time()) if type(start) is dt.date else start
    return list(rrulestr(event["RRULE"].to_ical().decode(), dtstart=naive))


def planned(held: Any) -> list[dt.date]:
    program = program_of(held)
    return [
        day
        for week in program.weeks
        for day in dates_of_week(program.starts_on, week.week, days_of(week, program))
    ]


@pytest.mark.parametrize("starts_on", ["2026-03-02", "2026-03-05", "2026-09-20"])
def test_whole_days_are_those_planned(starts_on: str) -> None:
    held = weekly(starts_on=starts_on)
    event = event_of(made(held))
    assert [moment.date() for moment in spread_out(event)] == planned(held)
    assert event["DTSTART"].to_ical() == planned(held)[0].strftime("%Y%m%d").encode()


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("starts_on", ["2026-01-05", "2026-08-03"])
def test_no_session_slips_when_clocks_change(zone: str, starts_on: str) -> None:
    """Cases A13 and A15: half a year from January and from August passes both changes."""
    held = weekly(starts_on=starts_on)
    event = event_of(made(held, starts_at=NINE, zone=ZoneInfo(zone)))
    found = spread_out(event)
    assert [moment.date() for moment in found] == planned(held)
    assert {moment.time() for moment in found} == {NINE}
    assert event["DTSTART"].params["TZID"] == zone


def test_the_clocks_do_change_on_the_way() -> None:
    held = weekly(starts_on="2026-01-05")
    event = event_of(made(held, starts_at=NINE, zone=ZoneInfo("Europe/London")))
    assert len({moment.utcoffset() for moment in spread_out(event)}) == 2


def test_a_timed_file_carries_its_zone() -> None:
    calendar = made(weekly(), starts_at=NINE, zone=ZoneInfo("Europe/London"))
    (zone,) = calendar.walk("VTIMEZONE")
    assert zone["TZID"] == "Europe/London"
    assert not made(weekly()).walk("VTIMEZONE")


def test_it_has_what_a_calendar_program_needs() -> None:
    """UID and DTSTAMP once each, PRODID and VERSION: RFC 5545, 3.6 and 3.6.1."""
    calendar = made(weekly())
    event = event_of(calendar)
    assert calendar["VERSION"] == "2.0"
    assert calendar["PRODID"]
    assert event["UID"] == f"{DIGEST[:32]}@calcar.invalid"
    assert event["DTSTAMP"].dt == STAMPED
    assert event["SEQUENCE"] == 0
    assert "COUNT" in event["RRULE"]
    assert "UNTIL" not in event["RRULE"]


def test_read_twice_it_is_the_same_event() -> None:
    later = {"stamped_at": STAMPED + dt.timedelta(days=3)}
    assert event_of(made(weekly()))["UID"] == event_of(made(weekly(), **later))["UID"]


def test_p05_made_twice_it_is_the_same_file_and_no_event_is_anybody_elses() -> None:
    """P05: entries came twice, or took the place of somebody else's."""

    def file_of(digest: str) -> bytes:
        program = program_of(rising())
        return sessions(program, ENGLISH, digest=digest, stamped_at=STAMPED)

    def uids(file: bytes) -> set[str]:
        events = icalendar.Calendar.from_ical(file).walk("VEVENT")
        return {str(event["UID"]) for event in events}

    hers, another = file_of(DIGEST), file_of(DIGEST[::-1])
    assert hers == file_of(DIGEST)
    assert len(uids(hers)) > 1
    assert not uids(hers) & uids(another)


def test_nothing_in_it_tells_anything() -> None:
    text = sessions(program_of(weekly()), ENGLISH, digest=DIGEST, stamped_at=STAMPED).decode()
    for telling in (WHO["family_name"], WHO["record_number"], "bone", "clinic", "plate"):
        assert str(telling).lower() not in text.lower()
    assert "SUMMARY:Exercises" in text


def test_lines_are_folded_and_end_as_the_format_asks() -> None:
    """RFC 5545, 3.1: lines of at most 75 octets, ended by CR LF."""
    text = sessions(
        program_of(weekly()),
        ENGLISH,
        digest=DIGEST,
        stamped_at=STAMPED,
        starts_at=NINE,
        zone=ZoneInfo("Europe/London"),
    )
    assert all(len(line) <= 75 for line in text.split(b"\r\n"))
    assert b"\n" not in text.replace(b"\r\n", b"")


def test_a_replaced_program_is_taken_back() -> None:
    text = taken_back(program_of(weekly()), ENGLISH, digest=DIGEST, stamped_at=STAMPED)
    calendar = icalendar.Calendar.from_ical(text)
    event = event_of(calendar)
    assert calendar["METHOD"] == "CANCEL"
    assert (event["STATUS"], event["SEQUENCE"]) == ("CANCELLED", 1)
    assert event["UID"] == event_of(made(weekly()))["UID"]


def test_no_training_day_no_file() -> None:
    with pytest.raises(ValueError, match="no training day"):
        made(snapshot_of(timetable={}))
