"""A half year that begins at a review: when, where she takes up, and never above what was done."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patients.facts.declared import Lift
from programs.draft import person as hers
from programs.draft.draft import Draft, draft
from programs.draft.later_half_years import NEW_SET
from programs.draft.resume import Resume
from programs.exercises import EXERCISES
from programs.review.followup import FollowUp, read_followup
from programs.review.half_year import Onward, next_half
from programs.review.ledger import InForce
from programs.review.next_steps import Next
from programs.review.proposing import Review
from programs.week.week import PostureWeek, Week, exercise_codes, part_of
from safety.findings import Modality
from tests.people import steady, steady_document
from tests.programs.followups import after, done, in_force, reviewed
from tests.programs.review.above_done import risen
from tests.programs.review.test_properties import CHANGES, logs, person

pytestmark = pytest.mark.long

M = Modality
STEADY = in_force()
B = {"scans": [{"date": "2026-01-20", "site": "total_hip", "t": -2.6}]}


@cache
def at_the_end() -> Review:
    """Return the steady person's review after 26 weeks, all done."""
    return whole(26, STEADY)


def whole(weeks: int, held: InForce = STEADY) -> Review:
    """Return the review after so many weeks, all done."""
    return reviewed(held, done(held, range(1, weeks + 1)), after(weeks))


def first(review: Review, onward: Onward = Onward.NEXT_DRAFT, **decided: Next) -> Week:
    """Return week 1 of the next draft."""
    return made_of(review, onward, **decided).weeks[0]


def made_of(review: Review, onward: Onward = Onward.NEXT_DRAFT, **decided: Next) -> Draft:
    chosen = {m: decided.get(str(m), one) for m, one in review.proposed.items()}
    resume = review.restart(chosen, onward=onward).resume(raising=review.may_raise)
    return draft(review.facts, resume, review.reading.limits)


def dated(day: dt.date, held: InForce = STEADY) -> Review:
    return reviewed(held, done(held, range(1, 27)), day)


# --- When it begins -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("days", "year"), [(25 * 7, 1), (25 * 7 + 1, 2), (26 * 7, 2), (29 * 7, 2), (30 * 7, 2)]
)
def test_it_begins_once_26_weeks_lie_behind_the_next_draft(days: int, year: int) -> None:
    """The draft begins on the next day on which a week of the program would."""
    review = dated(after(0) + dt.timedelta(days=days))
    assert review.resume.half_year == year
    assert review.half_year_over is (year == 2)


@pytest.mark.parametrize(("weeks", "year"), [(13, 1), (14, 2)])
def test_earlier_programs_of_the_ramp_count(weeks: int, year: int) -> None:
    held = in_force(resume=Resume(done_weeks=dict.fromkeys(M, 3), half_weeks=12))
    assert whole(weeks, held).resume.half_year == year


def test_within_a_half_year_its_weeks_count_on() -> None:
    review = whole(4)
    assert (review.resume.half_year, review.resume.half_weeks) == (1, 4)
    second = in_force(resume=review.resume)
    assert whole(4, second).resume.half_weeks == 8


def test_in_a_later_half_year_exercises_stay_until_the_next() -> None:
    begun = at_the_end().resume
    second = in_force(steady(lifts=[]), begun)
    within, third = whole(4, second).resume, whole(26, second).resume
    assert (within.half_year, within.half_weeks, within.changed) == (2, 4, begun.changed)
    assert (third.half_year, third.half_weeks) == (3, 0)
    assert third.changed == frozenset(
        code
        for m in (M.RESISTANCE, M.IMPACT)
        for code in exercise_codes(part_of(second.planned.weeks[-1], m))
    )


def test_who_starts_again_starts_its_first_half_year_again() -> None:
    """Twenty weeks after the end all starts again (row 26b)."""
    review = dated(after(46))
    # What was not asked again for so long stops besides.
    assert set(review.proposed.values()) == {Next.START_AGAIN, Next.STOP}
    resume = review.resume
    assert (resume.half_year, resume.half_weeks, resume.changed) == (1, 0, frozenset())


def test_one_that_starts_again_is_not_changed() -> None:
    week = first(at_the_end(), resistance=Next.START_AGAIN)
    assert week.resistance is not None
    assert (week.resistance.sets, week.resistance.reps) == (1, 15)
    assert "leg_press" in exercise_codes(week.resistance)
    assert exercise_codes(week.impact) == ("forward_step",)


def test_no_half_year_without_a_decision_on_it() -> None:
    assert not next_half(STEADY, after(40), going=True).begins
    assert not next_half(STEADY, after(40), going=True, onward=Onward.MAINTENANCE).begins


# --- Where she takes up ---------------------------------------------------------------------


def test_she_takes_up_where_she_is_and_a_changed_lift_one_step_back() -> None:
    review = at_the_end()
    before, week = STEADY.planned.weeks[25], first(review)
    assert set(review.proposed.values()) == {Next.ADVANCE}
    assert (week.plate, week.balance) == (before.plate, before.balance)
    assert before.resistance is not None
    assert week.resistance is not None
    assert (before.resistance.could_lift, week.resistance.could_lift) == (11, 14)
    assert before.impact is not None
    assert week.impact is not None
    # A rung that takes the place of another begins at its first count.
    assert (before.impact.impacts, week.impact.impacts) == (50, 30)


def test_its_own_changes_are_not_taken_for_another_ramp() -> None:
    review = whole(26, in_force(steady(**B)))
    assert review.proposed[M.IMPACT] is Next.ADVANCE
    assert review.against_staying == ()


@pytest.mark.counted
def test_a_step_back_that_was_decided_comes_on_top() -> None:
    one, two = first(at_the_end()), first(at_the_end(), resistance=Next.BACK_ONE)
    assert one.resistance is not None
    assert two.resistance is not None
    assert (one.resistance.could_lift, two.resistance.could_lift) == (14, 17)


def test_a_lift_without_a_load_that_is_new_begins_at_its_start() -> None:
    held = in_force(steady(**B, aims=["spine"], resources={"equipment": ["chair"]}))
    week = first(whole(26, held))
    assert week.resistance is not None
    reps = {one.exercise: one.reps for one in week.resistance.exercises}
    assert reps["chair_press_up"] == 8
    assert reps["chair_stand"] == 12


def test_nothing_advances_in_a_steady_week() -> None:
    """A review after week 8 of a later half year: week 9 is steady, and so is week 1."""
    second = in_force(resume=Resume(half_year=2, done_weeks=dict.fromkeys(M, 1)))
    review = whole(8, second)
    assert review.proposed[M.BALANCE] is Next.ADVANCE
    assert review.taken.places == {m: review.ledger.reached(m) for m in review.taken.places}
    earlier = whole(7, second)
    assert earlier.taken.places[M.BALANCE] == earlier.ledger.reached(M.BALANCE) + 1


def test_loads_go_on_from_what_was_lifted_where_no_set_was_given() -> None:
    """Five months on a set counts for four fifths (row 19d); what was lifted is known better."""
    facts = steady(
        lifts=[{"lift": "leg_press", "kg": 60, "reps": 8, "on": "2025-10-01"}],
        resources={"equipment": ["chair", "leg_press"]},
    )
    held = in_force(facts)
    last = held.planned.weeks[25].resistance
    assert last is not None
    review = whole(26, held)
    kept = replace(review.resume, changed=frozenset())
    week = draft(review.facts, kept).weeks[0].resistance
    assert week is not None
    loads = [
        next(one.load_kg for one in part.exercises if one.exercise == "leg_press")
        for part in (last, week)
    ]
    assert loads[0] is not None
    assert loads[1] is not None
    # One step back from the load that was lifted, not from four fifths of an old set.
    assert loads[1] == pytest.approx(loads[0] * week.percent_1rm / last.percent_1rm, abs=1)


@pytest.mark.parametrize("kg", [40, 90])
def test_a_new_set_is_taken_instead_and_never_above_what_was_lifted(kg: float) -> None:
    """Weaker than it was, the new set decides; stronger, what was lifted is still the most."""
    held = in_force(steady(resources={"equipment": ["chair", "leg_press"]}))
    new = Lift(lift="leg_press", kg=kg, reps=8, on=after(25))
    log = done(held, range(1, 27))
    review = reviewed(held, log, after(26), replace(held.facts, lifts=(new,)))
    kept = replace(review.resume, changed=frozenset())
    made, last = draft(review.facts, kept), held.planned.weeks[25].resistance
    week = made.weeks[0].resistance
    assert week is not None
    assert last is not None
    assert not risen(week, last)
    assert not [one for one in made.findings if one.rule == NEW_SET]
    told = next(one.load_kg for one in week.exercises if one.exercise == "leg_press")
    assert told is not None
    assert (told < 40) is (kg == 40)


# --- Maintenance ----------------------------------------------------------------------------


def test_maintenance_is_the_last_week_done_and_holds() -> None:
    made, before = made_of(at_the_end(), Onward.MAINTENANCE), STEADY.planned.weeks[25]
    assert [replace(week, week=26) for week in made.weeks] == [before] * 26
    assert (made.resume.maintains, made.resume.half_year, made.resume.changed) == (
        True,
        1,
        frozenset(),
    )


def maintained() -> InForce:
    """Return the steady person's maintenance program after her first half year."""
    review = at_the_end()
    return in_force(resume=review.restart(review.proposed, onward=Onward.MAINTENANCE).resume())


def test_after_maintenance_a_half_year_begins_or_it_goes_on() -> None:
    held = in_force(
        resume=at_the_end().restart(at_the_end().proposed, onward=Onward.MAINTENANCE).resume()
    )
    review = whole(26, held)
    assert review.resume.half_year == 2
    assert review.resume.changed
    again = review.restart(review.proposed, onward=Onward.MAINTENANCE).resume()
    assert again.maintains
    assert again.done_weeks == held.resume.done_weeks
    # Without a decision it is looked at as what it is.
    assert review.restart(review.proposed, onward=None).start.maintains


def test_maintenance_steps_back_by_the_same_rules() -> None:
    held = in_force(
        resume=at_the_end().restart(at_the_end().proposed, onward=Onward.MAINTENANCE).resume()
    )
    review = reviewed(held, done(held, range(1, 5)), after(8))
    assert review.proposed[M.PLATE] is Next.BACK_TWO
    week = first(review, Onward.MAINTENANCE)
    assert week.plate is not None
    assert risen(held.planned.weeks[0].plate, week.plate)


# --- A document -----------------------------------------------------------------------------


def followup(**signed: Any) -> FollowUp:
    facts = steady_document()
    found = read_followup(
        {
            "format": "followup/1",
            "as_of": "2026-05-25",
            "episode_starts_on": "2025-11-24",
            "facts": facts | {"as_of": "2026-05-25"},
            "signed": {"facts": facts, "signed_on": "2026-03-02", "starts_on": "2026-03-02"}
            | signed,
        }
    )
    assert isinstance(found, FollowUp), found
    return found


def test_a_document_counts_from_its_episode_where_it_went_on() -> None:
    assert followup(resume={"plate": 6}).held.resume.half_weeks == 14
    assert followup().held.resume.half_weeks == 0
    assert followup(resume={"plate": 0}).held.resume.half_weeks == 0


# --- Over random people ---------------------------------------------------------------------


@st.composite
def half_years(draw: st.DrawFn) -> Review:
    """Draw a program that is in its last weeks, its log, and who she is on the day."""
    kind = draw(st.sampled_from(sorted(CHANGES)))
    places = draw(st.sampled_from([0, 3, 20]))
    year = draw(st.sampled_from([1, 2]))
    behind = Resume(
        done_weeks=dict.fromkeys(Modality, places), half_year=year, half_weeks=draw(WEEKS)
    )
    held = in_force(person(kind), behind)
    weeks = 26 - behind.half_weeks
    log = draw(logs(held, weeks))
    today = person(draw(st.sampled_from([kind, kind, *sorted(CHANGES)])))
    return reviewed(held, log, after(weeks + draw(st.sampled_from([0, 0, 1, 2, 4]))), today)


WEEKS = st.sampled_from([18, 20, 22])


@pytest.mark.slow
@settings(max_examples=120, deadline=None)
@given(half_years(), st.sampled_from([Onward.NEXT_DRAFT, Onward.MAINTENANCE]))
def test_its_week_1_is_never_above_what_was_done(review: Review, onward: Onward) -> None:
    """No variable of anything that goes on: no advance, and a change of exercise is none either."""
    restart = review.restart(review.proposed, onward=onward)
    made = draft(review.facts, restart.resume(raising=review.may_raise), review.reading.limits)
    if not made.weeks:
        return
    for m in restart.going:
        new, last = part_of(made.weeks[0], m), review.ledger.last_dose(m)
        anew = review.proposed[m] is Next.START_AGAIN or restart.other_plate(m)
        if new is None or last is None or anew or m in restart.without_place:
            continue
        assert not _risen(new, last), (m, onward, new, last)


def _risen(new: Any, last: Any) -> list[str]:
    """Return what rose; minutes of posture are shared anew where her days are others."""
    found = risen(new, last)
    if isinstance(new, PostureWeek) and new.sessions != last.sessions:
        return [one for one in found if one != "minutes a day"]
    return found


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(half_years())
def test_a_changed_lift_is_never_barred_or_out_of_reach(review: Review) -> None:
    made = draft(review.facts, review.resume, review.reading.limits)
    barred, owned = hers.barred(made.screen), hers.equipment(made.screen) | {"chair"}
    for week in made.weeks[:1]:
        codes = exercise_codes(week.resistance) + exercise_codes(week.impact)
        for one in map(EXERCISES.__getitem__, codes):
            assert not one.bars & barred
            assert one.equipment <= owned
