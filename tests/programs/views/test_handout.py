"""What a handout says: weeks and days, doses as signed, the plate's panel, logs, signature."""

import datetime as dt
import re
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from programs.exercises import EXERCISES
from programs.papers import ENGLISH, doses, issue_of, lifting, pages
from programs.papers.paper_parts import DoseTable
from programs.papers.span import all_weeks
from programs.papers.weeks import (
    Phase,
    dates_of_week,
    days_of,
    days_words,
    merged,
    phases,
    short_day_words,
    training_days,
    weeks_words,
)
from safety.findings import Modality
from tests.programs import logs as plain
from tests.programs.sample_papers import (
    CLINIC,
    DIGEST,
    PEOPLE,
    SIGNER,
    handout_of,
    in_format_1,
    program_of,
    sheet_of,
    snapshot_of,
    week_of,
)

pytestmark = pytest.mark.long


def test_weeks_that_hold_the_same_are_told_together() -> None:
    values = ["a", "a", "b", None, "a"]
    found = phases([plain.week(n) for n in range(1, 6)], lambda week: values[week.week - 1])
    assert [(p.first, p.last, p.value) for p in found] == [(1, 2, "a"), (3, 3, "b"), (5, 5, "a")]
    assert [value for _, value in merged(found)] == ["a", "b"]
    assert weeks_words(merged(found)[0][0], ENGLISH) == "Weeks 1 to 2, 5"
    assert weeks_words(merged(found)[1][0], ENGLISH) == "Week 3"
    two = (Phase(first=3, last=3, value=0), Phase(first=5, last=6, value=0))
    assert weeks_words(two, ENGLISH) == "Weeks 3, 5 to 6"


@pytest.mark.counted
@pytest.mark.parametrize(
    ("days", "sessions", "told"),
    [
        (("mon", "fri"), 2, "Mon, Fri"),
        (("mon", "wed", "fri"), 2, "2 of these days: Mon, Wed, Fri"),
        (("mon",), 3, "3 times this week"),
        ((), 1, "1 time this week"),
    ],
)
def test_days_of_a_week(days: tuple[str, ...], sessions: int, told: str) -> None:
    assert days_words(days, sessions, ENGLISH) == told


def test_a_week_may_begin_on_any_day() -> None:
    thursday = dt.date(2026, 3, 5)
    found = dates_of_week(thursday, 2, ("mon", "thu"))
    assert found == (dt.date(2026, 3, 12), dt.date(2026, 3, 16))
    assert [short_day_words(day, ENGLISH) for day in found] == ["Thu 12", "Mon 16"]


@pytest.mark.parametrize(
    ("minutes", "sessions", "told"),
    [
        (69, 3, "23 minutes"),
        (59, 3, "about 20 minutes"),
        (1, 1, "1 minute"),
        (10, 0, "about 0 minutes"),
    ],
)
def test_minutes_of_one_session(minutes: int, sessions: int, told: str) -> None:
    assert doses.each_time_words(minutes, sessions, ENGLISH) == told


@pytest.mark.parametrize(
    ("minutes", "told"), [(2.0, "2 min"), (2.67, "2 min 40 s"), (0.5, "30 s"), (15, "15 min")]
)
def test_time_as_a_clock_counts_it(minutes: float, told: str) -> None:
    assert doses.seconds_words(minutes) == told


@pytest.mark.parametrize(
    ("load", "told"),
    [
        ((34.0, None, None), "34\N{NO-BREAK SPACE}kg"),
        ((2.5, None, None), "2.5\N{NO-BREAK SPACE}kg"),
        ((None, None, None), "as on the sheet of the week"),
        ((46.0, 20, None), "46\N{NO-BREAK SPACE}kg: a weight you could lift about 20 times"),
        ((None, 20, None), "a weight you could lift about 20 times"),
        ((30.0, 25, None), "30\N{NO-BREAK SPACE}kg: easy, effort 3 of 10 points when you stop"),
        ((None, 30, None), "easy, effort 3 of 10 points when you stop"),
        ((None, None, 7), "7 repeats"),
    ],
)
def test_the_weight_of_a_lift(load: lifting.Load, told: str) -> None:
    """Rulebook row 19a; a number alone, or the sheet, in format 1."""
    assert lifting.load_words(load, ENGLISH) == told


@pytest.mark.parametrize(
    ("sets", "reps", "told"), [(1, 15, "1 set of 15 repeats"), (2, 1, "2 sets of 1 repeat")]
)
def test_sets_in_words(sets: int, reps: int, told: str) -> None:
    assert doses.sets_words(sets, reps, ENGLISH) == told


@pytest.mark.parametrize(
    ("dose", "told"),
    [((10, None), "10 times"), ((None, 5), "5 minutes"), ((None, None), "0 minutes")],
)
def test_an_impact_in_words(dose: tuple[int | None, int | None], told: str) -> None:
    assert doses.impact_words(dose, ENGLISH) == told


# --- A whole handout ------------------------------------------------------------------------


def block_doses(held: dict[str, Any], name: str) -> dict[str, str]:
    told = handout_of(held)
    (block,) = (b for chapter in told.chapters for b in chapter.blocks if b.name == name)
    return {dose.weeks: dose.text for dose in block.doses}


def test_doses_are_those_that_were_signed() -> None:
    """A number that was edited stands on the paper as edited."""
    held = snapshot_of()
    for week in held["weeks"]:
        week["resistance"] |= {
            "sets": 2,
            "reps": 11,
            "could_lift": 18,
            "exercises": [{"exercise": "leg_press", "load_kg": 17.5, "reps": None}],
        }
    told = "17.5\N{NO-BREAK SPACE}kg: a weight you could lift about 18 times"
    assert block_doses(held, "Leg press") == {"Weeks 1 to 26": told}
    (kind,) = (one for one in sheet_of(held, 1).kinds if one.title == "Lifting")
    assert kind.dose == "2 sets of 11 repeats of each"
    assert kind.how == ("Use a weight you could lift about 18 times. Stop at 11 repeats.",)


def test_what_all_lifts_share_stands_on_the_sheets_alone() -> None:
    """And the days on which a kind is done: nothing of it is told a second time."""
    for chapter in handout_of(snapshot_of()).chapters:
        assert chapter.table is None
        assert chapter.doses == ()


def test_a_program_of_format_1_keeps_the_repeats_to_spare() -> None:
    held = in_format_1(snapshot_of())
    table = lifting_table(held)
    assert table.heads == ("Weeks", "Sets", "Repeats", "Spare")
    assert table.reading == ("Spare: stop each set when you could still do this many more.",)
    parts = {week["week"]: week["resistance"] for week in held["weeks"]}
    keys = ("sets", "reps", "reps_in_reserve")
    wanted = {n: tuple(str(part[key]) for key in keys) for n, part in parts.items()}
    assert by_week(table) == wanted
    assert block_doses(held, "Leg press")["Weeks 1 to 6"] == "46\N{NO-BREAK SPACE}kg"
    assert "could lift" not in str(handout_of(held))


def lifting_table(held: dict[str, Any]) -> DoseTable:
    (table,) = (c.table for c in handout_of(held).chapters if c.table and c.title == "Lifting")
    return table


def by_week(table: DoseTable) -> dict[int, tuple[str, ...]]:
    told: dict[int, tuple[str, ...]] = {}
    for weeks, *cells in table.rows:
        first, _, last = weeks.partition(" to ")
        told |= dict.fromkeys(range(int(first), int(last or first) + 1), tuple(cells))
    return told


def test_without_lifting_no_row() -> None:
    held = in_format_1(snapshot_of())
    for week in held["weeks"][:2]:
        week["resistance"] = None
    assert lifting_table(held).rows[0][0].partition(" ")[0] == "3"


@pytest.mark.parametrize("person", PEOPLE)
def test_each_exercise_of_each_week_is_explained(person: str) -> None:
    held = snapshot_of(person)
    told = {b.name for chapter in handout_of(held).chapters for b in chapter.blocks}
    for week in held["weeks"]:
        for part in (week[m] for m in Modality if m != "plate" and week[m]):
            for one in part["exercises"]:
                code = one if isinstance(one, str) else one["exercise"]
                assert EXERCISES[code].name in told


@pytest.mark.parametrize("person", PEOPLE)
def test_each_block_has_its_picture_and_steps(person: str) -> None:
    for chapter in handout_of(snapshot_of(person)).chapters:
        for block in chapter.blocks:
            assert block.figure.startswith("<svg")
            title = re.search("<title>(.*?)</title>", block.figure)
            assert title
            assert title[1].startswith(f"{block.name}. ")
            assert 4 <= len(block.steps) <= 6
            assert block.doses


def test_the_shorter_paper_ends_sooner() -> None:
    told = handout_of(snapshot_of(), last_week=6)
    assert [sheet.brief for sheet in told.sheets] == [f"Week {n}" for n in range(1, 7)]
    assert "Weeks 7" not in str(told.chapters)


def test_only_the_exercises_of_its_weeks() -> None:
    """The loaded back extension comes in week 17 (rulebook row 22)."""
    short, whole = (handout_of(snapshot_of(), last_week=last) for last in (4, 26))
    of_short, of_whole = (
        {b.code for c in told.chapters for b in c.blocks} for told in (short, whole)
    )
    assert of_short < of_whole
    assert "loaded_prone_lift" in of_whole - of_short


def rising() -> dict[str, Any]:
    """Return a program whose impact rises from three days a week to four in week 7."""
    held = snapshot_of()
    timetable = {day: ["impact", "balance"] for day in ("mon", "tue", "thu", "sat")}
    held["timetable"] = timetable
    for week in held["weeks"]:
        part = held["weeks"][0]["impact"] | {"sessions": 3 if week["week"] < 7 else 4}
        balance = held["weeks"][0]["balance"] | {"sessions": 2}
        rest = dict.fromkeys(("plate", "resistance", "posture"))
        week |= {"impact": part, "balance": balance, **rest}
    return held


def test_days_of_loaded_work_are_named_and_those_of_balance_are_a_choice() -> None:
    held = rising()
    program = program_of(held)
    impact, balance = week_of(held, 1).todos
    assert impact.days == "Mon, Tue, Thu"
    assert balance.days == "2 of these days: Mon, Tue, Thu, Sat"
    assert week_of(held, 7).todos[0].days == "Mon, Tue, Thu, Sat"
    assert training_days(program.weeks[0], program, Modality.PLATE) == ()


def test_days_on_which_nothing_is_left_are_no_training_days() -> None:
    held = rising()
    held["weeks"][0]["balance"] = None
    program = program_of(held)
    assert days_of(program.weeks[0], program) == ("mon", "tue", "thu")
    assert days_of(program.weeks[6], program) == ("mon", "tue", "thu", "sat")


def test_what_is_not_in_the_program_is_said() -> None:
    titles = {section.title: section for section in handout_of(snapshot_of("no_plate")).advice}
    assert "Not for now: Vibration plate." in titles["What is not in your program"].tell
    every = [section.title for section in handout_of(snapshot_of("gentle_plate")).advice]
    assert "What is not in your program" not in every


def test_only_a_gentle_plate_is_told_of_its_trials() -> None:
    told = str(handout_of(snapshot_of("gentle_plate")).advice)
    assert "no gain in bone" in told
    assert "no gain in bone" not in str(handout_of(snapshot_of()).advice)


def test_only_a_fragile_spine_gets_the_daily_moves() -> None:
    assert handout_of(snapshot_of()).movements == ()
    told = handout_of(snapshot_of("vertebral_fracture")).movements
    assert {"Bending down", "Lifting", "Sitting down and standing up"} <= {m.name for m in told}


def test_the_clinics_own_words_say_whom_to_call() -> None:
    own = snapshot_of(clinic=CLINIC | {"emergency": "Call 112, day and night."})
    assert handout_of(own).sheets[0].alarm.own == "Call 112, day and night."
    assert week_of(own, 5).alarm.own == "Call 112, day and night."
    assert handout_of(snapshot_of()).sheets[0].alarm.own == ""


def test_visits_are_told_by_date() -> None:
    (visits,) = (s for s in handout_of(snapshot_of()).advice if s.title == "Your next visits")
    assert visits.do[0] == "Come in week 4, which begins on 23 March 2026."


# --- One week -------------------------------------------------------------------------------


def test_one_week_at_a_glance() -> None:
    held = snapshot_of()
    told = week_of(held, 2)
    assert told.title == "Week 2: from Monday 9 March 2026"
    assert [todo.title for todo in told.todos][:2] == ["Vibration plate", "Lifting"]
    work = told.todos[1]
    assert work.dose == "2 sets of 15 repeats of each"
    assert "Leg press (46\N{NO-BREAK SPACE}kg)" in work.items
    assert work.how == ("Use a weight you could lift about 20 times. Stop at 15 repeats.",)
    assert told.alarm.phone == "01 000 000"


def test_without_a_telephone_number() -> None:
    held = snapshot_of(clinic=CLINIC | {"name": "", "phone": ""})
    assert week_of(held, 1).alarm.phone == ""
    assert any("ask us for the number" in line for s in handout_of(held).advice for line in s.do)


# --- Whose paper, and who signed ------------------------------------------------------------


def issue(**more: Any) -> Any:
    held = snapshot_of(**{key: more.pop(key) for key in ("signer", "replaces") if key in more})
    return issue_of(program_of(held), ENGLISH, **{"digest": DIGEST, "zone": dt.UTC} | more)


def test_the_signature_is_told_in_the_clinics_time() -> None:
    late = SIGNER | {"at": "2026-03-02T13:30:00+00:00"}
    told = issue(signer=late, zone=ZoneInfo("Australia/Sydney"))
    assert (told.signed_on, told.signed_at) == ("3 Mar 2026", "3 March 2026 at 00:30 (UTC+11:00)")
    assert issue().signed_at == "2 March 2026 at 09:30 (UTC+00:00)"


def test_what_it_replaces() -> None:
    assert issue().replaces == "It replaces plan 1."
    told = issue(replaced_on=dt.date(2025, 12, 1))
    assert told.replaces == "It replaces the paper of 1 December 2025."
    assert issue(replaces=None).replaces == ""


def test_the_paper_says_who_signed_what() -> None:
    told = handout_of(snapshot_of()).about
    assert told.tell[0] == "It is no substitute for your doctor or for care in person."
    assert told.do == ("Throw older papers away.",)
    assert handout_of(snapshot_of(replaces=None)).about.do == ()


def test_a_draft_is_not_signed() -> None:
    unsigned = {"username": "", "name": "", "at": "", "meaning": ""}
    held = program_of(snapshot_of(signer=unsigned))
    issue_ = issue_of(held, ENGLISH, digest="", zone=dt.UTC)
    told = pages(held, ENGLISH, issue_, all_weeks(held))
    assert (told.issue.signed_by, told.issue.signed_on, told.issue.signed_at) == ("", "", "")
    assert told.about.tell == ("This is a draft. It is not signed. Do not use it.",)
