"""The people and the logs of the invented clinic, before anything is loaded."""

from __future__ import annotations

import datetime as dt

import pytest

from patients.facts.declared import Facts
from patients.facts.document import read
from patients.measured.density import asked_of_newest
from programs.demo.log import sessions, with_fall, with_sore_knee
from programs.demo.people import PEOPLE, REVIEW_DUE, DemoPerson
from programs.draft.document import answer
from programs.review.adherence import Planned, Session
from programs.week.document import read_weeks
from safety.findings import Modality

TODAY = dt.date(2026, 11, 25)  # a Wednesday


def drafted(person: DemoPerson) -> dict[str, str]:
    document = answer(person.document(TODAY))
    return {name: one["status"] for name, one in document["modalities"].items()}


# --- The people -----------------------------------------------------------------------------


@pytest.mark.parametrize("today", [TODAY, dt.date(2028, 2, 29), dt.date(2027, 1, 1)])
@pytest.mark.parametrize("person", PEOPLE, ids=lambda one: one.family_name)
def test_everyone_is_a_facts_document_on_any_day(person: DemoPerson, today: dt.date) -> None:
    facts = read(person.document(today))
    assert isinstance(facts, Facts), facts
    age = today.year - facts.person.born.year
    assert age - person.years in (0, 1)
    assert asked_of_newest(facts) == ()
    assert facts.person.born.replace(year=today.year - person.years) <= today or age > person.years


def test_no_two_are_alike_and_all_are_plainly_invented() -> None:
    assert len({one.record_number for one in PEOPLE}) == len(PEOPLE) > 0
    assert len({one.family_name for one in PEOPLE}) == len(PEOPLE)
    assert all(one.record_number.startswith("DEMO-") for one in PEOPLE)


@pytest.mark.parametrize(
    ("family", "expected"),
    [
        ("Hipwright", dict.fromkeys(Modality, "included")),
        ("Backhouse", {"plate": "excluded", "resistance": "included"}),
        ("Tumbledown", {"plate": "included", "impact": "excluded"}),
        ("Crestfall", {"plate": "on_hold", "balance": "included"}),
        ("Smallgood", {"plate": "included"}),
        ("Heartwell", {"plate": "on_hold", "resistance": "on_hold", "balance": "included"}),
        ("Tiltwood", {"plate": "included"}),
        ("Inchless", {"plate": "on_hold", "resistance": "included"}),
        ("Footman", {"resistance": "included"}),
    ],
)
def test_each_shows_what_she_is_there_for(family: str, expected: dict[str, str]) -> None:
    (person,) = (one for one in PEOPLE if one.family_name == family)
    assert expected.items() <= drafted(person).items()


def test_the_red_flag_stops_everything() -> None:
    (person,) = (one for one in PEOPLE if one.family_name == "Newache")
    assert answer(person.document(TODAY))["issuable"] is False


# --- Their logs -----------------------------------------------------------------------------


@pytest.mark.parametrize("weeks", [3, 8])
def test_a_tale_without_its_week_changes_nothing(weeks: int) -> None:
    document = answer(REVIEW_DUE.document(TODAY))
    weeks_ahead = read_weeks(document["weeks"])
    planned = Planned(starts_on=TODAY, weeks=weeks_ahead, timetable=document["timetable"])
    logged = list(sessions(planned, weeks))
    assert [week for week, _ in logged] == list(range(1, weeks + 1))
    sore = [one for week, held in logged for one in with_sore_knee(week, held) if one.note]
    assert len(sore) == (weeks == 8)
    fell = [one for week, held in logged for one in with_fall(week, held) if one.fell]
    assert len(fell) == (weeks == 8)


def test_a_tale_needs_the_session_that_it_tells_of() -> None:
    other = [Session(on=TODAY, modality=Modality.PLATE, done="all")]
    assert with_sore_knee(8, other) is other
    assert with_fall(5, other) is other
