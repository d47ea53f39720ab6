"""The weeks as they fit: what is worth more is not held back, balance and posture never fall."""

from __future__ import annotations

from itertools import pairwise

import pytest

from patients.facts.declared import Facts
from programs.compare.changed_facts import with_resources
from programs.draft.draft import Draft, draft
from programs.draft.fit_into_days import Fitted
from safety.findings import Modality
from tests.people import clearance, steady

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality


def fitted(minutes: int, *days: str, **changes: object) -> tuple[Fitted, ...]:
    """Return the weeks of a person with so many minutes on each of these days."""
    return drafted(minutes, *days, **changes).fitted


def drafted(minutes: int, *days: str, **changes: object) -> Draft:
    return draft(with_resources(steady(**changes), days=days, minutes_per_day=minutes))


def faller(**resources: object) -> Facts:
    return steady(falls={"last_12_months": 2}, resources=resources)


def test_with_room_all_of_it_is_there_in_every_week() -> None:
    weeks = draft(steady()).fitted
    assert all(set(week.days) == set(Modality) for week in weeks)
    assert {week.shape.is_whole for week in weeks} == {True}
    assert [week.balance_min for week in weeks][:4] == [75, 105, 120, 120]
    assert all(week.minutes == sum(week.minutes_on.values()) for week in weeks)


def test_the_shape_is_the_same_in_every_week() -> None:
    """No share jumps about: exercises, sets and what is left out are settled once."""
    weeks = fitted(20, "mon", "wed", "fri")
    assert len({week.shape for week in weeks}) == 1


@pytest.mark.parametrize("minutes", [12, 15, 20, 30, 45])
def test_balance_and_posture_never_fall(minutes: int) -> None:
    for aims in (["hip"], ["spine"], ["falls"]):
        weeks = fitted(minutes, "mon", "tue", "thu", "sat", aims=aims)
        for before, after in pairwise(weeks):
            assert after.balance_min >= before.balance_min
            assert after.posture_min >= before.posture_min


def test_a_faller_has_half_of_her_minutes_for_balance_before_anything_else() -> None:
    """Row 24: three days of a quarter of an hour are 45 minutes, so 23 of balance."""
    facts = faller(days=["mon", "wed", "fri"], minutes_per_day=15, plates=[])
    weeks = draft(facts).fitted
    assert {week.balance_min for week in weeks} == {23}
    assert all(len(week.days[LIFTING]) == 2 for week in weeks)


@pytest.mark.parametrize(("minutes", "balance"), [(4, 0), (5, 10), (6, 10), (7, 11), (9, 14)])
def test_the_half_is_reached_in_bouts_of_five_minutes(minutes: int, balance: int) -> None:
    """Three days of 5 minutes: half is 8, which is one bout too long or two of five."""
    facts = faller(days=["mon", "wed", "fri"], minutes_per_day=minutes, plates=[])
    for week in draft(facts).fitted:
        assert week.balance_min == balance
        assert all(bout == 0 or bout >= 5 for bout in week.balance_on.values())


def test_balance_that_comes_first_has_more_than_half_only_where_all_has_room() -> None:
    """Else more time would bring in what takes from it again (row 24)."""
    little = fitted(20, "mon", "wed", "fri", aims=["falls"])
    assert not little[0].shape.is_whole
    assert {week.balance_min for week in little} == {30}
    much = fitted(60, "mon", "wed", "fri", aims=["falls"])
    assert much[0].shape.is_whole
    assert much[-1].balance_min > 90


def test_a_rise_takes_only_what_is_free_of_what_is_worth_more() -> None:
    """Strength first: the plate is worth more than impact and rises as if it were not there."""
    both = fitted(36, "mon", "wed", "fri", aims=["strength"])
    wound = {"foot_ulcer_or_wound": {"answer": "yes", "cleared": [clearance("plate", "balance")]}}
    alone = drafted(36, "mon", "wed", "fri", aims=["strength"], conditions=wound)
    assert both[0].impact
    assert alone.fitted[0].impact is None
    risen = [
        [week.plate and week.plate.session_min for week in weeks][-1]
        for weeks in (both, alone.fitted)
    ]
    assert risen[0]
    assert risen[0] >= 7


def test_where_a_rise_has_no_room_it_waits_and_the_others_go_on() -> None:
    """Three days of forty minutes: fifty impacts beside fifty minutes of the rest; the plate,
    worth less, stays at four bouts."""
    weeks = fitted(40, "mon", "wed", "fri", aims=["hip"])
    assert weeks[-1].impact
    assert weeks[-1].impact.impacts == 50
    assert {week.plate and week.plate.bouts for week in weeks} == {4}
    assert all(used <= 40 for week in weeks for used in week.minutes_on.values())


def test_a_rise_leaves_balance_that_falls_on_some_days_one_of_them() -> None:
    """Hip, three days of half an hour: balance has its ten minutes on one day throughout."""
    weeks = fitted(30, "mon", "wed", "fri", aims=["hip"])
    assert BALANCE not in weeks[0].shape.dropped
    assert all(week.balance_min >= 10 for week in weeks)


def test_without_lifting_in_the_shape_impact_is_walking() -> None:
    """Rows 7 to 10 and 24: a faller's half leaves no room for lifting; she who walks, walks."""
    weeks = fitted(7, "mon", aims=["falls"])
    assert all(LIFTING not in week.days for week in weeks)
    assert all(week.impact is None or week.impact.minutes for week in weeks)


def test_no_minutes_hold_nothing() -> None:
    weeks = fitted(1, "mon", "wed")
    assert all(week.days == {} and week.minutes == 0 for week in weeks)
    assert all(week.balance is None and week.posture is None for week in weeks)


def test_no_day_holds_nothing_and_says_so() -> None:
    made = drafted(30)
    assert all(week.days == {} for week in made.fitted)
    assert {one.why for one in made.left_out} == {"There is no day for training."}


STIMULATOR = {"answer": "yes", "cleared": [clearance("plate", until="2026-04-06")]}


def test_a_clearance_that_ends_cuts_its_week_and_leaves_the_later_ones() -> None:
    """Row 22b: 6 April is the Monday of week 6; the plate falls on Tuesday first."""
    facts = steady(conditions={"implanted_stimulator": STIMULATOR})
    made = draft(facts)
    with_plate = [n for n, week in enumerate(made.fitted, 1) if PLATE in week.days]
    assert with_plate == [1, 2, 3, 4, 5]
    for before, after in pairwise(made.fitted):
        assert after.balance_min >= before.balance_min


def test_when_lifting_s_clearance_ends_impact_falls_to_walking_from_five_minutes() -> None:
    cleared = {"answer": "yes", "cleared": [clearance("resistance", until="2026-04-06")]}
    cleared["cleared"][0]["limits"] = "none"
    made = draft(steady(aims=["spine"], conditions={"hernia": cleared}))
    week_6, week_7 = made.fitted[5], made.fitted[6]
    assert len(week_6.days[LIFTING]) == 1
    assert week_6.impact
    assert week_7.impact
    assert LIFTING not in week_7.days
    assert week_6.impact.impacts
    assert week_7.impact.minutes == 5


@pytest.mark.parametrize("until", ["2026-04-19", "2026-04-20", "2026-04-22"])
def test_what_ends_in_a_steady_week_raises_nothing_in_it(until: str) -> None:
    """Row 25: minutes that come free in a fourth week, here from its start, its Monday or its
    Wednesday on, are taken from the week after on."""
    facts = steady(
        conditions={
            "implanted_stimulator": {"answer": "yes", "cleared": [clearance("plate", until=until)]}
        },
        resources={"minutes_per_day": 30},
    )
    weeks = draft(facts).fitted
    assert weeks[7].balance_min == weeks[6].balance_min
    assert weeks[7].posture_min == weeks[6].posture_min
    assert weeks[8].balance_min + weeks[8].posture_min > weeks[7].balance_min
