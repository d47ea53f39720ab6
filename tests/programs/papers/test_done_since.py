"""What the paper after a review tells of what she has done, and what it does not say."""

from __future__ import annotations

import datetime as dt
from typing import Any

from programs.papers import ENGLISH
from programs.papers.done_since import DoneSince, first_rung, section
from tests.plain_language import check_line
from tests.programs.sample_papers import program_of, snapshot_of

DAY = dt.date(2026, 3, 2)


def told(**more: Any) -> tuple[str, ...]:
    held: dict[str, Any] = {"sessions": 0, "stands": None, "rungs": None}
    found = section(DoneSince(since=DAY, **held | more), ENGLISH)
    if found is None:
        return ()
    assert found.title == "What you have done since 2 March 2026"
    assert [trouble for line in found.tell for trouble in check_line(line)] == []
    return found.tell


def test_it_tells_sessions_stands_and_stages() -> None:
    assert told(sessions=31, stands=(8, 11), rungs=(2, 4)) == (
        "You did 31 sessions.",
        "You stood up from the chair 8 times in 30 seconds then, 11 times now.",
        "In balance you went up by 2 steps.",
        "None of this tells how your bones are. A scan does, later on.",
    )
    assert told(sessions=1)[0] == "You did 1 session."


def test_fewer_stands_are_told_as_they_were_measured() -> None:
    assert "9 times in 30 seconds then, 8 times now" in told(stands=(9, 8))[0]


def test_a_stage_that_did_not_rise_is_no_news() -> None:
    assert told(rungs=(4, 4)) == ()
    assert told(rungs=(4, 3)) == ()


def test_where_nothing_is_on_record_nothing_is_said() -> None:
    assert told() == ()


def test_it_is_never_a_promise_about_bone() -> None:
    line = told(sessions=31, stands=(8, 11))[-1]
    assert line.startswith("None of this tells how your bones are")


def test_the_rung_of_a_program_is_that_of_its_first_week_with_balance() -> None:
    held = snapshot_of("hip_first")
    first = held["weeks"][0]["balance"]["rung"]
    assert first_rung(program_of(held)) == first
    held["weeks"][0]["balance"] = None
    assert first_rung(program_of(held)) == held["weeks"][1]["balance"]["rung"]
    for week in held["weeks"]:
        week["balance"] = None
    assert first_rung(program_of(held)) is None
