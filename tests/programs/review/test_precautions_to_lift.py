"""What a review may lift, and what speaks against it."""

from __future__ import annotations

import pytest

from programs.draft.resume import FRAGILE_CAP
from programs.review.adherence import Seen, Session
from programs.review.precautions_to_lift import against_lifting, against_walking, liftable
from safety.findings import Modality
from safety.screen import screen
from tests.people import steady
from tests.programs.logs import changed, day, planned
from tests.programs.logs import steady as steady_log

FOUR = steady_log(range(1, 5))
FALLS = {"last_12_months": 3, "injury": "no", "long_lie": "no", "blackout": "no"}


def against(log: list[Session], week: int = 5, *, trouble: bool = False) -> tuple[str, ...]:
    seen = Seen(planned(), day(week), Modality.BALANCE, log)
    return against_lifting([seen], log, trouble)


def test_a_review_with_no_trouble_may_lift() -> None:
    assert against(FOUR) == ()


@pytest.mark.parametrize(
    ("log", "words"),
    [
        (changed(FOUR, 0, pain=4, pain_settled=True), "Pain above 3"),
        (changed(FOUR, 0, pain=None), "Pain was not recorded"),
        (changed(FOUR, 0, fell=None), "Falls were not asked about"),
        ([], "Less than 80 %"),
    ],
)
def test_trouble_since_the_signature_speaks_against_it(log: list[Session], words: str) -> None:
    """Far back counts as well: these are of the first day."""
    assert len(against(log)) == 1
    assert words in against(log)[0]


def test_a_fall_a_break_or_a_sign_speaks_against_it() -> None:
    assert against(FOUR, trouble=True) == ("There was a fall, a broken bone or a warning sign.",)


def test_pain_of_three_does_not_speak_against_it() -> None:
    assert against(changed(FOUR, 0, pain=3)) == ()


def test_four_full_weeks_are_needed() -> None:
    """Rows 7 to 10: from a review on, with 4 weeks done."""
    assert "4 full weeks are not over yet." in against(FOUR[:9], week=4)
    assert against(FOUR, week=5) == ()


def test_a_faller_waits_twelve_weeks_to_walk() -> None:
    """The last line of rows 7 to 10: 12 weeks done, no fall, stance tests no worse."""
    assert against_walking(12, stances_hold=True) == ()
    assert against_walking(11, stances_hold=True) == ("11 weeks were done, 12 are needed.",)
    assert len(against_walking(12, stances_hold=False)) == 1


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
    assert liftable(screen(steady()), 1.0) == ()


def test_what_of_a_faller() -> None:
    found = liftable(screen(steady(falls=FALLS)), 1.0)
    assert {one.code for one in found} >= {"falls.high.impact", FRAGILE_CAP}
    assert all(one.text and one.sources for one in found)
    assert any("capped at 1.5 g" in one.text for one in liftable(screen(steady(falls=FALLS)), 1.5))
    lifted = liftable(screen(steady(falls=FALLS)), None)
    assert FRAGILE_CAP not in {one.code for one in lifted}


def test_what_of_a_plate_held_to_its_start() -> None:
    found = liftable(screen(steady(conditions={"chronic_back_pain": "yes"})), 1.0)
    assert [one.code for one in found] == [
        f"chronic_back_pain.{modality}" for modality in ("plate", "resistance", "impact")
    ]


def test_not_what_was_never_answered_nor_a_plate_that_is_not_there() -> None:
    assert liftable(screen(steady(conditions={"chronic_back_pain": "unknown"})), 1.0) == ()
    no_plate = steady(falls=FALLS, resources={"plates": []})
    assert [one.code for one in liftable(screen(no_plate), 1.0)] == ["falls.high.impact"]
    not_asked = steady(falls=FALLS, resources=None)
    assert [one.code for one in liftable(screen(not_asked), 1.0)] == ["falls.high.impact"]
