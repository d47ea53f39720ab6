"""One dose, one load: what a paper says of lifting is what the plan says (rulebook row 19a)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from programs.dose.could_lift import FELT_TO
from programs.exercises import EXERCISES
from programs.papers import ENGLISH, WeekPage
from programs.papers.lifting import dose_words, how_words, rules, table
from programs.papers.paper_parts import Chapter
from programs.week.week import LiftDose, ResistanceWeek
from tests.programs import logs as plain
from tests.programs.sample_papers import PEOPLE, handout_of, in_format_1, snapshot_of, week_of

pytestmark = pytest.mark.long

EASY = "easy, effort 3 of 10 points when you stop"


def spread(weeks: str) -> list[int]:
    """Return the weeks of "Weeks 1 to 2, 9 to 10", or of a cell of a table."""
    spans = re.findall(r"(\d+)(?: to (\d+))?", weeks)
    return [n for first, last in spans for n in range(int(first), int(last or first) + 1)]


def lifting(held: dict[str, Any]) -> Chapter:
    (chapter,) = (one for one in handout_of(held).chapters if one.title == "Lifting")
    return chapter


def shared(held: dict[str, Any]) -> dict[int, tuple[str, ...]]:
    """Return the cells of the table by week."""
    told = lifting(held).table
    assert told is not None
    return {n: tuple(cells) for weeks, *cells in told.rows for n in spread(weeks)}


def of_each(held: dict[str, Any]) -> dict[tuple[int, str], str]:
    """Return what stands beside each exercise, by week and name."""
    return {
        (n, block.name): dose.text
        for block in lifting(held).blocks
        for dose in block.doses
        for n in spread(dose.weeks)
    }


def lifts(held: dict[str, Any]) -> Iterator[tuple[dict[str, Any], dict[str, Any], str]]:
    """Yield week, exercise and its name, all that the plan holds."""
    for week in held["weeks"]:
        for one in week["resistance"]["exercises"] if week["resistance"] else ():
            yield week, one, EXERCISES[one["exercise"]].name


@pytest.mark.parametrize("person", PEOPLE)
def test_the_handout_tells_the_plans_load(person: str) -> None:
    held = snapshot_of(person)
    texts = of_each(held)
    for week, one, name in lifts(held):
        part = week["resistance"]
        text = texts.pop((week["week"], name))
        if one.get("reps") is not None:
            assert text == f"{one['reps']} repeats"
            assert one["load_kg"] is None
        else:
            felt = part["could_lift"] <= FELT_TO
            kg = one["load_kg"]
            load = "" if kg is None else f"{kg:g}\N{NO-BREAK SPACE}kg: "
            could = f"a weight you could lift about {part['could_lift']} times"
            assert text == load + (could if felt else EASY)
    assert texts == {}


@pytest.mark.counted
@pytest.mark.parametrize("person", PEOPLE)
def test_the_week_tells_the_plans_load(person: str) -> None:
    held = snapshot_of(person)
    for week in held["weeks"]:
        if week["resistance"]:
            check_week(week["resistance"], week_of(held, week["week"]))


def check_week(part: dict[str, Any], page: WeekPage) -> None:
    (todo,) = (one for one in page.todos if one.title == "Lifting")
    said = f"{todo.dose}. {' '.join(todo.how)} {'; '.join(todo.items)}"
    for one in part["exercises"]:
        name = EXERCISES[one["exercise"]].name
        if one.get("reps") is not None:
            (own,) = (line for line in todo.how if line.startswith(f"{one['reps']} repeats: "))
            assert name in own.partition(": ")[2].rstrip(".").split("; ")
        elif one["load_kg"] is not None:
            assert f"{name} ({one['load_kg']:g}\N{NO-BREAK SPACE}kg)" in todo.items
        else:
            assert name in todo.items
    if part["could_lift"] is None:
        assert "could lift" not in said
        assert "effort" not in said
    elif part["could_lift"] <= FELT_TO:
        assert f"could lift about {part['could_lift']} times. Stop at {part['reps']} re" in said
    else:
        assert "Easy: effort 3 of 10 points when you stop." in said
    assert "%" not in said


@pytest.mark.parametrize("person", PEOPLE)
def test_format_1_keeps_its_words(person: str) -> None:
    held = in_format_1(snapshot_of(person))
    cells = shared(held)
    for week, _, _ in lifts(held):
        part = week["resistance"]
        keys = ("sets", "reps", "reps_in_reserve")
        assert cells[week["week"]] == tuple(str(part[key]) for key in keys)
    assert "Choose a weight that fits the table where none is given." in lifting(held).do
    assert "could lift" not in str(handout_of(held))


def test_samples_hold_all_that_is_looked_for() -> None:
    """A weight that is felt, its kg known and unknown; one that is not felt; own repeats."""
    found = [
        (week["resistance"]["could_lift"], one["load_kg"], one.get("reps"))
        for person in PEOPLE
        for week, one, _ in lifts(snapshot_of(person))
    ]
    assert any(n and n <= FELT_TO and kg for n, kg, _ in found)
    assert any(n and n <= FELT_TO and not kg and not reps for n, kg, reps in found)
    assert any(n and n > FELT_TO for n, _, _ in found)
    assert any(reps for _, _, reps in found)


# --- Its words ------------------------------------------------------------------------------


def part(**more: Any) -> ResistanceWeek:
    held: dict[str, Any] = {
        "sessions": 2,
        "group": "B",
        "sets": 2,
        "reps": 15,
        "could_lift": 20,
        "percent_1rm": 67,
        "reps_in_reserve": 5,
        "exercises": (LiftDose(exercise="leg_press", load_kg=46.0),),
    }
    return ResistanceWeek(**held | more)


def test_a_set_in_words() -> None:
    assert dose_words(part(), ENGLISH) == "2 sets of 15 repeats of each"
    (line,) = how_words(part(), ENGLISH)
    assert line == "Use a weight you could lift about 20 times. Stop at 15 repeats."
    (line,) = how_words(part(could_lift=21), ENGLISH)
    assert line == "Easy: effort 3 of 10 points when you stop."
    to_find = (LiftDose(exercise="leg_press", load_kg=None),)
    (line,) = how_words(part(could_lift=21, exercises=to_find), ENGLISH)
    easy = "Easy: effort 3 of 10 points when you stop. Begin with the lightest there is."
    assert line == easy


@pytest.mark.counted
def test_a_week_without_a_weight() -> None:
    own = (LiftDose(exercise="chair_stand", load_kg=None, reps=7),)
    unloaded = part(could_lift=None, percent_1rm=None, reps_in_reserve=None, exercises=own)
    assert dose_words(unloaded, ENGLISH) == "2 sets"
    assert how_words(unloaded, ENGLISH) == ("7 repeats: Chair stand.",)
    assert table([plain.week(1, resistance=unloaded)], ENGLISH) is None


@pytest.mark.parametrize(
    ("kg", "could_lift", "finds"), [(46.0, 20, False), (None, 20, True), (None, 25, False)]
)
def test_a_load_is_found_by_how_often_it_could_be_lifted(
    kg: float | None, could_lift: int, finds: bool
) -> None:
    """Never to 8 to 12 to fatigue; over 20 nobody can feel it."""
    lift = (LiftDose(exercise="leg_press", load_kg=kg),)
    held = [plain.week(1, resistance=part(could_lift=could_lift, exercises=lift))]
    said = " ".join(rules(held, on_spot=True, spared=False, words=ENGLISH))
    assert ("more often than the sheet says" in said) == finds
    assert "8" not in said
    assert "walk on the spot" in said
    assert "walk on the spot" not in " ".join(
        rules(held, on_spot=False, spared=False, words=ENGLISH)
    )
