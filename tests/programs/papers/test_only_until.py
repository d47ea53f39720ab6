"""What a clearance carries ends on its last day, whichever day the program begins (row 22b)."""

from __future__ import annotations

import datetime as dt
from typing import Any

import icalendar
import pytest

from programs.papers import ENGLISH
from programs.papers.only_until import cut
from programs.papers.sessions_calendar import sessions
from programs.papers.weeks import dates_of_week, training_days
from programs.week.week import part_of
from safety.findings import Modality
from tests.programs.sample_papers import (
    DIGEST,
    PEOPLE,
    handout_of,
    program_of,
    snapshot_of,
    week_of,
)

pytestmark = pytest.mark.long

LAST = dt.date(2026, 5, 20)
STAMPED = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)


def dates(held: dict[str, Any], modality: Modality) -> list[dt.date]:
    """Return every day on which the papers hold a modality."""
    program = cut(program_of(held))
    return [
        day
        for week in program.weeks
        for day in dates_of_week(
            program.starts_on, week.week, training_days(week, program, modality)
        )
    ]


@pytest.mark.parametrize("starts_on", ["2026-03-02", "2026-03-05", "2026-03-09", "2026-03-14"])
@pytest.mark.parametrize("modality", [Modality.PLATE, Modality.RESISTANCE])
def test_no_day_on_paper_lies_after_the_last(starts_on: str, modality: Modality) -> None:
    """The draft counts from the assessment, the paper from the program's first day."""
    held = snapshot_of("ending", starts_on=starts_on)
    found = dates(held, modality)
    assert found
    assert LAST - dt.timedelta(days=7) < max(found) <= LAST
    assert max(dates(held, Modality.BALANCE)) > LAST
    program = cut(program_of(held))
    for week in program.weeks:
        part = part_of(week, modality)
        days = training_days(week, program, modality)
        assert (part.sessions if part else 0) == len(days)


def test_the_calendar_ends_with_what_is_left() -> None:
    held = snapshot_of("ending")
    for week in held["weeks"]:
        week |= dict.fromkeys(("resistance", "impact", "balance", "posture"))
    made = sessions(program_of(held), ENGLISH, digest=DIGEST, stamped_at=STAMPED)
    events = icalendar.Calendar.from_ical(made).walk("VEVENT")
    counts = sum(event["RRULE"]["COUNT"][0] for event in events)
    assert counts == len(dates(held, Modality.PLATE)) == 34


def test_a_week_cut_short_names_the_days_left() -> None:
    held = snapshot_of("ending")
    todos = {todo.title: todo.days for todo in week_of(held, 12).todos}
    assert (todos["Vibration plate"], todos["Lifting"]) == ("Tue", "Mon")
    later = {todo.title for todo in week_of(held, 13).todos}
    assert not {"Vibration plate", "Lifting"} & later
    assert week_of(held, 11).until == week_of(held, 1).until
    assert week_of(held, 13).until == ()


@pytest.mark.counted
def test_a_program_that_begins_later_loses_the_weeks_at_its_end() -> None:
    held = snapshot_of("ending", starts_on="2026-03-16")
    assert "Vibration plate" not in {todo.title for todo in week_of(held, 11).todos}
    told = handout_of(held)
    assert told.plate is not None
    assert told.plate.rows[-1][0] == "1 to 10"


def carried(until: str, **weeks: Any) -> dict[str, Any]:
    """Return a program whose balance a clearance carries."""
    held = snapshot_of()
    held["draft"]["modalities"]["balance"]["until"] = until
    for week in held["weeks"]:
        week["balance"] |= {"sessions": 3, "minutes": 60} | weeks
    return held


@pytest.mark.counted
def test_minutes_of_a_week_cut_short() -> None:
    """Monday and Wednesday of week 2, at as many minutes as ever."""
    held = carried("2026-03-11")
    second = cut(program_of(held)).weeks[1].balance
    assert second is not None
    assert (second.sessions, second.minutes) == (2, 40)
    (balance,) = (one for one in week_of(held, 2).todos if one.title == "Balance")
    assert (balance.days, balance.dose) == ("Mon, Wed", "20 minutes each time")
    assert week_of(held, 2).until == ("Balance: only until 11 March 2026, then stop.",)


@pytest.mark.parametrize("person", sorted(set(PEOPLE) - {"ending", "vertebral_fracture"}))
def test_without_a_last_day_nothing_is_cut(person: str) -> None:
    program = program_of(snapshot_of(person))
    assert cut(program) is program
    assert "only until" not in str(handout_of(snapshot_of(person)))
