"""What is told of a day counts for its sessions; rows as entries and back; what a change writes."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from programs.log.entries import Entry
from programs.review.adherence import LiftedSet, Session
from programs.review.logged_days import Row, as_read, changes, entries_of_day, session_of_entry
from safety.findings import Modality

DAY = dt.date(2026, 3, 2)
PLATE, LIFTING, BALANCE = Modality.PLATE, Modality.RESISTANCE, Modality.BALANCE


def done(kind: Modality, **more: Any) -> Session:
    return Session(on=DAY, modality=kind, **{"done": "all"} | more)


def day(**more: Any) -> Session:
    return Session(on=DAY, modality=PLATE, done="none", whole_day=True, **more)


def read(*sessions: Session) -> dict[Modality, Session]:
    found = as_read(sessions)
    assert len({one.modality for one in found}) == len(found)
    return {one.modality: one for one in found}


# --- As the review reads it -------------------------------------------------------------------


def test_pain_left_open_counts_for_each_kind_done_that_day() -> None:
    told = day(pain=5, pain_settled=True, pain_where="knee")
    found = read(done(PLATE), done(BALANCE, done="none"), done(LIFTING, done="part"), told)
    pain = {kind: (one.pain, one.pain_settled, one.pain_where) for kind, one in found.items()}
    assert pain == {
        PLATE: (5, True, "knee"),
        LIFTING: (5, True, "knee"),
        BALANCE: (None, None, ""),
    }


def test_pain_with_a_kind_counts_for_it_alone() -> None:
    found = read(done(PLATE), done(LIFTING), day(pain=5, pain_with=(LIFTING,)))
    assert {kind: one.pain for kind, one in found.items()} == {PLATE: None, LIFTING: 5}


def test_pain_with_a_kind_that_was_not_written_down_is_kept() -> None:
    found = read(done(PLATE), day(pain=7, pain_with=(LIFTING,)))
    carrier = found[LIFTING]
    assert (carrier.pain, carrier.done, carrier.whole_day) == (7, "none", True)
    assert found[PLATE].pain is None


def test_pain_on_a_day_without_training_may_be_of_any_kind() -> None:
    found = read(done(BALANCE, done="none"), day(pain=6))
    assert {kind: one.pain for kind, one in found.items()} == dict.fromkeys(Modality, 6)
    assert not any(one.trained for one in found.values())


def test_a_day_without_sessions_still_tells() -> None:
    (one,) = as_read([day(fell=True, ill=True)])
    assert (one.fell, one.ill, one.trained, one.pain) == (True, True, False, None)


def test_what_a_day_tells_is_told_by_each_of_its_sessions() -> None:
    told = day(fell=False, near_fall=True, red_flag="chest pain", broke="wrist", note="cold")
    for one in read(done(PLATE), done(BALANCE), told).values():
        assert (one.fell, one.near_fall, one.red_flag) == (False, True, "chest pain")
        assert (one.broke, one.note, one.done) == ("wrist", "cold", "all")


def test_what_a_session_tells_itself_stays() -> None:
    own = done(PLATE, pain=2, fell=True, note="own")
    found = read(own, day(pain=5, pain_settled=False, fell=False, note="of the day"))[PLATE]
    assert (found.pain, found.pain_settled, found.fell, found.note) == (2, None, True, "own")


def test_a_late_entry_of_a_day_makes_its_sessions_late() -> None:
    late = DAY + dt.timedelta(days=20)
    own = done(PLATE, entered_on=DAY)
    assert read(own, day(pain=5, entered_on=late))[PLATE].known_on == late
    assert read(own, day(pain=5, entered_on=DAY))[PLATE].known_on == DAY


def test_days_keep_to_themselves_and_come_in_order() -> None:
    before = replace(done(PLATE), on=DAY - dt.timedelta(days=1))
    found = as_read([done(PLATE), day(pain=5), before])
    assert [(one.on, one.pain) for one in found] == [(before.on, None), (DAY, 5)]


# --- Entries ----------------------------------------------------------------------------------


def told(*sessions: Session) -> dict[Modality | None, dict[str, Any]]:
    return {kind: dict(entry.told) for kind, entry in entries_of_day(sessions).items()}


def test_entries_and_sessions_are_the_same_told_two_ways() -> None:
    sets = (LiftedSet(lift="leg_press", kg=46.0, left=5), LiftedSet(lift="squat", left=2))
    sessions = [
        done(PLATE, effort=0, plate="at home", watched=True, broken_off=False),
        done(LIFTING, sets=sets),
        day(pain=0, pain_with=(PLATE,), fell=False, note="cold"),
    ]
    entries = entries_of_day(sessions)
    assert [session_of_entry(one, PLATE) for one in entries.values()] == sessions
    assert entries[LIFTING].told == {
        "done": "all",
        "kg:leg_press": 46.0,
        "left:leg_press": 5,
        "left:squat": 2,
    }


def test_nothing_told_is_no_entry() -> None:
    assert told() == {}
    assert told(done(PLATE)) == {PLATE: {"done": "all"}}


def test_earlier_rows_told_of_the_day_with_each_session() -> None:
    rows = (
        done(PLATE, pain=1, pain_settled=True, fell=False, note="wet"),
        done(LIFTING, pain=5, pain_settled=False, fell=True, note="slipped"),
    )
    assert told(*rows)[None] == {
        "pain": 5,
        "pain_settled": False,
        "pain_with": (LIFTING,),
        "fell": True,
        "note": "wet; slipped",
    }


@pytest.mark.parametrize(
    ("settled", "of_all"),
    [((True, True), True), ((True, None), None), ((None, False), False)],
)
def test_pain_that_is_not_known_to_have_settled_is_not_settled(
    settled: tuple[bool | None, bool | None], *, of_all: bool | None
) -> None:
    rows = (
        done(PLATE, pain=5, pain_settled=settled[0]),
        done(LIFTING, pain=5, pain_settled=settled[1]),
    )
    found = told(*rows)[None]
    assert found.get("pain_settled") is of_all
    assert "pain_with" not in found


def test_no_pain_is_with_no_kind() -> None:
    found = told(done(PLATE, pain=0), done(LIFTING))
    assert found[None] == {"pain": 0}


def test_pain_of_a_day_comes_before_that_of_its_sessions() -> None:
    assert told(done(PLATE, pain=7), day(pain=3))[None] == {"pain": 3}
    assert told(done(PLATE, pain=7), day(fell=False))[None] == {"pain": 7, "fell": False}


# --- Changes ----------------------------------------------------------------------------------


def rows_of(*sessions: Session) -> list[Row]:
    return [Row(pk=n, session=one) for n, one in enumerate(sessions, 1)]


def typed(*sessions: Session) -> dict[Modality | None, Entry]:
    return entries_of_day(sessions)


def test_what_is_the_same_is_not_written() -> None:
    rows = rows_of(done(PLATE), day(pain=1))
    found = changes(rows, typed(done(PLATE), day(pain=1)))
    assert (found.struck, found.entries) == ((), ())


def test_a_new_kind_is_added_and_the_others_stay() -> None:
    found = changes(rows_of(done(PLATE)), typed(done(PLATE), done(BALANCE)))
    assert found.struck == ()
    assert [entry.kind for entry in found.entries] == [BALANCE]


def test_a_changed_session_is_struck_out_alone() -> None:
    rows = rows_of(done(PLATE), done(BALANCE), day(pain=1))
    found = changes(rows, typed(done(PLATE), done(BALANCE, done="part"), day(pain=1)))
    assert found.struck == (2,)
    assert [(e.kind, e.told) for e in found.entries] == [(BALANCE, {"done": "part"})]


def test_a_cleared_session_or_day_is_struck_out() -> None:
    rows = rows_of(done(PLATE), done(BALANCE), day(pain=1))
    found = changes(rows, typed(done(PLATE)))
    assert (found.struck, found.entries) == ((2, 3), ())


def test_a_changed_day_takes_the_place_of_the_day() -> None:
    rows = rows_of(done(PLATE), day(pain=1))
    found = changes(rows, typed(done(PLATE), day(pain=4)))
    assert found.struck == (2,)
    assert [(e.kind, e.told) for e in found.entries] == [(None, {"pain": 4})]


def test_a_changed_day_of_earlier_rows_moves_what_they_told() -> None:
    rows = rows_of(done(PLATE, pain=3, effort=4), done(BALANCE))
    found = changes(rows, typed(done(PLATE, effort=4), done(BALANCE), day(pain=6)))
    assert found.struck == (1,)
    assert {e.kind: e.told for e in found.entries} == {
        PLATE: {"done": "all", "effort": 4},
        None: {"pain": 6},
    }


def test_a_changed_earlier_row_keeps_what_it_told_of_the_day() -> None:
    before = (done(PLATE, pain=3), done(BALANCE, pain=3))
    after = {**typed(*before), PLATE: Entry(on=DAY, kind=PLATE, told={"done": "part"})}
    found = changes(rows_of(*before), after)
    assert found.struck == (1, 2)
    assert {e.kind: e.told for e in found.entries} == {
        PLATE: {"done": "part"},
        BALANCE: {"done": "all"},
        None: {"pain": 3},
    }
