"""What stops a program: told by the facts and by the log, new whatever its date (row 26c)."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from programs.review.events import (
    CONDITION,
    FACTS,
    FALL,
    FRACTURE,
    LOG,
    RED_FLAG,
    event_words,
    logged_events,
    new_facts,
)
from tests.people import steady
from tests.programs.logs import day, session

FIVE = day(5)


def told(**changes: Any) -> list[tuple[str, dt.date]]:
    """Return what is new of a person on the day of the review."""
    return new(steady(), steady(**changes))


def new(signed: Any, today: Any, logged: Any = ()) -> list[tuple[str, dt.date]]:
    found = new_facts(signed, replace(today, as_of=FIVE), logged)
    assert all(one.source == FACTS and one.open({}) is None for one in found)
    return [(one.what, one.on) for one in found]


def test_nothing_new() -> None:
    assert told() == []


def test_a_fracture_recorded_since_is_new_whatever_its_date() -> None:
    old = {"site": "vertebra", "date": "2026-01-20", "low_trauma": "yes", "healed": "no"}
    assert told(fractures=[old]) == [(FRACTURE, dt.date(2026, 1, 20))]
    undated = {"site": "vertebra", "low_trauma": "yes", "healed": "no"}
    assert told(fractures=[undated]) == [(FRACTURE, FIVE)]
    known = steady(fractures=[old])
    assert new(known, known) == []
    assert new(known, steady(fractures=[old, old])) == [(FRACTURE, dt.date(2026, 1, 20))]
    assert new(steady(fractures=[undated]), known) == []  # it got its date
    other = old | {"date": "2026-02-20"}
    assert new(known, steady(fractures=[other])) == [(FRACTURE, dt.date(2026, 2, 20))]
    assert new(steady(fractures=None), known) == [(FRACTURE, dt.date(2026, 1, 20))]


def test_a_warning_sign_that_there_is_now() -> None:
    assert told(symptoms={"fever": "yes"}) == [(RED_FLAG, FIVE)]


def test_a_condition_recorded_since() -> None:
    assert told(conditions={"epilepsy": "yes"}) == [(CONDITION, FIVE)]
    dated = {"joint_replacement": {"answer": "yes", "on": "2026-02-01"}}
    assert told(conditions=dated) == [(CONDITION, dt.date(2026, 2, 1))]
    assert new(steady(conditions={"epilepsy": "yes"}), steady(conditions={"epilepsy": "yes"})) == []
    assert new(steady(conditions={"epilepsy": "unknown"}), steady()) == []
    again = {"joint_replacement": {"answer": "yes", "on": "2024-02-01"}}
    assert new(steady(conditions=again), steady(conditions=dated)) == [
        (CONDITION, dt.date(2026, 2, 1))
    ]
    assert told(person={"pregnant": "yes"}) == [(CONDITION, FIVE)]


def test_more_falls_than_at_the_signature_and_by_the_log() -> None:
    one = steady(falls={"last_12_months": 1})
    assert new(steady(), one) == [(FALL, FIVE)]
    assert new(one, one) == []
    assert new(one, steady(falls={"last_12_months": 0})) == []
    logged = logged_events([session(fell=True)])
    assert new(steady(), one, logged) == []
    assert new(steady(falls=None), one) == [(FALL, FIVE)]


def test_events_of_the_log_have_their_kind_and_are_told_once() -> None:
    log = [
        session(fell=True, note="On the stairs: icy."),
        session(day(2), red_flag="chest pain", broke="a wrist", fell=True),
    ]
    found = logged_events([*log, *log])
    assert [(one.what, one.text) for one in found] == [
        (FALL, "A fall: On the stairs: icy."),
        (FALL, "A fall."),
        (FRACTURE, "Broken bone: a wrist"),
        (RED_FLAG, "Warning sign: chest pain"),
    ]
    assert {one.source for one in found} == {LOG}
    assert event_words(found[0]) == "a fall (2 Mar 2026)"


@pytest.mark.parametrize(
    ("said", "section"),
    [({"fell": True}, "falls"), ({"broke": "rib"}, "fractures"), ({"red_flag": "x"}, "symptoms")],
)
def test_it_stops_until_its_section_was_asked_anew(said: dict[str, Any], section: str) -> None:
    """On or after that day, or the day it was entered, whichever is later."""
    (event,) = logged_events([session(day(2), entered_on=day(3), **said)])
    assert event.open({}) == section
    assert event.open({section: day(2, 6)}) == section
    assert event.open({section: day(3)}) is None
