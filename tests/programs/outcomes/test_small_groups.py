"""Small groups: both sides of the thresholds, and that nobody can work one out."""

from collections import defaultdict
from itertools import product

import pytest

from programs.outcomes.small_groups import is_small, of_all, split, with_another


@pytest.mark.parametrize(("people", "small"), [(0, False), (1, True), (4, True), (5, False)])
def test_small_is_one_to_four(people: int, small: bool) -> None:
    assert is_small(people) is small


@pytest.mark.parametrize(
    ("people", "told"),
    [
        (0, "0"),
        (1, "fewer than 5"),
        (4, "fewer than 5"),
        (5, "5"),
        (15, "15"),
        (16, "at least 16"),
        (19, "at least 16"),
        (20, "20"),
    ],
)
def test_of_twenty_neither_a_few_nor_a_few_left_over_are_told(people: int, told: str) -> None:
    assert of_all(people, 20) == told


def test_a_split_without_a_small_group_is_told() -> None:
    assert split({"a": 5, "b": 30, "c": 0}) == {"a": "5", "b": "30", "c": "0"}


def test_beside_a_small_group_only_which_are_small_is_told() -> None:
    told = {"a": "fewer than 5", "b": "5 or more", "c": "0"}
    assert split({"a": 4, "b": 30, "c": 0}) == told


def test_where_the_sum_gives_sizes_away_nothing_is_told() -> None:
    assert set(split({"a": 1, "b": 5}).values()) == {"not shown"}
    assert set(split({"a": 4, "b": 4}).values()) == {"not shown"}
    assert set(split({"a": 3, "b": 0}).values()) == {"not shown"}


@pytest.mark.parametrize(("groups", "most"), [(2, 23), (3, 23), (4, 14)])
def test_whoever_knows_the_sum_and_the_rules_finds_no_small_group(groups: int, most: int) -> None:
    """Of all sizes that would be told alike, a small one is of at least two sizes."""
    alike = defaultdict(list)
    for sizes in product(range(most + 1), repeat=groups):
        if sum(sizes) <= most:
            told = split(dict(enumerate(sizes)))
            alike[(sum(sizes), *told.values())].append(sizes)
    for key, held in alike.items():
        # Where nobody or one person is, whatever is told says so.
        if key[0] < 2:
            continue
        for sizes in zip(*held, strict=True):
            assert len(set(sizes)) > 1 or not is_small(sizes[0]), (key, held)


def test_whose_sessions_add_up_two_are_kept_back_or_none() -> None:
    assert with_another({"a": 9, "b": 12}) == {"a": True, "b": True}
    assert with_another({"a": 4, "b": 12, "c": 9}) == {"a": False, "b": True, "c": False}
    assert with_another({"a": 4, "b": 3, "c": 9}) == {"a": False, "b": False, "c": True}
    assert with_another({"a": 4, "b": 0}) == {"a": False, "b": True}
