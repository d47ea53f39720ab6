"""Where each modality stands, in words made from the rule that decided."""

from __future__ import annotations

from typing import Any

import pytest

from programs.draft.draft import Draft, draft
from programs.draft.standings import weeks_named
from safety.findings import Modality
from safety.screen import Status
from tests.people import clearance, fracture, scan, steady

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality
STRONG_PLATE = {
    "name": "strong",
    "motion": "vertical",
    "frequency_hz": {"from": 30, "to": 30, "step": 1},
    "displacement_mm": {"settings": [4.0], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "load_limit_kg": 120,
}


def made(**changes: Any) -> Draft:
    return draft(steady(**changes))


def why(modality: Modality, **changes: Any) -> tuple[str, ...]:
    return made(**changes).standings[modality].why


def out(modality: Modality, **changes: Any) -> tuple[int, str]:
    told = {one.about: (one.from_week, one.why) for one in made(**changes).left_out}
    return told[modality]


@pytest.mark.parametrize(
    ("changes", "because"),
    [
        ({"falls": {"last_12_months": 2}}, "fall risk is high ("),
        ({"tests": {"up_and_go_s": 16}}, "function is low ("),
        ({"fractures": [fracture("vertebra", "2021-04-01")]}, "form before load ("),
        ({"scans": [scan(t=-3.2, z=-1.0)]}, "form before load ("),
        (
            {"person": {"height_cm": 158, "tallest_height_cm": 164}},
            "form before load (",  # a vertebral fracture is not ruled out (row 2a)
        ),
    ],
)
def test_balance_comes_first_for_the_reason_that_put_it_there(
    changes: dict[str, Any], because: str
) -> None:
    """Rows 23 and 2a: not "for the aims"."""
    first = why(BALANCE, **changes)[0]
    assert first.startswith("Number 1 of 5: it comes first because ")
    assert because in first
    assert "aims" not in first


def test_a_spine_not_imaged_is_named_in_the_reason() -> None:
    first = why(BALANCE, person={"height_cm": 158, "tallest_height_cm": 164})[0]
    assert "vertebra" in first


def test_elsewhere_the_aims_decide_and_are_named() -> None:
    assert why(BALANCE)[0] == "Number 4 of 5 in value for the aims: hip."
    assert why(BALANCE, aims=["falls", "hip"])[0].endswith("for the aims: falls, hip.")
    assert why(BALANCE, aims=[])[0].endswith("for the aims: falls (no aim was recorded).")
    # What comes first for another keeps its own words.
    faller = made(falls={"last_12_months": 2}).standings
    assert faller[LIFTING].why[0] == "Number 2 of 5 in value for the aims: hip."


def test_a_plate_that_is_not_there_or_moves_too_far_says_so_before_all_else() -> None:
    """Whatever else was asked about it; only its place in value stands before."""
    unasked = {"conditions": {"otherwise": "unknown"}}
    none = made(**unasked, resources={"plates": []}).standings[PLATE]
    assert (none.status, none.why[1]) == (Status.EXCLUDED, "There is no plate.")
    strong = made(**unasked, resources={"plates": [STRONG_PLATE]}).standings[PLATE]
    assert strong.status is Status.EXCLUDED
    assert strong.why[1].startswith("strong: ")
    assert "no displacement" in strong.why[1] or "mm" in strong.why[1]


def test_a_plate_nobody_asked_about_waits_and_its_rank_is_told_first() -> None:
    found = made(resources={"plates": None}).standings[PLATE]
    assert (found.status, found.why[-1]) == (
        Status.ON_HOLD,
        "Whether there is a plate was not recorded.",
    )
    assert found.why[0].startswith("Number 3 of 5")


def test_a_barred_plate_stays_barred_though_it_fits() -> None:
    found = made(conditions={"acute_thrombosis": "yes"}).standings[PLATE]
    assert found.status is Status.EXCLUDED
    assert found.why[-1].startswith("at home: ")


def test_where_lifting_is_not_included_impact_says_that_it_stays_with_walking() -> None:
    words = "No higher than brisk walking: impact above it goes beside resistance"
    assert any(one.startswith(words) for one in why(IMPACT, conditions={"hernia": "yes"}))
    assert not any(one.startswith(words) for one in why(IMPACT))
    # In group C it is walking anyway; excluded, nothing is said of walking.
    vertebra = {"fractures": [fracture("vertebra", "2021-04-01")]}
    ill = {"conditions": {"hernia": "yes"}}
    assert not any(one.startswith(words) for one in why(IMPACT, **vertebra, **ill))


def metal(until: str) -> dict[str, Any]:
    cleared = {"answer": "yes", "cleared": [clearance("plate", until=until)]}
    return {"conditions": {"other_metalwork": cleared}}


def test_a_clearance_that_ends_is_told_with_its_day() -> None:
    """Row 22b."""
    found = made(**metal("2026-05-11")).standings[PLATE]
    assert found.status is Status.INCLUDED
    assert str(found.until) == "2026-05-11"
    assert found.why[-1].startswith("Only until 11 May 2026")


def test_a_clearance_with_none_of_her_days_inside_holds() -> None:
    """She trains on Saturdays; it ends on Friday the sixth of March."""
    friday = {**metal("2026-03-06"), "resources": {"days": ["sat"]}}
    found = made(**friday).standings[PLATE]
    assert (found.status, found.until) == (Status.ON_HOLD, None)
    assert found.why[-1] == "Its clearance ends on 6 March 2026, before any of her days."
    assert made(**metal("2026-03-02")).standings[PLATE].status is Status.INCLUDED
    unasked = {**metal("2026-03-03"), "resources": {"days": None}}
    assert made(**unasked).standings[PLATE].status is Status.INCLUDED


@pytest.mark.parametrize(
    ("days", "minutes", "words"),
    [
        (["mon", "tue"], 50, "Only one lifting session a week fits, and bone needs two"),
        (["mon", "thu"], 3, "No lifting session fits, and bone needs two"),
    ],
)
def test_too_little_lifting_is_told(days: list[str], minutes: int, words: str) -> None:
    """Row 24; under two a week did no better than none over twelve years (Kemmler 2013)."""
    found = made(aims=["hip"], resources={"days": days, "minutes_per_day": minutes})
    told = found.standings[LIFTING]
    assert told.why[-1].startswith(words)
    assert any("12 years" in one or "2013" in one for one in told.sources)


def test_exercises_without_a_load_say_that_bone_needs_a_weight() -> None:
    """Row 19c."""
    told = why(LIFTING, lifts=[], resources={"equipment": ["chair"]})
    assert told[-1].startswith("None of these exercises has a load that can be told in kg")
    assert not any(one.startswith("None of these") for one in why(LIFTING))


@pytest.mark.parametrize(("minutes", "little"), [(20, True), (70, False)])
def test_too_little_balance_is_told_where_fall_risk_is_not_low(minutes: int, little: bool) -> None:
    """Row 24: less than 60 minutes a week for a fall risk intermediate or high."""
    asked = {"resources": {"days": ["mon", "thu"], "minutes_per_day": minutes, "plates": []}}
    told = why(BALANCE, falls={"last_12_months": 1, "unsteady": "yes"}, aims=["falls"], **asked)
    assert any("too little for her risk of falling" in one for one in told) is little
    assert not any("too little" in one for one in why(BALANCE, aims=["falls"], **asked))


def test_what_finds_no_room_says_what_takes_it() -> None:
    asked = {"resources": {"days": ["mon", "wed", "fri"], "minutes_per_day": 20}}
    assert out(PLATE, aims=["hip"], **asked) == (
        1,
        "No room in weeks 1 to 26 in 3 x 20 minutes a week. Resistance and impact come first.",
    )


def test_one_before_it_is_told_in_the_singular_and_none_not_at_all() -> None:
    asked = {"resources": {"days": ["mon", "wed", "fri"], "minutes_per_day": 4, "plates": []}}
    words = "No room in weeks 1 to 26 in 3 x 4 minutes a week."
    assert out(IMPACT, aims=["hip"], **asked) == (1, f"{words} Resistance comes first.")
    asked["resources"]["minutes_per_day"] = 1
    assert out(LIFTING, aims=["hip"], **asked) == (1, words.replace("4 min", "1 min"))


def test_what_ends_with_its_clearance_says_so_from_its_week_on() -> None:
    assert out(PLATE, **metal("2026-04-06")) == (6, "Its clearance ends on 6 April 2026.")


@pytest.mark.parametrize(
    ("numbers", "words"),
    [((3,), "week 3"), ((3, 4, 5), "weeks 3 to 5"), ((3, 5), "some of weeks 3 to 5")],
)
def test_weeks_are_named_as_they_lie(numbers: tuple[int, ...], words: str) -> None:
    assert weeks_named(numbers) == words
