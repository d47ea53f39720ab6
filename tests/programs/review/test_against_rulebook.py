"""A signed program held against today's rulebook: each kind of thing that it may tell above it."""

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from programs.draft.draft import Draft, draft
from programs.draft.resume import FRAGILE_CAP, Resume
from programs.review.against_rulebook import (
    Difference,
    differences,
    read,
    still_lifted,
    still_to_come,
    unreadable,
    week_on,
    written,
)
from programs.signed.program import SignedProgram, Standing
from programs.signed.snapshot import program_in
from programs.week.week import (
    Part,
    Week,
)
from safety.findings import Modality
from tests.documents import Document, documents
from tests.people import clearance, facts, steady
from tests.programs.sample_papers import PEOPLE, program_of, snapshot_of
from tests.programs.week_parts import jumping, lifting, upright, vibrating

OLD = Path(__file__).parents[2] / "snapshots" / "format-1.json"
FALLER = {"falls": {"last_12_months": 3, "injury": "no"}}


def old_program() -> SignedProgram:
    """A program of the first rulebook, in format 1, of a steady person."""
    return program_in(OLD.read_text(encoding="utf-8").rstrip("\n"))


def today(**changes: Any) -> Draft:
    return draft(steady(**changes))


# --- The whole program ----------------------------------------------------------------------


@pytest.mark.parametrize("person", sorted(PEOPLE))
def test_a_program_of_todays_rulebook_tells_nothing_above_it(person: str) -> None:
    """What is drafted and signed today is within what today allows: nothing found, nothing said."""
    held = snapshot_of(person)
    assert held["weeks"]
    assert differences(program_of(held), draft(facts(held["facts"])), 1) == ()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(documents)
def test_a_random_draft_of_today_is_within_what_today_allows(document: Document) -> None:
    """Else whoever signed yesterday would be called back for nothing."""
    made = draft(facts(document))
    program = replace(
        program_of(snapshot_of()),
        weeks=made.weeks,
        starts_on=made.screen.situation.day,
        standings={
            m: Standing(status=str(s.status), rank=s.rank, until=s.until, why=s.why)
            for m, s in made.standings.items()
        },
    )
    if made.weeks:
        assert [one.words for one in differences(program, made, 1)] == []


def test_an_old_paper_that_told_a_heavier_weight_than_its_percent() -> None:
    """Repetitions and reserve tell how often it could be lifted, whatever percent stood there."""
    found = differences(old_program(), today(), 1)
    assert [(d.modality, d.what) for d in found] == [("resistance", "load")]
    assert found[0].weeks == tuple(range(11, 27))
    assert found[0].words == (
        "Resistance, weeks 11 to 26: load. Told: a weight that could be lifted 10 times: 82 %. "
        "Allowed today: a weight that could be lifted 11 times or more: at most 80 %."
    )


def test_weeks_behind_her_do_not_count() -> None:
    assert differences(old_program(), today(), 20)[0].weeks == tuple(range(20, 27))


def test_past_its_last_week_a_program_goes_on_at_it() -> None:
    assert differences(old_program(), today(), 29)[0].weeks == (26,)
    weeks = old_program().weeks
    assert still_to_come(weeks, -3) == weeks
    assert still_to_come((), 1) == ()


@pytest.mark.parametrize(("days", "week"), [(-7, 0), (-1, 0), (0, 1), (6, 1), (7, 2), (181, 26)])
def test_the_week_of_a_day(days: int, week: int) -> None:
    first = dt.date(2026, 3, 2)
    assert week_on(first, first + dt.timedelta(days=days)) == week


def test_what_blocks_everything_is_said_of_the_whole_program() -> None:
    found = differences(old_program(), today(symptoms={"fever": "yes"}), 3)
    assert found[0].words.startswith("The whole program, weeks 3 to 26: nothing may be issued.")
    assert "Fever" in found[0].allowed


def test_a_modality_that_is_not_included_today_is_said_with_the_reason() -> None:
    found = {d.modality: d for d in differences(old_program(), today(**FALLER), 1)}
    assert found["impact"].what == "it is left out"
    assert found["impact"].allowed.startswith("none of it. High fall risk")
    held = {d.modality: d for d in differences(old_program(), today(conditions=None), 1)}
    assert held["impact"].what == "it is on hold"


@pytest.mark.parametrize(
    ("plates", "what", "words"),
    [([], "it is left out", "There is no plate."), (None, "it is on hold", "was not recorded")],
)
def test_a_plate_that_is_not_there_today(plates: Any, what: str, words: str) -> None:
    program = with_part("plate", vibrating())
    found = differences(program, today(resources={"plates": plates}), 1)
    assert [(d.modality, d.what) for d in found] == [("plate", what)]
    assert words in found[0].allowed


def with_part(modality: str, part: Part, weeks: int = 3) -> SignedProgram:
    """A program that holds a part alone, alike in each of its weeks."""
    bare = dict.fromkeys(("plate", "resistance", "impact", "balance", "posture"))
    made = (Week(week=n, minutes=30, **{**bare, modality: part}) for n in range(1, weeks + 1))
    return replace(old_program(), weeks=tuple(made))


def test_weeks_past_the_last_day_of_a_clearance() -> None:
    """Also the week in which it ends: its later days are past it."""
    program = with_part("posture", upright("chin_tuck"), weeks=4)
    made = today(
        conditions={
            "spinal_implant": {
                "answer": "yes",
                "on": "2020-01-01",
                "cleared": [clearance("impact", until="2026-03-12")],
            }
        }
    )
    assert made.standings[Modality.IMPACT].until == dt.date(2026, 3, 12)
    program = replace(
        with_part("impact", jumping(1.5, "brisk_walk"), weeks=4), starts_on=dt.date(2026, 3, 2)
    )
    found = [d for d in differences(program, made, 1) if d.what == "a clearance ends"]
    assert [d.weeks for d in found] == [(2, 3, 4)]
    assert "12 March 2026" in found[0].allowed


def test_a_clearance_that_the_paper_ends_with_already_is_not_said_again() -> None:
    cleared = {"answer": "yes", "on": "2020-01-01"}
    cleared |= {"cleared": [clearance("impact", until="2026-03-12")]}
    made = today(conditions={"spinal_implant": cleared})
    program = with_part("impact", jumping(1.5, "brisk_walk"), weeks=4)
    for until, said in (("2026-03-12", 0), ("2026-03-11", 0), ("2026-03-13", 1)):
        standing = Standing(
            status="included", rank=1, until=dt.date.fromisoformat(until), why=("",)
        )
        told = replace(
            program,
            starts_on=dt.date(2026, 3, 2),
            standings={**program.standings, Modality.IMPACT: standing},
        )
        ended = [d for d in differences(told, made, 1) if d.what == "a clearance ends"]
        assert len(ended) == said, until


def test_the_same_of_several_weeks_is_said_once_as_in_the_worst() -> None:
    bare = dict.fromkeys(("plate", "impact", "balance", "posture"))
    lifts = (lifting(could_lift=10, percent_1rm=None), lifting(could_lift=8, percent_1rm=None))
    weeks = [Week(week=n, minutes=9, resistance=p, **bare) for n, p in enumerate(lifts, 1)]
    found = differences(replace(old_program(), weeks=tuple(weeks)), today(), 1)
    assert [(d.weeks, d.told) for d in found] == [
        ((1, 2), "a weight that could be lifted 8 times: 86 %")
    ]


def test_exercises_of_one_reason_stand_in_one_line() -> None:
    found = differences(old_program(), today(person={"mobility": "wheelchair"}), 1)
    stood = [d for d in found if d.modality == "posture"]
    assert [d.told for d in stood] == ["“Hip hinge”, “Wall slide with the arms”"]


def test_a_cap_that_an_older_rulebook_lifted_whole_holds_again() -> None:
    lifted = Resume(
        done_weeks={Modality.PLATE: 8}, lifted=frozenset({FRAGILE_CAP, "vertigo.plate"})
    )
    assert still_lifted(lifted) == Resume(lifted=frozenset({"vertigo.plate"}))


# --- As it is kept --------------------------------------------------------------------------


def test_differences_are_kept_as_plain_data_and_read_back() -> None:
    found = differences(old_program(), today(**FALLER), 1)
    assert len(found) > 3
    assert read(written(found)) == found
    assert written(()) == []


def test_what_cannot_be_held_against_anything_says_so() -> None:
    told = unreadable("The signed text cannot be read.")
    assert told == Difference(
        modality="all",
        what="it cannot be held against today’s rulebook",
        told="what nobody has looked at",
        allowed="The signed text cannot be read.",
        weeks=(),
    )
    assert told.words.startswith("The whole program: it cannot be held")
