"""What each modality asks for, place by place, before it is fitted into her days."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from programs.draft.draft import draft
from programs.draft.fit_into_days import fit_weeks
from programs.draft.ramps import ASSUMED_DAYS, ASSUMED_MINUTES, Course
from programs.draft.resume import FROM_THE_START, Resume
from programs.draft.share import Shape
from programs.edit.base_draft import Basis
from safety.findings import Modality
from tests.people import clearance, steady

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality
FALLER = {"falls": {"last_12_months": 2}}


def course(resume: Resume = FROM_THE_START, **changes: Any) -> Course:
    return Basis(made=draft(steady(**changes), resume), resume=resume).course


def test_every_ramp_has_a_place_a_week() -> None:
    found = course()
    for steps in (found.plate, found.lifting, found.impact, found.balance, found.posture):
        assert [step.place for step in steps] == list(range(1, 27))
    assert {step.exercise.code for step in found.walk} == {"brisk_walk"}


def test_each_takes_up_where_it_stands() -> None:
    """Row 26: places count on; what is not named begins at its start."""
    done = {PLATE: 3, LIFTING: 5, IMPACT: 2, BALANCE: 8}
    found = course(Resume(done_weeks=done))
    begun = {
        PLATE: found.plate[0].place,
        LIFTING: found.lifting[0].place,
        IMPACT: found.impact[0].place,
        BALANCE: found.balance[0].place,
        POSTURE: found.posture[0].place,
    }
    assert begun == {PLATE: 4, LIFTING: 6, IMPACT: 3, BALANCE: 9, POSTURE: 1}
    assert len(found.lifting) == len(found.balance) == 26
    assert found.place_of(found.lifting[4]) == 4


def test_what_is_not_included_has_no_ramp() -> None:
    found = course(conditions={"acute_thrombosis": "yes"})
    assert (found.plate, found.lifting, found.impact, found.walk) == ((), (), (), ())
    assert found.balance
    assert found.plate_days == ()


def test_days_and_minutes_not_recorded_are_assumed_and_none_is_none() -> None:
    found = course(resources=None)
    assert (found.days, found.minutes_a_day) == (ASSUMED_DAYS, ASSUMED_MINUTES)
    assert course(resources={"days": []}).days == ()


def test_lifting_and_the_plate_keep_apart_and_impact_takes_the_emptiest_days() -> None:
    found = course(resources={"days": ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]})
    assert not {*found.lift_days} & {*found.plate_days}
    assert not {*found.lift_days} & {*found.impact_days[:4]}
    assert set(found.impact_days) == set(found.days)


def test_a_gentle_plate_takes_five_days() -> None:
    gentle = {"name": "gentle", "motion": "low_magnitude", "fixed_g": 0.3, "rail": "yes"}
    hz = {"frequency_hz": {"from": 35, "to": 37, "step": 1}, "load_limit_kg": 150}
    found = course(resources={"plates": [{**gentle, **hz}]})
    assert len(found.plate_days) == 5
    assert len(found.lift_days) == 2


@pytest.mark.parametrize(
    ("changes", "goal"),
    [
        ({}, 120),  # 65
        ({"person": {"born": "1962-08-14"}}, 75),
        ({"person": {"born": "1962-08-14"}, "aims": ["hip", "falls"]}, 120),
        (FALLER, 180),
        ({"falls": {"unsteady": "yes"}}, 180),
    ],
)
def test_balance_aims_at_what_age_risk_and_aims_ask(changes: dict[str, Any], goal: int) -> None:
    """Row 21."""
    assert course(**changes).balance[-1].minutes == goal


def test_balance_rises_every_second_week_where_function_is_low() -> None:
    """Row 21."""
    low = course(tests={"up_and_go_s": 16}, resources={"watcher": "yes"})
    assert [step.minutes for step in low.balance[:6]] == [75, 75, 105, 105, 135, 135]
    assert [step.minutes for step in course().balance[:4]] == [75, 105, 120, 120]


def test_posture_progresses_by_holds_then_repetitions_then_a_weight() -> None:
    """Row 22."""
    found = course().posture
    assert (found[0].hold_s, found[7].hold_s) == (5, 10)
    assert found[7].reps < found[15].reps
    assert [step.loaded for step in found[15:17]] == [False, True]
    assert not any(step.loaded for step in course(**FALLER).posture)


@pytest.mark.parametrize(
    ("changes", "first", "least"),
    [
        ({}, 0, 10),
        ({"falls": {"unsteady": "yes"}}, 0, 20),
        ({"falls": {"unsteady": "yes"}, "resources": {"minutes_per_day": 24}}, 0, 12),
        ({"falls": {"unsteady": "yes"}, "resources": {"minutes_per_day": 8}}, 0, 5),
        ({**FALLER, "resources": {"days": ["mon", "wed", "fri"], "minutes_per_day": 15}}, 23, 7),
        ({**FALLER, "resources": {"days": ["mon", "wed", "fri"], "minutes_per_day": 5}}, 10, 5),
        ({**FALLER, "resources": {"minutes_per_day": 90}}, 180, 20),
    ],
)
def test_what_balance_asks_of_the_week(changes: dict[str, Any], first: int, least: int) -> None:
    """Row 24: its half in bouts of five, or the least on a day."""
    share = course(**changes).balance_share(True)
    assert (share.first, share.least) == (first, least)


def test_balance_that_cannot_have_one_bout_asks_nothing() -> None:
    found = course(**FALLER, resources={"minutes_per_day": 4})
    assert (found.balance_share(True).goal, found.balance_share(True).first) == (0, 0)
    assert course().balance_share(False).goal == 0


def test_a_shorter_session_takes_the_first_exercises_and_a_cut_fewer_sets() -> None:
    """Row 24: 2 min of warm-up, 4 s a repetition, 60 s of rest a set."""
    found = course(resources={"equipment": ["leg_press", "dumbbells"]})
    step = found.lifting[10]
    own = dict(step.own_reps)
    reps = [own.get(one.code, step.reps) for one in found.lifts]
    by_hand = 2 + step.sets * sum(4 * each + 60 for each in reps) / 60
    assert found.lifting_min(step, 4, None) == pytest.approx(by_hand)
    assert found.lifting_min(step, 1, 1) == pytest.approx(2 + (4 * reps[0] + 60) / 60)
    longest = max(found.lifting_min(one, 2, None) for one in found.lifting[3:])
    assert found.lifting_peak(3, 2, None) == longest


def test_a_session_is_its_minutes_and_its_days() -> None:
    found = course()
    one = Shape(lifting_sessions=1)
    assert found.session(found.plate[0], one) == (5.0, found.plate_days)
    assert found.session(found.lifting[0], one)[1] == found.lift_days[:1]
    assert found.session(found.impact[0], one) == (1.5, found.impact_days[:3])


def test_what_is_there_in_a_week_ends_with_its_clearance() -> None:
    """Row 22b; without lifting impact is walking."""
    cleared = [{**clearance("resistance", until="2026-03-09"), "limits": "none"}]
    found = course(aims=["spine"], conditions={"hernia": {"answer": "yes", "cleared": cleared}})
    assert found.until == {LIFTING: dt.date(2026, 3, 9)}
    assert LIFTING in found.there(2)
    assert LIFTING not in found.there(3)
    assert found.inside(LIFTING, ("mon", "thu"), 2) == ("mon",)
    assert found.impact_for(found.there(2)) == found.impact
    assert found.impact_for(found.there(3)) == found.walk
    assert found.counts_impact(found.there(2))
    assert not found.counts_impact(found.there(3))
    assert not replace(found, included=frozenset()).counts_impact(frozenset())


def test_who_walks_already_goes_on_walking_when_lifting_ends() -> None:
    """Row 22b: from 5 minutes only where she did not walk before."""
    cleared = [{**clearance("resistance", until="2026-05-03"), "limits": "none"}]
    hernia = {"hernia": {"answer": "yes", "cleared": cleared}}
    walks = course(conditions=hernia, experience={"impact": "none"}, person={"height_cm": None})
    assert walks.walk is walks.impact
    minutes = [fit.impact.minutes for fit in fit_weeks(walks)[7:11] if fit.impact]
    assert len(minutes) == 4
    assert minutes == sorted(minutes)
