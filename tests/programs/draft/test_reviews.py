"""When a drafted program is looked at again (rulebook rows 22b and 29)."""

from __future__ import annotations

import pytest

from programs.draft.document import answer
from tests.people import clearance, steady_document


def reviews(**until: str) -> list[tuple[int, str]]:
    """Return the reviews of somebody cleared for these modalities to these days."""
    cleared = [
        {**clearance(modality, until=day), "limits": "none"} for modality, day in until.items()
    ]
    made = answer(steady_document(conditions={"hernia": {"answer": "yes", "cleared": cleared}}))
    return [(one["week"], one["what"]) for one in made["reviews"]]


def test_reviews_stand_after_4_12_26_and_52_weeks() -> None:
    made = answer(steady_document())
    assert [one["week"] for one in made["reviews"]] == [4, 12, 26, 52]
    told = [one["what"] for one in made["reviews"]]
    assert "What was done, what hurt, any fall" in told[0]
    assert "a new set to fatigue" in told[1]
    assert "this draft ends here" in told[2]
    assert "Density, not before 12 months" in told[3]


@pytest.mark.parametrize(
    ("until", "week"),
    [
        ("2026-05-10", 8),  # 26 April, a Sunday, is the last day of week 8
        ("2026-05-11", 9),
        ("2026-03-20", 1),
        ("2026-03-10", 1),  # two weeks before is past
    ],
)
def test_a_review_comes_two_weeks_before_a_clearance_ends(until: str, week: int) -> None:
    found = reviews(resistance=until)
    day = f"{int(until[8:])} {'March' if until[6] == '3' else 'May'} 2026"
    words = f"The clearance of resistance ends on {day}: ask for a new one."
    assert (week, words) in found
    assert found == sorted(found)


def test_clearances_that_end_together_are_one_review() -> None:
    told = [what for _, what in reviews(plate="2026-05-11", resistance="2026-05-11")]
    assert "The clearance of plate and resistance ends on 11 May 2026: ask for a new one." in told
    apart = [week for week, _ in reviews(plate="2026-05-11", resistance="2026-06-11")]
    assert apart == [4, 9, 12, 13, 26, 52]
