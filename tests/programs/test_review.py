"""From the log to a proposal: both sides of every threshold, the careful one of several."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from typing import Any

import pytest

from patients.facts import Facts, Fracture, Person, Symptom
from patients.overview import day_text
from programs.adherence import WeekCount
from programs.review import (
    CAREFUL,
    WORDS,
    Event,
    Ground,
    ModalityReview,
    Next,
    alarming,
    bolder,
    done_words,
    events_of,
    review,
    written,
)
from safety.findings import Modality
from tests.programs.logs import (
    RANK,
    START,
    balance,
    changed,
    day,
    hundreds,
    looked,
    planned,
    session,
    steady,
    week,
)

FIVE = day(5)


def ground(found: ModalityReview, chosen: Next) -> Ground:
    return next(one for one in found.grounds if one.next is chosen)


# --- Adherence ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        (40, 40, Next.ADVANCE),  # 80 %
        (40, 39, Next.HOLD),  # 79 %
        (25, 25, Next.HOLD),  # 50 % in both
        (25, 24, Next.HOLD),  # 49 % over both, but one week at 50 %
        (24, 24, Next.SIMPLIFY),  # 48 % in both
        (24, 25, Next.HOLD),
        (0, 50, Next.HOLD),
    ],
)
def test_adherence(first: int, second: int, expected: Next) -> None:
    """Thresholds: project choice, for the clinic to confirm (rulebook row 26)."""
    signed, log = hundreds(first, second)
    found = looked(log, day(3), signed)
    by_adherence = ground(found, expected)
    assert by_adherence.next is expected
    assert any("Kelley" in source for source in by_adherence.sources)


def test_79_9_percent_is_not_shown_as_80() -> None:
    weeks = (WeekCount(week=1, planned=1000, logged=1000, done=799.5),)
    assert "(79 %)" in done_words(weeks)


def test_words_name_sessions_weeks_and_what_is_not_logged() -> None:
    log = [*steady((1, 2, 3)), session(day(4)), session(day(4, 2), done="part")]
    words = looked(log).grounds[0].text
    assert words.startswith("4.5 of 6 sessions in weeks 3 and 4 (75 %, 1 not logged).")


def test_a_steady_log_may_advance_and_rests_on_its_entries() -> None:
    found = looked(steady(range(1, 5)))
    assert found.next is Next.ADVANCE
    assert found.recent == 100
    assert found.percent_shown == 100
    assert found.grounds[0].words == "Go on with the ramp"
    assert [one.on for one in found.grounds[0].entries] == [
        day(w, d) for w in (3, 4) for d in (0, 2, 4)
    ]


@pytest.mark.parametrize("on", [START, day(1, 6), day(2), day(2, 6)])
def test_nothing_advances_before_two_full_weeks_are_over(on: dt.date) -> None:
    log = [one for one in steady(range(1, 4)) if one.on <= on]
    found = looked(log, on)
    assert found.next is Next.HOLD
    assert "not over yet" in found.grounds[0].text


def test_two_full_weeks_are_over_on_the_first_day_of_the_third() -> None:
    assert looked(steady((1, 2)), day(3)).next is Next.ADVANCE


def test_a_modality_that_was_not_planned_lately_holds() -> None:
    weeks = [week(1, balance=balance()), *(week(n) for n in range(2, 6))]
    found = looked(steady((1,)), FIVE, planned(weeks=weeks))
    assert found.next is Next.HOLD
    assert found.recent is None
    assert found.percent_shown is None
    assert "No session of it was planned" in found.grounds[0].text


def test_a_modality_is_looked_at_from_its_first_week() -> None:
    weeks = [week(1, balance=balance()), week(2, balance=balance(), posture=balance())]
    signed = planned(weeks=weeks)
    assert [m.modality for m in review(signed, day(1, 3), [], rank=RANK).modalities] == ["balance"]
    both = review(signed, day(2, 3), [], rank=RANK)
    assert [m.modality for m in both.modalities] == ["balance", "posture"]
    assert both.of(Modality.PLATE) is None


def test_entries_of_another_time_are_left_aside() -> None:
    log = [*steady(range(1, 5)), session(START - dt.timedelta(days=1), fell=True)]
    assert looked([*log, session(day(6), fell=True)]).next is Next.ADVANCE


def test_before_the_start_nothing_is_proposed_but_to_hold() -> None:
    found = review(planned(), START - dt.timedelta(days=3), [], rank=RANK)
    assert found.full_weeks == 0
    assert [one.next for one in found.modalities] == [Next.HOLD]


# --- Pain ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pain", "settled", "expected"),
    [
        (0, None, Next.ADVANCE),
        (3, None, Next.ADVANCE),
        (3, False, Next.ADVANCE),
        (4, True, Next.HOLD),
        (4, False, Next.BACK_ONE),
        (4, None, Next.BACK_ONE),
        (5, True, Next.HOLD),
        (5, None, Next.BACK_ONE),
        (6, True, Next.BACK_ONE),
        (6, False, Next.STOP),
        (6, None, Next.STOP),
        (10, True, Next.BACK_ONE),
    ],
)
def test_pain(pain: int, settled: bool | None, expected: Next) -> None:
    """0-3 go, 4-5 if it settles in 24 h, 6 and more stop or cut (clinic pain guides)."""
    log = changed(steady(range(1, 5)), 11, pain=pain, pain_settled=settled)
    found = looked(log)
    assert found.next is expected
    if expected is not Next.ADVANCE:
        assert [one.pain for one in found.grounds[0].entries] == [pain]


def test_five_that_settled_goes_on_and_five_that_did_not_is_cut_back() -> None:
    """Pain 5 during, 2 after 24 h: continue; 5 after 24 h: cut back (a clinic's pain page)."""
    log = steady(range(1, 5))
    assert looked(changed(log, 10, pain=5, pain_settled=True)).next is Next.HOLD
    assert looked(changed(log, 10, pain=5, pain_settled=False)).next is Next.BACK_ONE


def test_pain_before_the_last_two_weeks_is_behind_her() -> None:
    log = steady(range(1, 5))
    assert looked(changed(log, 5, pain=8)).next is Next.ADVANCE  # last session of week 2
    assert looked(changed(log, 6, pain=8)).next is Next.STOP  # first of week 3


def test_pain_since_the_last_full_week_counts() -> None:
    log = [*steady(range(1, 5)), session(day(5), pain=4)]
    assert looked(log, day(5, 1)).next is Next.BACK_ONE


@pytest.mark.parametrize("done", ["all", "part"])
def test_unknown_pain_is_not_none(done: str) -> None:
    log = [*steady(range(1, 5)), session(day(5), done=done, pain=None)]
    found = looked(log, day(5, 1))
    assert found.next is Next.HOLD
    assert "not written down for 1" in found.grounds[0].text
    assert len(found.grounds[0].entries) == 1


def test_a_session_that_was_not_done_tells_nothing_of_pain() -> None:
    log = [*steady(range(1, 5)), session(day(5), done="none", pain=None)]
    assert looked(log, day(5, 1)).next is Next.ADVANCE


def test_pain_of_one_modality_does_not_hold_another() -> None:
    weeks = [week(n, balance=balance(), posture=balance()) for n in range(1, 6)]
    both = {name: ["balance", "posture"] for name in ("mon", "wed", "fri")}
    log = steady(range(1, 5))
    hurt = [replace(one, modality=Modality.POSTURE, pain=5) for one in log]
    found = review(planned(weeks=weeks, timetable=both), FIVE, [*log, *hurt], rank=RANK)
    assert [one.next for one in found.modalities] == [Next.ADVANCE, Next.BACK_ONE]


# --- Gaps ---------------------------------------------------------------------------------


DAILY = {name: ["balance"] for name in ("mon", "tue", "wed", "thu", "fri", "sat", "sun")}


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (6, None),
        (7, Next.HOLD),
        (8, Next.BACK_ONE),
        (14, Next.BACK_ONE),
        (21, Next.BACK_ONE),
        (22, Next.BACK_TWO),
        (28, Next.BACK_TWO),
        (49, Next.BACK_TWO),
        (55, Next.BACK_TWO),
        (56, Next.START_AGAIN),
        (90, Next.START_AGAIN),
    ],
)
def test_gap(days: int, expected: Next | None) -> None:
    """Weeks of the gap: project choice, for the clinic to confirm (rulebook row 26)."""
    signed = planned(sessions=7, timetable=DAILY)
    log = [session(START + dt.timedelta(days=n)) for n in range(28)]
    found = looked(log, day(5) + dt.timedelta(days=days), signed)
    by_gap = [one for one in found.grounds if "without a session" in one.text]
    assert [one.next for one in by_gap] == ([expected] if expected else [])
    assert found.gap is not None
    assert found.gap.days == days


def test_a_gap_that_two_full_weeks_put_behind_her() -> None:
    log = steady((1, 2, 5, 6, 7))
    still_near = looked(log, day(7))  # weeks 5 and 6 are the last full ones
    assert ground(still_near, Next.BACK_ONE).text.startswith("14 days without a session")
    behind = looked(log, day(8))
    assert behind.next is Next.ADVANCE
    assert behind.gap is None
    assert behind.longest_gap is not None
    assert behind.longest_gap.days == 14


def test_nothing_logged_at_all() -> None:
    found = looked([], day(9))
    assert found.next is Next.START_AGAIN
    assert "log it first" in found.grounds[0].text
    assert {one.next for one in found.grounds} == {Next.START_AGAIN, Next.SIMPLIFY}


# --- Events -------------------------------------------------------------------------------


def test_a_fall_stops_every_modality_whenever_it_was() -> None:
    weeks = [week(n, balance=balance(), posture=balance()) for n in range(1, 10)]
    both = {name: ["balance", "posture"] for name in ("mon", "wed", "fri")}
    log = changed(steady(range(1, 9)), 0, fell=True)
    log += [replace(one, modality=Modality.POSTURE) for one in log]
    found = review(planned(weeks=weeks, timetable=both), day(9), log, rank=RANK)
    assert found.events == (Event(on=day(1), text="A fall."),)
    assert [one.next for one in found.modalities] == [Next.STOP, Next.STOP]
    assert found.modalities[0].grounds[0].text.startswith(f"A fall ({day_text(day(1))}): told")


def test_what_happened_is_told_once_and_each_modality_refers_to_it() -> None:
    log = changed(steady(range(1, 5)), 3, fell=True, note="on wet tiles", red_flag="new back pain")
    fever = Event(on=None, text="Warning sign: fever.")
    found = review(planned(), day(9), log, events=(fever,), rank=RANK)
    assert [one.text for one in found.events] == [
        *("A fall: on wet tiles", "Warning sign: new back pain", "Warning sign: fever."),
    ]
    (stop,) = (one for one in found.modalities[0].grounds if one.next is Next.STOP)
    assert stop.text == (
        "A fall (9 Mar 2026), warning sign (9 Mar 2026), warning sign: told at the top. "
        "Stop, and look before anything goes on."
    )


def test_events_of_the_facts() -> None:
    person = Person(born=dt.date(1960, 8, 14), sex="female")
    facts = Facts(
        as_of=FIVE,
        person=person,
        fractures=(
            Fracture(site="wrist", date=START),
            Fracture(site="hip", date=START - dt.timedelta(days=1)),
            Fracture(site="rib"),
        ),
        symptoms={"fever": Symptom(answer=True), "chest_pain": Symptom(answer=False)},
    )
    found = events_of(facts, START)
    assert [one.on for one in found] == [START, None]
    assert "wrist" in found[0].text.lower()
    assert "fever" in found[1].text.lower()
    assert events_of(Facts(as_of=FIVE, person=person), START) == ()


# --- The careful one ----------------------------------------------------------------------


def test_the_most_careful_of_several_is_proposed_and_all_are_named() -> None:
    log = changed(steady((1, 2, 3)), 8, pain=5, pain_settled=False)
    log = changed(log, 7, fell=True)
    found = looked(log)
    order = [CAREFUL.index(one.next) for one in found.grounds]
    assert order == sorted(order, reverse=True)
    assert found.next is Next.STOP
    assert {Next.BACK_ONE, Next.HOLD} <= {one.next for one in found.grounds}


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, False),
        ({"pain": None}, False),
        ({"pain": 3, "pain_settled": False}, False),
        ({"pain": 5, "pain_settled": True}, False),
        ({"pain": 4, "pain_settled": None}, True),
        ({"pain": 6, "pain_settled": True}, True),
        ({"fell": True}, True),
        ({"red_flag": "fever"}, True),
    ],
)
def test_what_is_looked_at_first(more: dict[str, Any], expected: bool) -> None:
    assert alarming(session(**more)) is expected


def test_bolder() -> None:
    assert bolder(Next.HOLD, Next.STOP)
    assert bolder(Next.ADVANCE, Next.HOLD)
    assert not bolder(Next.HOLD, Next.HOLD)
    assert not bolder(Next.STOP, Next.ADVANCE)
    assert WORDS.keys() == set(CAREFUL)


def test_every_ground_has_words_and_a_source() -> None:
    found = looked(changed(steady((1, 2)), 5, fell=True, pain=6), day(9))
    assert all(one.text.endswith(".") and one.sources for one in found.grounds)


# --- What changes nothing -----------------------------------------------------------------


def test_lifting_less_than_twice_a_week_is_flagged() -> None:
    """1.5 sessions a week is under the floor of 2 (Kemmler 2013)."""
    lifts = {"sessions": 2, "sets": 3, "reps": 15, "percent_1rm": 50}
    signed = planned(
        weeks=[week(n, resistance=lifts) for n in range(1, 27)],
        timetable={"mon": ["resistance"], "thu": ["resistance"]},
    )
    days = [day(1), day(1, 3), day(2), day(3), day(3, 3), day(4)]
    log = [session(on, modality=Modality.RESISTANCE) for on in days]
    (found,) = review(signed, FIVE, log, rank=RANK).modalities
    assert found.flags[0].startswith("1.5 lifting sessions a week on average")
    assert "Kemmler" in found.flags[0]
    full = [session(day(w, d), modality=Modality.RESISTANCE) for w in range(1, 5) for d in (0, 3)]
    (found,) = review(signed, FIVE, full, rank=RANK).modalities
    assert found.flags == ()
    (found,) = review(signed, START, [], rank=RANK).modalities
    assert found.flags == ()
    assert "exercises" in found.simpler


def test_what_to_leave_out_first() -> None:
    weeks = [week(n, balance=balance(), posture=balance()) for n in range(1, 6)]
    found = review(planned(weeks=weeks), FIVE, [], rank=RANK)
    by = {one.modality: one.simpler for one in found.modalities}
    assert by[Modality.BALANCE].startswith("Leave posture out")
    assert by[Modality.POSTURE].startswith("Leave it out")


def test_effort_over_time() -> None:
    log = [*steady((1, 2), effort=3), *steady((3, 4), effort=6)]
    found = looked(log)
    assert (found.effort_before, found.effort) == (3, 6)


def test_a_proposal_is_kept_as_plain_values() -> None:
    found = review(planned(), FIVE, steady(range(1, 5)), rank=RANK)
    document = written(found)
    assert json.loads(json.dumps(document)) == document
    assert document["day"] == "2026-03-30"
    assert document["modalities"][0]["grounds"][0]["next"] == "advance"
