"""What a review may lift, and what speaks against it."""

from __future__ import annotations

import pytest

from programs.adherence import Session
from programs.course import FRAGILE_CAP
from programs.lifted import liftable
from programs.review import Event, review
from safety.screen import screen
from tests.people import steady
from tests.programs.logs import RANK, changed, day, planned
from tests.programs.logs import steady as steady_log

FOUR = steady_log(range(1, 5))
FALLS = {"last_12_months": 3, "injury": "no", "long_lie": "no", "blackout": "no"}


def against(log: list[Session], week: int = 5, **more: object) -> tuple[str, ...]:
    return review(planned(), day(week), log, rank=RANK, **more).against_lifting  # type: ignore[arg-type]


def test_a_review_with_no_trouble_may_lift() -> None:
    assert against(FOUR) == ()


@pytest.mark.parametrize(
    ("log", "words"),
    [
        (changed(FOUR, 0, fell=True), "a fall"),
        (changed(FOUR, 0, red_flag="fever"), "warning sign"),
        (changed(FOUR, 0, pain=4, pain_settled=True), "Pain above 3"),
        (changed(FOUR, 0, pain=None), "Pain was not written down"),
        (changed(FOUR, 0, fell=None), "Falls were not asked about"),
        ([], "Less than 80 %"),
    ],
)
def test_trouble_since_the_signature_speaks_against_it(log: list[Session], words: str) -> None:
    """Far back counts as well: these are of the first day."""
    assert len(against(log)) == 1
    assert words in against(log)[0]


def test_pain_of_three_does_not_speak_against_it() -> None:
    assert against(changed(FOUR, 0, pain=3)) == ()


def test_what_the_facts_say_speaks_against_it() -> None:
    assert len(against(FOUR, events=(Event(on=None, text="Warning sign: fever."),))) == 1


def test_two_full_weeks_are_needed() -> None:
    assert "Two full weeks are not over yet." in against(FOUR[:3], week=2)
    assert against(FOUR[:6], week=3) == ()


def test_eighty_percent_since_the_start_and_of_the_last_weeks() -> None:
    """Of 12 planned sessions 10 are 83 % and 9 are 75 %; of the last 6, 5 are 83 % and 4 66 %."""
    part = {"done": "part"}
    ten = changed(changed(changed(changed(FOUR, 0, **part), 1, **part), 2, **part), 6, **part)
    assert against(ten) == ()
    nine = changed(changed(ten, 3, **part), 4, **part)
    assert against(nine) == ("Less than 80 % of the sessions were done.",)
    lately = changed(changed(FOUR, 10, done="none"), 11, done="none")
    assert against(lately) == ("Less than 80 % of the sessions were done.",)


def test_what_of_a_steady_person() -> None:
    assert liftable(screen(steady())) == ()


def test_what_of_a_faller() -> None:
    found = liftable(screen(steady(falls=FALLS)))
    assert {one.code for one in found} >= {"falls.high.impact", FRAGILE_CAP}
    assert all(one.text and one.sources for one in found)


def test_what_of_a_plate_held_to_its_start() -> None:
    found = liftable(screen(steady(conditions={"chronic_back_pain": "yes"})))
    assert [one.code for one in found] == ["chronic_back_pain.plate"]


def test_not_what_was_never_answered_nor_a_plate_that_is_not_there() -> None:
    assert liftable(screen(steady(conditions={"chronic_back_pain": "unknown"}))) == ()
    no_plate = steady(falls=FALLS, resources={"plates": []})
    assert [one.code for one in liftable(screen(no_plate))] == ["falls.high.impact"]
    not_asked = steady(falls=FALLS, resources=None)
    assert [one.code for one in liftable(screen(not_asked))] == ["falls.high.impact"]
