"""The sheet of a week: the log's own cells as boxes, what changes, how much of each exercise."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from programs.actions.papers import words_of
from programs.exercises import EXERCISES
from programs.log import day
from programs.log.cells import read_cell
from programs.log.day import Cell, Of, Read, columns_of, logged_lifts
from programs.papers import ENGLISH, WeekSheet, week_sheet
from programs.papers.amounts import PAUSE_S, Amount, amount, amount_words
from programs.papers.changes import changes
from programs.papers.watching import HELPER
from programs.papers.week_sheet import BLANK_KG, letters
from programs.signed.program import SignedProgram
from programs.week.week import BalanceWeek, PostureWeek, Week
from safety.findings import Modality
from tests.each import each
from tests.programs.demo_programs import demo_snapshot, numbers
from tests.programs.sample_papers import (
    PEOPLE,
    handout_of,
    in_format_1,
    program_of,
    sheet_of,
    snapshot_of,
)

pytestmark = pytest.mark.long

SPANISH = words_of("es")


# --- The sheet and the log ------------------------------------------------------------------


def asked_on(sheet: WeekSheet) -> set[str]:
    """Return all that a sheet asks for."""
    rows = [row for kind in sheet.kinds for row in (kind.first, *kind.rows)]
    heads = {head for row in (*rows, *sheet.of_day) for head in row.heads}
    return heads | set(sheet.lines) | set(sheet.lifts.heads if sheet.lifts else ())


@pytest.mark.parametrize("person", PEOPLE)
def test_the_sheet_asks_for_what_the_log_declares_and_nothing_else(person: str) -> None:
    """Which plate it was is asked where she has more than one."""
    held = snapshot_of(person)
    program = program_of(held)
    for week in program.weeks[::5]:
        sheet = sheet_of(held, week.week)
        kinds = [m for m in Modality if getattr(week, m)]
        columns = [c for m in (*kinds, None) for c in columns_of(m, logged_lifts(week.resistance))]
        plates = len(program.motions)
        wanted = {c.cell.boxed for c in columns if c.cell is not day.PLATE or plates > 1}
        if week.plate is not None and week.plate.sessions:
            assert wanted == asked_on(sheet)
        assert asked_on(sheet) <= wanted


def test_a_cell_that_is_added_to_the_log_stands_on_the_sheet(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of a kind, of a lift, of the day as a box, and of the day in words."""
    said = {"head": "New", "asked": "New?"}
    new = (
        Cell(name="a", of=Of.KIND, kinds=day.EVERY, read=Read.TEN, boxed="breath", **said),
        Cell(
            name="b", of=Of.LIFT, kinds=(Modality.RESISTANCE,), read=Read.TEN, boxed="grip", **said
        ),
        Cell(name="c", of=Of.DAY, read=Read.TEN, boxed="sleep", **said),
        Cell(name="d", of=Of.DAY, read=Read.WORDS, boxed="mood", **said),
    )
    before = asked_on(sheet_of(snapshot_of(), 1))
    cells = (*day.CELLS, *new)
    monkeypatch.setattr(day, "CELLS", cells)
    monkeypatch.setattr(day, "OF_DAY", tuple(one for one in cells if one.of is Of.DAY))
    assert asked_on(sheet_of(snapshot_of(), 1)) - before == {"breath", "grip", "sleep", "mood"}


def test_all_kinds_have_the_heads_of_the_table() -> None:
    sheet = sheet_of(snapshot_of(), 1)
    assert sheet.heads == ("Done", "Effort")
    assert {kind.first.heads for kind in sheet.kinds} == {sheet.heads}


@pytest.mark.parametrize("words", [ENGLISH, SPANISH, words_of("fr")], ids=["en", "es", "fr"])
def test_each_letter_that_she_may_write_is_read(words: Any) -> None:
    for cell in day.CELLS:
        if cell.read is Read.KEY:
            read = [read_cell(cell, letter) for letter in letters(cell, words)]
            assert read == list(cell.keys.values())


@pytest.mark.counted
def test_other_letters_stand_as_they_are_declared() -> None:
    cell = replace(day.DONE, keys={"U": "up", "D": "down"})
    assert letters(cell, SPANISH) == ("U", "D")


def test_two_plates_are_told_apart() -> None:
    program = program_of(snapshot_of())
    two = replace(program, motions={"one": "vertical", "other": "vertical"})
    sheets = [week_sheet(of.weeks[0], of, ENGLISH) for of in (program, two)]
    assert ["Which plate" in asked_on(sheet) for sheet in sheets] == [False, True]


def test_a_lift_has_its_weight_or_room_for_one() -> None:
    held = snapshot_of()
    lifts = sheet_of(held, 1).lifts
    assert lifts is not None
    told = {item.name: item.dose for item in lifts.items}
    assert told["Leg press"] == "46\N{NO-BREAK SPACE}kg"
    assert BLANK_KG in told.values()
    assert lifts.heads == ("kg", "left")


def test_a_week_without_weights_has_no_boxes_for_them() -> None:
    held = snapshot_of()
    for one in held["weeks"][0]["resistance"]["exercises"]:
        one |= {"exercise": "chair_stand", "load_kg": None, "reps": 7}
    sheet = sheet_of(held, 1)
    assert sheet.lifts is None
    (lifting,) = (kind for kind in sheet.kinds if kind.title == "Lifting")
    assert {item.dose for item in lifting.items} == {"7 repeats"}
    held["weeks"][0]["resistance"] = None
    assert sheet_of(held, 1).lifts is None


def test_days_that_are_a_choice_say_how_many() -> None:
    held = snapshot_of()
    held["weeks"][0]["balance"]["sessions"] = 2
    (balance,) = (kind for kind in sheet_of(held, 1).kinds if kind.title == "Balance")
    assert balance.days == "on 2 of these days, as you like"
    assert sum(balance.first.open) > 2
    held["weeks"][0]["balance"]["sessions"] = 7
    held["timetable"] = {"mon": ["balance"], "tue": ["plate", "resistance", "impact", "posture"]}
    (balance,) = (kind for kind in sheet_of(held, 1).kinds if kind.title == "Balance")
    assert balance.days == "7 times this week"


# --- How much of each exercise --------------------------------------------------------------


def balance(minutes: int, sessions: int, *codes: str) -> BalanceWeek:
    return BalanceWeek(
        sessions=sessions, minutes=minutes, rung=1, near_support=None, exercises=codes
    )


@pytest.mark.counted
@pytest.mark.parametrize(
    ("minutes", "sessions", "code", "told"),
    [
        # 150 s each of two: holds of 10 s and 10 s to get steady.
        (30, 6, "tandem", "7 holds of 10 seconds each"),
        (30, 6, "side_walk", "2 minutes"),
        (8, 4, "tandem", "3 holds of 10 seconds each"),
        (2, 3, "tandem", "1 hold of 10 seconds"),
        (4, 2, "side_walk", "1 minute"),
        (5, 3, "side_walk", "50 seconds"),
        (1, 7, "side_walk", "10 seconds"),
    ],
)
def test_minutes_are_shared_out(minutes: int, sessions: int, code: str, told: str) -> None:
    much = amount(balance(minutes, sessions, code, "slow_turn"), code)
    assert amount_words(much, ENGLISH) == told


@each(
    ("minutes", "sessions", "count"),
    [(m, s, n) for m in (5, 30, 75, 120, 180, 300) for s in (1, 3, 6, 7) for n in (1, 2, 3, 4)],
)
def test_the_counts_fill_the_minutes_and_are_never_more(
    minutes: int, sessions: int, count: int
) -> None:
    codes = ("tandem", "toe_stand", "side_walk", "slow_turn")[:count]
    part = balance(minutes, sessions, *codes)
    room = minutes * 60 / sessions / count
    for code in codes:
        much, hold = amount(part, code), EXERCISES[code].hold_s
        if hold is None:
            assert much.count is None
            assert much.seconds <= max(room, 10)
            assert room - much.seconds < 60
        else:
            assert much.count is not None
            assert much.count == 1 or much.count * (hold + PAUSE_S) <= room
            assert room - much.count * (hold + PAUSE_S) < hold + PAUSE_S


def test_a_program_that_counts_is_taken_at_its_word() -> None:
    part = PostureWeek(
        sessions=3, minutes=30, hold_s=7, reps=6, exercises=("chin_tuck", "wall_slide", "lie_flat")
    )
    assert amount(part, "chin_tuck") == Amount(count=6, hold_s=7)
    assert amount(part, "wall_slide") == Amount(count=6)
    assert amount(part, "lie_flat") == Amount(seconds=180)
    assert amount(replace(part, hold_s=None), "chin_tuck") == Amount(count=6, hold_s=5)
    assert amount_words(Amount(count=1), SPANISH) == "1 vez"


# --- What changes ---------------------------------------------------------------------------


def of_weeks(**parts: Any) -> SignedProgram:
    """Return a program of four weeks whose plate has these sessions; None: not in the week."""
    held = program_of(snapshot_of())
    alone = [
        replace(week, resistance=None, impact=None, balance=None, posture=None)
        for week in held.weeks[:4]
    ]
    plate = held.weeks[0].plate
    assert plate is not None
    weeks = tuple(
        replace(week, plate=replace(plate, sessions=n) if (n := parts[f"w{week.week}"]) else None)
        for week in alone
    )
    return replace(held, weeks=weeks)


def said(program: SignedProgram, week: int) -> list[str]:
    found: Week = program.weeks[week - 1]
    return [line.removeprefix("Vibration plate: ") for line in changes(found, program, ENGLISH)]


def test_what_starts_rests_and_ends() -> None:
    program = of_weeks(w1=None, w2=2, w3=None, w4=2)
    assert said(program, 1) == ["not yet. It starts in week 2."]
    assert said(program, 2) == ["starts this week."]
    assert said(program, 3) == ["not this week. It comes again in week 4."]
    ended = of_weeks(w1=2, w2=2, w3=None, w4=None)
    assert said(ended, 1) == said(ended, 2) == []
    assert said(ended, 3) == said(ended, 4) == ["has ended in week 2. Do not go on with it."]
    assert said(of_weeks(w1=None, w2=None, w3=None, w4=None), 2) == []


def test_fewer_and_more_days() -> None:
    program = of_weeks(w1=1, w2=2, w3=3, w4=1)
    assert said(program, 2) == ["more often than last week, 2 times in place of 1 time."]
    assert said(program, 3) == ["more often than last week, 3 times in place of 2 times."]
    assert said(program, 4) == ["less often than last week, 1 time in place of 3 times."]


# --- Nobody who is not there, nothing from the floor ----------------------------------------


def snapshots() -> list[tuple[str, Any]]:
    return [
        *((number, demo_snapshot(number)) for number in numbers()),
        *((person, snapshot_of(person)) for person in PEOPLE),
        *((f"{person}, format 1", in_format_1(snapshot_of(person))) for person in PEOPLE),
    ]


@each(("who", "held"), snapshots(), ids=lambda row: row[0])
def test_a_helper_is_named_to_those_who_have_one(who: str, held: Any) -> None:
    told = str(handout_of(held))
    program = program_of(held)
    if program.watcher is not True:
        assert HELPER not in told
        assert "helper" not in told.lower()
        assert "someone beside you" not in told


def test_somebody_has_a_helper() -> None:
    assert HELPER in str(handout_of(snapshot_of("faller"))) or HELPER in str(
        handout_of(snapshot_of("ending"))
    )


@each(("who", "held"), snapshots(), ids=lambda row: row[0])
def test_a_spared_spine_takes_no_weight_from_the_floor(who: str, held: Any) -> None:
    told = handout_of(held)
    spared = any("Do not lift from the floor." in (*c.do, *c.tell) for c in [told.cautions] if c)
    lifts = {b.code for c in told.chapters if c.title == "Lifting" for b in c.blocks}
    weights = any(
        EXERCISES[code].equipment & {"dumbbells", "barbell", "weighted_vest"} for code in lifts
    )
    table = "Take your weights from a table at hip height. Put them back there."
    assert (table in str(told)) == (spared and weights)
    if spared:
        for chapter in told.chapters:
            for block in chapter.blocks:
                steps = " ".join(block.steps).lower()
                assert "from the floor" not in steps.replace("lift your foot from the floor", "")
