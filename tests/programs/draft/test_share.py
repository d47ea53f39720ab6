"""How her minutes are shared out: the order in which things give way, and what is given back."""

from __future__ import annotations

from itertools import pairwise

import pytest

from programs.draft.share import (
    Shape,
    balance_least,
    holds,
    loads,
    posture_days,
    settle,
    shapes,
)
from safety.findings import Modality
from tests.programs.draft.shared_time import balance, claims, time

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality
ALL_FIVE = {
    "plate_min": 5.0,
    "plate_days": ("mon", "wed", "fri"),
    "impact_min": 3.0,
    "impact_days": ("mon", "wed", "fri"),
    "balance": balance(),
    "posture": True,
}


def test_things_give_way_in_the_rulebook_s_order() -> None:
    """Row 24: exercises to two, the lowest ranks, sets, one exercise, two sessions last."""
    found = list(shapes(time(60, "hip"), claims(**ALL_FIVE)))
    assert found[0].is_whole
    assert [shape.exercises for shape in found[:3]] == [4, 3, 2]
    assert [shape.dropped - before.dropped for before, shape in pairwise(found[2:7])] == [
        {POSTURE},
        {BALANCE},
        {PLATE},
        {IMPACT},
    ]
    assert [(s.cut_sets, s.exercises, s.lifting_sessions) for s in found[7:11]] == [
        (2, 2, 2),
        (1, 2, 2),
        (1, 1, 2),
        (1, 1, 1),
    ]
    assert found[-2].dropped == found[-1].dropped == set(Modality)


def test_balance_that_comes_first_never_drops_out_before_lifting() -> None:
    asked = claims(**{**ALL_FIVE, "balance": balance(first=45)})
    found = list(shapes(time(60, "falls"), asked))
    assert all(BALANCE not in shape.dropped for shape in found[:-1])
    assert LIFTING in found[-2].dropped


def test_a_shape_with_fewer_exercises_is_not_whole() -> None:
    assert not Shape(exercises=3).is_whole
    assert not Shape(dropped=frozenset({PLATE})).is_whole


def test_each_day_carries_what_falls_on_it() -> None:
    load = loads(time(60), claims(**ALL_FIVE), Shape())
    assert load == {"mon": 26 + 8, "wed": 8, "fri": 26 + 8}
    without = Shape(dropped=frozenset({PLATE, LIFTING}))
    assert loads(time(60), claims(**ALL_FIVE), without) == {"mon": 3, "wed": 3, "fri": 3}
    assert loads(time(60), claims(lifting_min=None), Shape()) == {"mon": 0, "wed": 0, "fri": 0}


def test_room_is_whole_minutes_and_negative_where_overfull() -> None:
    assert time(20).room({"mon": 12.5, "wed": 20.0, "fri": 21.0}) == {"mon": 7, "wed": 0, "fri": -1}


@pytest.mark.parametrize(
    ("room", "some_days", "kept"),
    [
        ((10, 12, 30), False, (10, 10, 10)),
        ((10, 9, 30), False, None),
        ((10, 9, 30), True, (0, 0, 10)),
        ((9, 9, 9), True, None),
    ],
)
def test_balance_keeps_its_least_on_each_day_or_on_some(
    room: tuple[int, ...], some_days: bool, kept: tuple[int, ...] | None
) -> None:
    days = ("mon", "wed", "fri")
    found = balance_least(
        claims(balance=balance()), Shape(some_days=some_days), dict(zip(days, room, strict=True))
    )
    assert (None if found is None else tuple(found.values())) == kept


@pytest.mark.parametrize(
    ("asked", "dropped"),
    [(balance(goal=0), set()), (balance(), {BALANCE}), (balance(first=20), set())],
)
def test_no_least_where_balance_is_not_there_dropped_or_first(
    asked: object, dropped: set[Modality]
) -> None:
    shape = Shape(dropped=frozenset(dropped))
    assert balance_least(claims(balance=asked), shape, {"mon": 0}) == {"mon": 0}


@pytest.mark.parametrize(
    ("room", "days"),
    [
        ((25, 25, 25), ("mon", "wed", "fri")),
        ((24, 25, 25), ("wed", "fri")),  # balance, worth more, would lose a minute of its sixty
        ((15, 15, 10), ("mon", "wed")),
        ((15, 14, 14), None),
        ((15, 15, 9), None),  # balance has less than its least
    ],
)
def test_posture_falls_on_two_days_at_least_beside_balance(
    room: tuple[int, ...], days: tuple[str, ...] | None
) -> None:
    asked = claims(balance=balance(goal=60), posture=True)
    left = dict(zip(("mon", "wed", "fri"), room, strict=True))
    assert posture_days(time(60), asked, Shape(), left) == days


def test_posture_of_higher_rank_takes_its_days_from_balance() -> None:
    """For the spine it comes second and balance fourth: only the least of balance stays."""
    asked = claims(balance=balance(goal=60), posture=True)
    room = {"mon": 15, "wed": 15, "fri": 15}
    assert posture_days(time(60, "spine"), asked, Shape(), room) == ("mon", "wed", "fri")


def test_posture_takes_nothing_of_the_half_of_balance() -> None:
    asked = claims(balance=balance(first=30), posture=True)
    room = {"mon": 15, "wed": 15, "fri": 10}
    assert posture_days(time(60), asked, Shape(), room) == ("mon", "wed")
    room = {"mon": 15, "wed": 12, "fri": 10}
    assert posture_days(time(60), asked, Shape(), room) is None


def test_posture_that_is_not_asked_or_dropped_has_no_day() -> None:
    room = {"mon": 15, "wed": 15, "fri": 15}
    assert posture_days(time(60), claims(), Shape(), room) == ()
    dropped = Shape(dropped=frozenset({POSTURE}))
    assert posture_days(time(60), claims(posture=True), dropped, room) == ()


def test_one_day_alone_holds_posture_once() -> None:
    assert posture_days(time(9, days=("mon",)), claims(posture=True), Shape(), {"mon": 5}) == (
        "mon",
    )


def test_an_overfull_day_does_not_hold() -> None:
    full = time(26)
    assert holds(full, claims(), Shape(), loads(full, claims(), Shape()))
    less = time(25)
    assert not holds(less, claims(), Shape(), loads(less, claims(), Shape()))


@pytest.mark.parametrize(
    ("minutes", "exercises", "cut_sets", "sessions"),
    [
        *((26, 4, None, 2), (25, 3, None, 2), (14, 2, None, 2), (10, 2, 2, 2), (6, 2, 1, 2)),
        (4, 1, 1, 2),
    ],
)
def test_lifting_is_cut_as_far_as_it_must_be(
    minutes: int, exercises: int, cut_sets: int | None, sessions: int
) -> None:
    found = settle(time(minutes, "hip"), claims())
    assert (found.exercises, found.cut_sets, found.lifting_sessions) == (
        exercises,
        cut_sets,
        sessions,
    )


def test_one_session_is_kept_where_two_have_no_room() -> None:
    """Half of 2 x 8 minutes is balance's: four minutes of lifting once, not twice."""
    asked = claims(lift_days=("mon", "fri"), balance=balance(first=8))
    found = settle(time(8, "falls", days=("mon", "fri")), asked)
    assert found.lifting_sessions == 1
    assert LIFTING not in found.dropped


def test_too_little_for_anything_leaves_it_all_out() -> None:
    assert settle(time(1, "hip"), claims(**ALL_FIVE)).dropped == set(Modality)


def test_the_most_valuable_is_given_back_first_and_takes_nothing_from_lifting() -> None:
    """18 minutes: two exercises of three sets take 14. Three of impact find room again, and
    five of the plate on top of them do not; on Wednesday balance has its ten."""
    asked = claims(**{**ALL_FIVE, "posture": False})
    found = settle(time(18, "hip"), asked)
    assert (found.exercises, found.cut_sets) == (2, None)
    assert found.dropped == {PLATE}
    assert found.some_days


def test_lifting_is_not_given_back_once_it_had_to_go() -> None:
    asked = claims(balance=balance(first=6), lift_days=("mon",))
    found = settle(time(7, "falls", days=("mon",)), asked)
    assert found.dropped == {LIFTING}
