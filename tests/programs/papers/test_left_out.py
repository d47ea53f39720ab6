"""What a paper says of a kind that is not in the program."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from programs.papers import ENGLISH, Span, issue_of, pages
from programs.papers.span import all_weeks
from programs.signed.program import SignedProgram
from tests.programs.sample_papers import DIGEST, program_of, snapshot_of

BARRED = "What is not in your program"


def said_of_what_is_absent(program: SignedProgram) -> str:
    issue = issue_of(program, ENGLISH, digest=DIGEST, zone=dt.UTC)
    advice = pages(program, ENGLISH, issue, all_weeks(program)).advice
    return " ".join(line for one in advice if one.title == BARRED for line in (*one.tell, *one.do))


def test_balance_and_posture_without_room_are_not_told_as_barred() -> None:
    """“Do not add it on your own” once stood beside balance that only lacked minutes."""
    whole = program_of(snapshot_of("no_plate"))
    weeks = tuple(replace(week, balance=None, posture=None) for week in whole.weeks)
    told = said_of_what_is_absent(replace(whole, weeks=weeks))
    assert told == said_of_what_is_absent(whole)
    assert told == "Not for now: Vibration plate. Do not add it on your own. Ask us why."


def test_what_comes_later_or_has_ended_is_not_told_as_barred() -> None:
    """It is in the program: the sheets say when it starts, or that it has ended."""
    whole = program_of(snapshot_of())
    weeks = tuple(week if week.week > 8 else replace(week, plate=None) for week in whole.weeks)
    late = replace(whole, weeks=weeks)
    issue = issue_of(late, ENGLISH, digest=DIGEST, zone=dt.UTC)
    told = pages(late, ENGLISH, issue, Span(first=1, last=4))
    assert told.plate is None
    assert BARRED not in [one.title for one in told.advice]
    assert told.sheets[0].changes == ("Vibration plate: not yet. It starts in week 9.",)
