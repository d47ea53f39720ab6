"""What the log tells counts as a fact at once, on the careful side (row 26d)."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from patients.facts.declared import Facts, Falls
from programs.review.facts_from_log import with_events, with_log
from safety.findings import Modality
from safety.screen import screen
from tests.people import steady
from tests.programs.logs import START, day, session

FIVE = day(5)
BEFORE = dict.fromkeys(("falls", "symptoms", "fractures"), START)
TODAY = dict.fromkeys(BEFORE, FIVE)


def falls(log: list[Any], asked: dict[str, dt.date], facts: Facts | None = None) -> Falls:
    found = with_events(facts or steady(), log, asked, FIVE).falls
    assert found is not None
    return found


def test_nothing_logged_changes_nothing_but_the_day() -> None:
    made = with_log(steady(), [session()], TODAY, FIVE)
    assert made.as_of == FIVE
    assert made.falls == steady().falls
    assert made.lifts == steady().lifts


def test_a_logged_fall_adds_at_once_and_is_drafted_as_high() -> None:
    log = [session(day(2), fell=True)]
    found = falls(log, BEFORE)
    assert found.last_12_months == 1
    assert (found.injury, found.long_lie, found.blackout) == (None, None, None)
    made = with_events(steady(), log, BEFORE, FIVE)
    assert screen(made).situation.fall_risk.drafted_as == "high"
    assert falls(log, BEFORE, steady(falls={"last_12_months": 1})).last_12_months == 2
    assert falls(log, {}, steady(falls=None)).last_12_months == 1


def test_an_injury_told_before_stays() -> None:
    hurt = steady(falls={"last_12_months": 1, "injury": "yes"})
    assert falls([session(day(2), fell=True)], BEFORE, hurt).injury is True


def test_falls_asked_since_are_as_asked_but_never_fewer_than_the_log_holds() -> None:
    log = [session(day(2), fell=True), session(day(3), fell=True)]
    log += [session(day(3), modality=Modality.PLATE, fell=True)]  # the same fall
    found = falls(log, TODAY)
    assert (found.last_12_months, found.injury) == (2, False)
    assert falls(log, TODAY, steady(falls={"last_12_months": 4})).last_12_months == 4


def test_a_fall_of_more_than_a_year_ago_does_not_count() -> None:
    long_ago = session(dt.date(2025, 3, 29), fell=True, entered_on=FIVE)
    assert falls([long_ago], BEFORE).last_12_months == 0
    assert falls([session(dt.date(2025, 3, 30), fell=True)], TODAY).last_12_months == 1


@pytest.mark.parametrize(
    ("said", "name"), [({"red_flag": "chest pain"}, "symptoms"), ({"broke": "rib"}, "fractures")]
)
def test_a_sign_or_a_break_leaves_its_section_unanswered(said: dict[str, Any], name: str) -> None:
    log = [session(day(2), **said)]
    assert getattr(with_events(steady(), log, BEFORE, FIVE), name) is None
    assert getattr(with_events(steady(), log, TODAY, FIVE), name) is not None


def test_what_comes_after_the_day_is_not_read() -> None:
    assert falls([session(day(6), fell=True)], BEFORE).last_12_months == 0


def test_a_set_to_fatigue_before_eight_weeks_without_lifting_sets_no_load() -> None:
    """Row 19d: no load, found anew."""
    last = session(day(1), modality=Modality.RESISTANCE)

    def lifts(days: int, **changes: Any) -> int:
        day_ = day(1) + dt.timedelta(days=days)
        return len(with_log(steady(**changes), [last], {}, day_).lifts or ())

    assert lifts(55) == 1
    assert lifts(56) == 0
    assert lifts(56, lifts=None) == 0
    undated = [{"lift": "leg_press", "kg": 60, "reps": 8}]
    assert lifts(56, lifts=undated) == 0
