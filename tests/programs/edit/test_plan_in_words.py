"""A plan in words: doses, weeks that are alike in one row, changes beside what was."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from programs.draft.weeks import PLATE_POSTURE
from programs.edit.changes import apply, replay
from programs.edit.plan_in_words import (
    beside,
    change_words,
    days_in_words,
    dose_words,
    exercise_name,
    exercises,
    first_changed,
    in_a_week,
    runs,
    strength_words,
    week_starts,
    weeks_words,
)
from programs.week.document import posture_words
from programs.week.week import part_of
from safety.findings import Modality
from tests.programs.edit.test_changes import STEADY, WALKER, basis, edit, gentle

WEEKS = STEADY.made.weeks


def words(modality: Modality, at: int = 1) -> tuple[str, str]:
    """Return dose and strength of a modality in a week of the steady draft."""
    part = part_of(WEEKS[at - 1], modality)
    assert part is not None
    return dose_words(part), strength_words(part)


@pytest.mark.parametrize(
    ("modality", "dose", "strength"),
    [
        (Modality.PLATE, "25 Hz, 1 mm (panel 1), 4 × 30 s, 60 s rest", "1.26"),
        (
            Modality.RESISTANCE,
            "1 × 15 of a weight that could be lifted 20 times, 5 in reserve; leg press 46 kg",
            "67",
        ),
        (Modality.IMPACT, "10 × heel raise, soft landing", "about 2"),
        (Modality.BALANCE, "75 min a week", "4"),
        (Modality.POSTURE, "30 min a week", ""),
    ],
)
def test_the_first_week_in_words(modality: Modality, dose: str, strength: str) -> None:
    assert words(modality) == (dose, strength)


def test_other_plates_walking_and_unknown_loads() -> None:
    soft = gentle().made.weeks[0].plate
    assert soft is not None
    assert dose_words(soft) == "30 Hz without a break for 10 min"
    hard = WEEKS[0].plate
    assert hard is not None
    assert "panel" not in dose_words(replace(hard, setting=None))
    walk = basis(**WALKER).made.weeks[0].impact
    assert walk is not None
    assert dose_words(walk) == "5 min of brisk walking"
    lifts = basis(lifts=None).made.weeks[0].resistance
    assert lifts is not None
    assert dose_words(lifts) == "1 × 15 of a weight that could be lifted 20 times, 5 in reserve"


def test_weeks_that_are_alike_stand_in_one_row() -> None:
    rows = runs(WEEKS, WEEKS, Modality.PLATE)
    assert [row.weeks for row in rows][:2] == ["1 to 4", "5 to 8"]
    assert (rows[0].first, rows[-1].last) == (1, 26)
    assert [row.first for row in rows[1:]] == [row.last + 1 for row in rows[:-1]]
    assert not any(row.drafted for row in rows)
    assert rows[0].minutes == 5.0


def test_what_was_changed_stands_beside_what_was_drafted() -> None:
    changed = apply(WEEKS, edit("balance.minutes", 60, 1, 1), STEADY)
    first, second = runs(changed, WEEKS, Modality.BALANCE)[:2]
    assert (first.dose, first.drafted) == ("60 min a week", "6 a week, 75 min a week")
    assert second.drafted == ""
    without = replay(WEEKS, [edit("plate", False)], STEADY)
    gone = runs(without, WEEKS, Modality.PLATE)[0]
    assert (gone.dose, gone.sessions, gone.minutes, gone.strength) == ("", 0, 0, "")
    assert gone.drafted.startswith("3 a week")
    back = runs(WEEKS, without, Modality.PLATE)[0]
    assert back.drafted == "not there"


def test_exercises_by_weeks() -> None:
    balance = exercises(WEEKS, WEEKS, Modality.BALANCE)
    assert [one.weeks for one in balance][:2] == ["1 to 4", "5 to 8"]
    lifts = exercises(WEEKS, WEEKS, Modality.RESISTANCE)
    assert lifts[0].names[0] == "Leg press"
    (stance,) = exercises(WEEKS, WEEKS, Modality.PLATE)
    assert (stance.weeks, stance.names) == ("1 to 26", (posture_words(PLATE_POSTURE),))
    assert exercises(WEEKS, WEEKS, Modality.IMPACT) == ()
    none = tuple(replace(week, balance=None) for week in WEEKS)
    assert exercises(none, WEEKS, Modality.BALANCE) == ()
    assert exercise_name("no_longer_there") == "no_longer_there"


def test_a_swapped_exercise_stands_beside_the_one_before() -> None:
    swap = edit("resistance.exercises", "goblet_squat", 3, 4, old="leg_press")
    before, swapped, after = exercises(replay(WEEKS, [swap], STEADY), WEEKS, Modality.RESISTANCE)
    assert (before.was, after.was) == ((), ())
    assert (swapped.weeks, swapped.was) == ("3 to 4", before.names)
    assert swapped.names[0] == "Squat with a weight at the chest"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (edit("plate", False), "left out"),
        (edit("plate", True), "taken back in"),
        (edit("plate.frequency_hz", 30.0, old=25), "Frequency: 25, now 30 Hz"),
        (edit("plate.frequency_hz", 30, old=[25, 30, 35]), "Frequency: 25 to 35, now 30 Hz"),
        (edit("balance.minutes", 60, old=[75, 75]), "Minutes: 75, now 60 a week"),
        (
            edit("resistance.exercises", "goblet_squat", old="leg_press"),
            "Leg press: now squat with a weight at the chest",
        ),
    ],
)
def test_a_change_in_words(change: object, said: str) -> None:
    assert change_words(change) == said  # type: ignore[arg-type]


def test_a_typed_change_beside_what_stands() -> None:
    number = beside(edit("balance.minutes", 60, 1, 3), WEEKS)
    assert (number.what, number.weeks, number.now, number.wanted) == (
        *("Minutes", "1 to 3", "75 to 120", "60 a week"),
    )
    without = replay(WEEKS, [edit("balance", False)], STEADY)
    assert beside(edit("balance.minutes", 60, 1, 1), without).now == "not there"
    swap = beside(edit("resistance.exercises", "goblet_squat", 1, 1, old="leg_press"), WEEKS)
    assert "Leg press" in swap.now
    assert swap.wanted == "Leg press: now squat with a weight at the chest"


def test_the_first_week_that_would_be_another_one() -> None:
    assert first_changed(WEEKS, WEEKS) is None
    then = replay(WEEKS, [edit("balance.minutes", 60, 3, 5), edit("plate", False)], STEADY)
    plate_only = first_changed(WEEKS, then)
    assert plate_only is not None
    assert plate_only.number == 1
    then = replay(WEEKS, [edit("balance.minutes", 60, 3, 5)], STEADY)
    found = first_changed(WEEKS, then)
    assert found is not None
    assert found.number == 3
    assert {name: (now, new) for name, now, new in found.rows}["Balance"] == (
        "6 a week, 120 min a week",
        "6 a week, 60 min a week",
    )
    assert found.minutes == (WEEKS[2].minutes, WEEKS[2].minutes - 60)
    assert in_a_week(replace(WEEKS[0], plate=None), Modality.PLATE) == ""


def test_weeks_days_and_dates() -> None:
    assert weeks_words(3, 3) == "3"
    assert weeks_words(3, 4) == "3 to 4"
    assert week_starts(dt.date(2026, 3, 2), 5) == dt.date(2026, 3, 30)
    assert days_in_words({"mon": ["plate", "balance"]}) == (("Monday", "vibration plate, balance"),)
