"""Whether one dose is above another, variable by variable (row 26)."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from programs.review.heavier import heavier
from programs.week.week import BalanceWeek, ImpactWeek, Part, PlateWeek, PostureWeek, ResistanceWeek
from tests.programs.followups import in_force

WEEK = in_force().planned.weeks[11]
PLATE, LIFTS, IMPACT = WEEK.plate, WEEK.resistance, WEEK.impact
BALANCE, POSTURE = WEEK.balance, WEEK.posture
ALL: list[Any] = [PLATE, LIFTS, IMPACT, BALANCE, POSTURE]


@pytest.mark.parametrize("part", ALL)
def test_the_same_is_not_above(part: Part) -> None:
    assert not heavier(part, part)


@pytest.mark.parametrize(
    ("part", "more"),
    [
        (PLATE, {"frequency_hz": 26}),
        (PLATE, {"displacement_mm": 1.1}),
        (PLATE, {"peak_g": 1.27}),
        (PLATE, {"bouts": 7}),
        (PLATE, {"bout_s": 61}),
        (PLATE, {"vibration_min": 6.5}),
        (LIFTS, {"sets": 4}),
        (LIFTS, {"reps": 11}),
        (LIFTS, {"percent_1rm": 75, "reps": 3}),
        (IMPACT, {"impacts": 40}),
        (IMPACT, {"exercises": ("stamp",), "impacts": 10, "peak_bw": 3.08}),
        (IMPACT, {"exercises": ("stamp",), "impacts": 10, "leg_bw": 3.08}),
        (BALANCE, {"minutes": 121}),
        (BALANCE, {"rung": 7}),
        (POSTURE, {"minutes": 49}),  # of six days
        (POSTURE, {"hold_s": 11}),
        (POSTURE, {"reps": 9}),
        (POSTURE, {"exercises": ("loaded_prone_lift",)}),
    ],
)
def test_more_of_one_is_above_and_less_is_not(part: Any, more: dict[str, Any]) -> None:
    up = replace(part, **more)
    assert heavier(up, part)
    assert not heavier(part, up)


@pytest.mark.parametrize(
    ("part", "other"),
    [
        (PLATE, {"sessions": 5}),
        (LIFTS, {"sessions": 3}),
        (LIFTS, {"percent_1rm": 67, "reps": 15}),  # repetitions count within one load
        (LIFTS, {"percent_1rm": None, "reps": 15}),
        (IMPACT, {"exercises": ("step_down_low",), "impacts": 50, "peak_bw": 2.2, "leg_bw": 2.2}),
        (IMPACT, {"exercises": ("brisk_walk",), "impacts": None, "minutes": 20, "peak_bw": 1.5}),
        (POSTURE, {"sessions": 7, "minutes": 49}),  # a day more, as long on each
        (POSTURE, {"reps": None, "hold_s": None}),  # format 1 did not say
    ],
)
def test_what_does_not_count(part: Any, other: dict[str, Any]) -> None:
    assert not heavier(replace(part, **other), part)


def test_minutes_of_one_walk() -> None:
    assert isinstance(IMPACT, ImpactWeek)
    walk = replace(IMPACT, exercises=("brisk_walk",), impacts=None, minutes=10)
    assert heavier(replace(walk, minutes=15), walk)


def test_standing_is_above_sitting() -> None:
    assert isinstance(BALANCE, BalanceWeek)
    assert heavier(BALANCE, replace(BALANCE, rung=None))


def test_two_modalities_cannot_be_compared() -> None:
    assert isinstance(PLATE, PlateWeek)
    assert isinstance(LIFTS, ResistanceWeek)
    assert isinstance(POSTURE, PostureWeek)
    with pytest.raises(TypeError, match="two modalities"):
        heavier(PLATE, POSTURE)
