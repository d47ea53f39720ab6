"""Balance and posture: minutes, rungs, holds and repetitions (rulebook rows 21 and 22)."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose import balance, posture
from programs.exercises import BALANCE_RUNGS

SIDE, SEMI, TANDEM = "side_by_side_s", "semi_tandem_s", "tandem_s"


@pytest.mark.parametrize(
    ("risk", "age", "falls_aim", "goal"),
    [
        ("low", 64, False, 75),
        ("low", 65, False, 120),
        ("low", 64, True, 120),
        ("low", 80, True, 120),
        ("intermediate", 50, False, 180),
        ("high", 50, False, 180),
        ("unknown", 50, False, 180),
    ],
)
def test_goal_follows_fall_risk(risk: str, age: int, falls_aim: bool, goal: int) -> None:
    """Row 21. Two hours: Giangregorio 2014. Three hours a week: PMC7689963."""
    assert balance.goal_min(risk, age=age, falls_aim=falls_aim) == goal


def test_minutes_rise_by_thirty_a_week_to_the_goal() -> None:
    """Row 21: 75, +30 a week, low function every second week. From memory, to be confirmed."""
    ramp = balance.ramp
    assert ramp(180, low_function=False, places=6) == (75, 105, 135, 165, 180, 180)
    assert ramp(120, low_function=False, places=4) == (75, 105, 120, 120)
    assert ramp(75, low_function=False, places=4) == (75, 75, 75, 75)
    assert ramp(180, low_function=True, places=10) == (
        *(75, 75, 105, 105, 135, 135, 165, 165, 180, 180),
    )


@pytest.mark.parametrize(
    ("tests", "rung"),
    [
        ({}, 1),
        ({SIDE: 9.9}, 1),
        ({SIDE: None, SEMI: None, TANDEM: None}, 1),
        ({SIDE: 10}, 2),
        ({SIDE: 10, SEMI: 9.9}, 2),
        ({SIDE: 10, SEMI: 10}, 3),
        ({SIDE: 10, SEMI: 10, TANDEM: 9.9}, 3),
        ({SIDE: 10, SEMI: 10, TANDEM: 10}, 4),
        ({SEMI: 10}, 3),
        ({TANDEM: 10}, 4),
        ({SIDE: None, SEMI: 4, TANDEM: None}, 1),
        ({SIDE: 0}, 1),
    ],
)
def test_the_first_rung_is_opened_by_the_stances(tests: dict[str, float | None], rung: int) -> None:
    """Row 21: a harder stance held counts for an easier one not measured; else not held."""
    assert balance.first_rung(tests) == rung


def rungs(first: int, **more: object) -> tuple[int, ...]:
    usual = {"rises": True, "near_support": False, "most": BALANCE_RUNGS, "places": 26}
    return balance.rungs(first, **(usual | more))  # type: ignore[arg-type]


def test_rungs_rise_every_fourth_week_and_end_at_the_top() -> None:
    assert BALANCE_RUNGS == 7
    assert rungs(1)[:9] == (1, 1, 1, 1, 2, 2, 2, 2, 3)
    assert rungs(1)[-2:] == (7, 7)
    assert rungs(4) == (*[4] * 4, *[5] * 4, *[6] * 4, *[7] * 14)


def test_near_support_they_rise_every_eighth_week() -> None:
    assert rungs(4, near_support=True) == (*[4] * 8, *[5] * 8, *[6] * 8, *[7] * 2)


@pytest.mark.parametrize("near_support", [True, False])
def test_where_fall_risk_is_not_low_only_a_review_raises_the_rung(near_support: bool) -> None:
    assert rungs(3, rises=False, near_support=near_support) == (3,) * 26


def test_a_faller_who_is_not_watched_stays_at_four() -> None:
    assert rungs(4, rises=False, most=balance.MOST_RUNG_UNWATCHED) == (4,) * 26
    assert max(rungs(1, most=balance.MOST_RUNG_UNWATCHED)) == 4


@given(first=st.integers(1, 4), near_support=st.booleans(), places=st.integers(1, 60))
def test_one_rung_at_a_time(first: int, near_support: bool, places: int) -> None:
    found = rungs(first, near_support=near_support, places=places)
    assert (len(found), found[0]) == (places, first)
    assert all(after - before in (0, 1) for before, after in itertools.pairwise(found))
    assert max(found) <= BALANCE_RUNGS


def test_posture_from_five_to_ten_minutes_a_day() -> None:
    """Five to ten minutes a day: PMC5101068, table T4; a minute more every second week."""
    minutes = [posture.minutes_a_day(place) for place in range(1, 27)]
    assert minutes[:12] == [5, 5, 6, 6, 7, 7, 8, 8, 9, 9, 10, 10]
    assert set(minutes[12:]) == {10}


def test_holds_rise_to_ten_seconds_by_week_eight() -> None:
    """Row 22."""
    holds = [posture.hold_s(place) for place in range(1, 27)]
    assert (holds[0], holds[6], holds[7], holds[-1]) == (5, 9, 10, 10)
    assert all(after - before in (0, 1) for before, after in itertools.pairwise(holds))


def test_weeks_nine_to_sixteen_have_more_repetitions() -> None:
    """Row 22."""
    reps = [posture.reps(place) for place in range(1, 27)]
    assert reps[:8] == [5] * 8
    assert reps[8] == 6
    assert reps[15] > reps[8]
    assert set(reps[16:]) == {10}
    assert all(after - before in (0, 1) for before, after in itertools.pairwise(reps))


@pytest.mark.parametrize(("place", "loaded"), [(1, False), (16, False), (17, True), (26, True)])
def test_a_loaded_back_extension_comes_in_week_seventeen(place: int, loaded: bool) -> None:
    """Row 22."""
    assert posture.is_loaded(place) is loaded
