"""What a paper in somebody's hand says of a new screen, and how soon somebody looks at it."""

from dataclasses import replace
from typing import Any

import pytest

from programs.draft.draft import Draft, draft
from programs.draft.resume import FROM_THE_START, Resume
from programs.review.against_rulebook import unreadable
from programs.review.paper_in_hand import (
    Paper,
    Rank,
    in_one_sentence,
    paper_as_kept,
    paper_from_kept,
    paper_of,
    rank_of,
    unreadable_paper,
)
from programs.signed.program import SignedProgram
from safety.compared_screens import Change, Effect
from safety.findings import Modality
from tests.people import facts, laid_over
from tests.programs.sample_papers import program_of, snapshot_of

CHEST_PAIN = {"symptoms": {"chest_pain": "yes"}}
CLOT = {"conditions": {"acute_thrombosis": "yes"}}


def signed() -> SignedProgram:
    return program_of(snapshot_of())


def today(changes: dict[str, Any]) -> Draft:
    """Return today's draft of whom the sample program was signed for, with changes."""
    return draft(facts(laid_over(snapshot_of()["facts"], changes)))


def paper(week: int = 5, resume: Resume = FROM_THE_START, **changes: Any) -> Paper:
    return paper_of(signed(), today(changes), week, resume)


def change(before: Effect, now: Effect) -> Change:
    return Change(rule="r.plate", about="plate", text="A clot.", before=before, after=now)


STOP = change(Effect.NOTHING, Effect.STOPPED)
HOLD = change(Effect.CARE, Effect.HELD)
CARE = change(Effect.NOTHING, Effect.CARE)
ASKED = change(Effect.NOTHING, Effect.ASKED)
CLEARED = change(Effect.HELD, Effect.CLEARED)


def test_a_paper_that_tells_nothing_above() -> None:
    held = paper()
    assert held.above == ()
    assert held.weeks[0] == 5
    assert set(held.tells) == {m for m in Modality if m in held.tells}
    said = in_one_sentence([CLEARED], held)
    assert said.startswith("Now cleared, vibration plate: A clot; the paper in her hand, version ")
    assert said.endswith(", and nothing above what is allowed today.")


def test_a_paper_that_tells_what_may_not_be_issued() -> None:
    held = paper(**CHEST_PAIN)
    assert rank_of([], held) is Rank.STOP
    said = in_one_sentence([], held)
    assert "Nothing new on the screen; the paper in her hand" in said
    assert said.endswith("; above what is allowed today: the whole program, nothing may be issued.")


def test_a_paper_that_tells_a_modality_that_is_out() -> None:
    held = paper(**CLOT)
    assert {one.modality for one in held.above} <= set(map(str, Modality))
    assert rank_of([], held) is Rank.MORE_THAN_ALLOWED


def test_past_its_last_week_the_last_one_goes_on() -> None:
    held = paper(week=28)
    assert held.weeks == (signed().weeks[-1].week,)
    assert f"week {held.weeks[0]}" in held.words


def test_a_paper_that_holds_nothing_more() -> None:
    assert Paper(version=2, tells=(), weeks=(26,), above=()).words.endswith("nothing any more")


def test_one_modality_and_several_are_listed() -> None:
    words = [
        Paper(version=1, tells=tells, weeks=(3, 4), above=()).words
        for tells in (tuple(Modality)[3:4], tuple(Modality)[3:], tuple(Modality)[2:])
    ]
    assert "tells balance, weeks 3 to 4" in words[0]
    assert "tells balance and posture, weeks 3 to 4" in words[1]
    assert "tells impact, balance and posture, weeks 3 to 4" in words[2]


def test_what_cannot_be_read_is_looked_at() -> None:
    held = unreadable_paper(3, unreadable("The seal does not match."))
    assert rank_of([], held) is Rank.STOP
    assert in_one_sentence([], held) == (
        "Nothing new on the screen; the program in her hand, version 3, it cannot be held against "
        "today’s rulebook."
    )


@pytest.mark.parametrize(
    ("changes", "with_paper", "without"),
    [
        ([STOP, CLEARED], Rank.STOP, Rank.STOP),
        ([HOLD], Rank.MORE_THAN_ALLOWED, Rank.MORE_THAN_ALLOWED),
        ([CARE], Rank.CARE, Rank.CARE),
        ([ASKED], Rank.OTHER, None),
        ([CLEARED], Rank.OTHER, None),
        ([], None, None),
    ],
)
def test_how_soon_somebody_looks(
    changes: list[Change], with_paper: Rank | None, without: Rank | None
) -> None:
    assert rank_of(changes, Paper(version=1, tells=(), weeks=(1,), above=())) is with_paper
    assert rank_of(changes, None) is without


def test_of_several_changes_the_first_is_told_and_the_others_are_counted() -> None:
    assert in_one_sentence([HOLD, CARE, CLEARED], None) == (
        "Now on hold, vibration plate: A clot (and 2 more)."
    )


def test_it_is_read_back_as_it_was_kept() -> None:
    held = paper(**CLOT)
    assert paper_from_kept(paper_as_kept(held)) == held


@pytest.mark.parametrize(("cap", "above"), [(1.0, True), (2.0, False)])
def test_a_cap_that_reviews_lifted_is_not_told_as_above(cap: float, above: bool) -> None:
    """A fragile person whose cap a review lifted to 2 g is allowed what was signed within it."""
    told = {"falls": {"last_12_months": 1, "injury": "no"}, "resources": {"supervised": "yes"}}
    born = {"person": {"born": "1944-08-14"}}
    lifted = Resume(done_weeks={Modality.PLATE: 30}, plate_cap_g=2.0)
    made = draft(facts(laid_over(snapshot_of()["facts"], {**told, **born})), lifted)

    held = paper_of(
        replace(signed(), weeks=made.weeks),
        made,
        1,
        Resume(plate_cap_g=cap),
    )
    peaks = [one for one in held.above if one.what == "peak of the plate"]
    assert bool(peaks) is above
