"""How she trains: standing with a hand's reach, with hands on support, sitting, lying."""

from __future__ import annotations

from typing import Any

import pytest

from programs.exercises import EXERCISES
from programs.papers import Handout
from programs.papers.manner import manner_of
from programs.papers.pages import ON_HER_FEET
from programs.papers.paper_parts import Block, Chapter
from tests.programs.papers.test_same_load import spread
from tests.programs.sample_papers import (
    PEOPLE,
    handout_of,
    in_format_1,
    program_of,
    sheet_of,
    snapshot_of,
    week_of,
)

pytestmark = pytest.mark.long

IN_REACH = "Keep within a hand's reach of a worktop."
HOLD_ON = "Keep hold of something fixed."
NAMED = {one.name: one for one in EXERCISES.values()}


def chapter(told: Handout, title: str) -> Chapter:
    (found,) = (one for one in told.chapters if one.title == title)
    return found


def blocks(told: Handout) -> list[Block]:
    return [block for one in told.chapters for block in one.blocks]


def near(held: dict[str, Any], answer: bool) -> dict[str, Any]:
    for week in held["weeks"]:
        week["balance"]["near_support"] = answer
    return held


@pytest.mark.parametrize("answer", [True, False])
def test_near_support_stands_in_every_balance_exercise(answer: bool) -> None:
    held = near(snapshot_of(), answer)
    told = handout_of(held)
    for block in chapter(told, "Balance").blocks:
        assert (IN_REACH in block.steps) == answer
    assert not any(IN_REACH in b.steps for b in chapter(told, "Lifting").blocks)
    (balance,) = (one for one in week_of(held, 1).todos if one.title == "Balance")
    assert balance.how == ((IN_REACH,) * answer)


def test_format_1_does_not_say_whether_support_is_near() -> None:
    assert IN_REACH not in str(handout_of(in_format_1(snapshot_of("faller"))))
    assert IN_REACH in str(handout_of(snapshot_of("faller")))


def test_with_a_frame_hands_are_on_support_in_every_standing_exercise() -> None:
    """Rulebook row 3b."""
    told = handout_of(snapshot_of("frame"))
    for block in blocks(told):
        exercise = NAMED[block.name]
        walking = exercise.modality == "impact"
        line = "Keep both hands on your frame." if walking else HOLD_ON
        assert (line in block.steps) == (exercise.position == "standing")
        assert IN_REACH not in block.steps
    (balance,) = (one for one in told.sheets[0].kinds if one.title == "Balance")
    assert balance.how == (HOLD_ON,)
    assert "walk on the spot" not in str(chapter(told, "Lifting").do)


def test_without_a_frame_nobody_is_told_to_hold_on() -> None:
    assert HOLD_ON not in str(handout_of(snapshot_of()))


def test_a_seated_program_asks_nobody_to_stand_or_walk() -> None:
    """Rulebook row 3b: titles, rules, steps and the moves of the day."""
    told = handout_of(snapshot_of("seated"))
    assert [one.title for one in told.chapters] == ["Lifting", "Balance", "Posture"]
    said = str([(one.do, [b.steps for b in one.blocks]) for one in told.chapters])
    for standing in ("Stand ", "stand up", "Walk ", "walk on", "worktop", "shoes"):
        assert standing not in said
    assert chapter(told, "Balance").do[0] == (
        "Sit on a chair that cannot slide, or in a wheelchair with the brakes on."
    )
    assert {NAMED[block.name].position for block in blocks(told)} == {"seated"}


def test_a_seated_program_near_support_is_not_sent_to_a_worktop() -> None:
    held = near(snapshot_of("seated"), True)
    assert IN_REACH not in str(handout_of(held))


def lying() -> dict[str, Any]:
    held = snapshot_of("seated")
    held["draft"]["assessment"]["training_posture"] = "lying"
    return held


def test_in_bed() -> None:
    told = handout_of(lying())
    assert chapter(told, "Balance").do[0].startswith("Lie in the middle of the bed")
    manner = manner_of(program_of(lying()))
    assert (manner.seated, manner.lying, manner.frame) == (True, True, False)


@pytest.mark.counted
def test_who_sits_is_told_only_the_moves_of_the_day_that_she_makes() -> None:
    held = snapshot_of("vertebral_fracture")
    standing = {move.name for move in handout_of(held).movements}
    held["draft"]["assessment"]["training_posture"] = "seated"
    seated = {move.name for move in handout_of(held).movements}
    assert seated == {"Lifting", "Turning in bed and getting up", "Coughing and sneezing"}
    assert len(standing) == len(seated) + len(ON_HER_FEET)


# --- Posture --------------------------------------------------------------------------------


@pytest.mark.parametrize("person", PEOPLE)
def test_holds_and_times_are_those_of_the_plan(person: str) -> None:
    """On the exercises' own pages, on the sheet of the week and on her phone."""
    held = snapshot_of(person)
    told = {
        (week, NAMED[block.name].code): dose.text
        for block in chapter(handout_of(held), "Posture").blocks
        for dose in block.doses
        for week in spread(dose.weeks)
    }
    parts = {week["week"]: week["posture"] for week in held["weeks"] if week["posture"]}
    assert len(told) == sum(len(part["exercises"]) for part in parts.values())
    for (week, code), text in told.items():
        assert text == of_plan(parts[week], code)
        (kind,) = (one for one in sheet_of(held, week).kinds if one.title == "Posture")
        assert text in [item.dose for item in kind.items if item.code == code]
        (todo,) = (one for one in week_of(held, week).todos if one.title == "Posture")
        assert f"{EXERCISES[code].name}: {text}" in todo.items


def of_plan(part: dict[str, Any], code: str) -> str:
    if EXERCISES[code].hold_s is None:
        return f"{part['reps']} times"
    return f"{part['reps']} holds of {part['hold_s']} seconds each"


def test_a_rest_is_not_counted() -> None:
    held = snapshot_of()
    for week in held["weeks"]:
        week["posture"] |= {"exercises": ["lie_flat"], "minutes": 15, "sessions": 3}
    (block,) = chapter(handout_of(held), "Posture").blocks
    assert [dose.text for dose in block.doses] == ["5 minutes"]


@pytest.mark.counted
def test_format_1_shares_out_its_minutes() -> None:
    """Its weeks count nothing: the minutes of a session are shared among the exercises."""
    held = in_format_1(snapshot_of())
    for week in held["weeks"]:
        exercises = ["chin_tuck", "wall_slide", "lie_flat"]
        week["posture"] |= {"exercises": exercises, "minutes": 45, "sessions": 5}
    told = chapter(handout_of(held), "Posture")
    assert told.table is None
    assert told.do[0] == "Do each exercise in turn, as often as it says."
    said = [[dose.text for dose in block.doses] for block in told.blocks]
    # 3 minutes each: a hold of 5 seconds and 10 to get steady again go into it 12 times.
    assert said == [["12 holds of 5 seconds each"], ["3 minutes"], ["3 minutes"]]
