"""Where the next program takes up: the ramp's places, another ramp, loads and rungs (row 26)."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from programs.draft.resume import Resume
from programs.review.adherence import LiftedSet, Session
from programs.review.ledger import InForce
from programs.review.next_steps import Next
from programs.review.proposing import Review
from programs.week.week import BalanceWeek, ResistanceWeek, Week, part_of
from safety.findings import Modality
from tests.people import steady
from tests.programs.followups import after, done, in_force, reviewed

pytestmark = pytest.mark.long

M = Modality
STEADY = in_force()
B = {"scans": [{"date": "2026-01-20", "site": "total_hip", "t": -2.6}]}
C = {"scans": [{"date": "2026-01-20", "site": "total_hip", "t": -3.6}]}
PRESSURE = {"tests": {"resting_bp": [190, 112]}}


def review_of(
    weeks: int, held: InForce = STEADY, log: list[Session] | None = None, **changes: Any
) -> Review:
    """Return the review after so many full weeks, all done; changes are in today's facts."""
    entries = done(held, range(1, weeks + 1)) if log is None else log
    return reviewed(held, entries, after(weeks), changes.pop("facts", None) or steady(**changes))


def first(review: Review, decided: dict[M, Next] | None = None) -> Week:
    """Return week 1 of the next draft."""
    made = review.next_draft()
    assert made is not None
    return made.weeks[0]


def place(review: Review, modality: M, chosen: Next) -> int | None:
    """Return where a modality takes up if that is decided of it, and all else is held."""
    decided = dict.fromkeys(Modality, Next.HOLD) | {modality: chosen}
    return review.restart(decided).places.get(modality)


@pytest.mark.parametrize(
    ("chosen", "expected"),
    [
        (Next.ADVANCE, 5),
        (Next.HOLD, 4),
        (Next.SIMPLIFY, 4),
        (Next.BACK_ONE, 2),
        (Next.BACK_TWO, 1),
        (Next.START_AGAIN, 1),
        (Next.STOP, None),
    ],
)
def test_from_what_was_reached(chosen: Next, expected: int | None) -> None:
    assert place(review_of(4), M.RESISTANCE, chosen) == expected


def test_an_advance_at_the_end_of_the_ramp_stays_there() -> None:
    assert place(review_of(20), M.RESISTANCE, Next.ADVANCE) == 11


def test_what_stops_keeps_what_is_behind_her_and_is_not_drafted() -> None:
    review = review_of(4)
    decided = dict.fromkeys(Modality, Next.HOLD) | {M.RESISTANCE: Next.STOP}
    resume = review.restart(decided).resume()
    assert resume.stopped == {M.RESISTANCE}
    assert resume.done(M.RESISTANCE) == 4
    assert M.RESISTANCE not in review.restart(decided).places


def test_without_lifting_counted_impact_falls_to_walking_from_its_start() -> None:
    """Resistance not included: walking, from 5 min (rows 10 and 22b)."""
    review = review_of(8)
    decided = dict.fromkeys(Modality, Next.HOLD) | {M.RESISTANCE: Next.STOP}
    assert review.restart(decided).places[M.IMPACT] == 1


# --- Another ramp ---------------------------------------------------------------------------


def test_the_same_ramp_up_to_the_place_reached_is_the_same() -> None:
    """A and B differ from place 7 on (row 19b)."""
    assert review_of(4, **B).proposed[M.RESISTANCE] is Next.ADVANCE
    assert review_of(4, **B).taken.places[M.RESISTANCE] == 5
    later = review_of(8, **B)
    assert later.proposed[M.RESISTANCE] is Next.HOLD
    assert later.taken.places[M.RESISTANCE] == 14  # the last place of N 17 in B


@pytest.mark.counted
def test_another_group_takes_the_highest_place_not_above_what_was_done() -> None:
    """From 3 x 12 of N 17 to C's own 3 x 12 of N 17, but one step back is no more than 3 x 15."""
    review = review_of(8, **C)
    week = first(review)
    assert week.resistance is not None
    assert (week.resistance.sets, week.resistance.reps, week.resistance.could_lift) == (3, 12, 17)
    back = review.restart(dict.fromkeys(Modality, Next.BACK_ONE))
    assert back.places[M.RESISTANCE] < review.taken.places[M.RESISTANCE]
    assert back.places[M.RESISTANCE] == 10  # 2 x 10 of N 20: N 18 is above 3 x 15 of N 20


def test_lower_than_what_was_done_is_a_step_back() -> None:
    sore = review_of(8, conditions={"chronic_back_pain": "yes"})
    assert sore.proposed[M.PLATE] is Next.BACK_ONE
    assert sore.taken.places[M.PLATE] == 1


def test_no_place_within_what_was_done_is_place_1() -> None:
    """Balance of 75 minutes at 64; from 65 on it aims at 120, from 75 in place 1."""
    held = in_force(steady(person={"born": "1961-03-20"}))
    review = review_of(4, held, person={"born": "1961-03-20"})
    assert review.proposed[M.BALANCE] is Next.HOLD
    assert review.taken.places[M.BALANCE] == 1


def test_more_room_lets_nothing_jump() -> None:
    little = {"days": ["mon", "thu"], "minutes_per_day": 30}
    held = in_force(steady(resources=little, aims=["falls"]))
    review = review_of(8, held, aims=["falls"])
    was, now = review.ledger.last_dose(M.BALANCE), first(review).balance
    assert isinstance(was, BalanceWeek)
    assert now is not None
    assert was.minutes < 120
    assert now.minutes == 75
    assert review.taken.places[M.BALANCE] == 1
    assert review.proposed[M.BALANCE] is Next.HOLD


@pytest.mark.counted
def test_what_advances_gives_nothing_to_what_is_held() -> None:
    """Impact one place on takes fewer minutes; balance, held, would take them, so goes back."""
    short = {"resources": {"days": ["mon", "tue", "thu", "fri"], "minutes_per_day": 20}}
    review = review_of(8, in_force(steady(**short)), **short)
    restart = review.restart(dict.fromkeys(Modality, Next.HOLD) | {M.IMPACT: Next.ADVANCE})
    assert restart.places[M.IMPACT] > restart.safe[M.IMPACT]
    assert restart.places[M.BALANCE] < restart.safe[M.BALANCE]
    assert restart.places[M.RESISTANCE] == restart.safe[M.RESISTANCE]


def test_a_place_without_room_is_no_place_to_keep() -> None:
    """More time later must not bring back what was never done."""
    little = {"resources": {"days": ["mon", "thu"], "minutes_per_day": 12}}
    review = review_of(12, **little)
    made = review.next_draft()
    assert made is not None
    gone = [m for m in review.taken.going if not any(part_of(w, m) for w in made.weeks)]
    assert M.PLATE in gone
    assert {review.taken.places[m] for m in gone} == {1}


# --- The plate ------------------------------------------------------------------------------

PLATE = {
    "name": "another",
    "motion": "vertical",
    "frequency_hz": {"from": 20, "to": 50, "step": 1},
    "displacement_mm": {"settings": [1.0], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "load_limit_kg": 120,
}


def test_another_plate_starts_at_its_own_place_1_watched() -> None:
    """Row 26h, even where it does the same."""
    review = review_of(8, resources={"plates": [PLATE]})
    assert review.proposed[M.PLATE] is Next.BACK_ONE
    assert review.taken.places[M.PLATE] == 1
    week = first(review)
    assert week.plate is not None
    assert week.plate.supervised


def test_it_is_watched_until_a_watched_session_on_it_is_logged() -> None:
    """Row 12a."""
    unwatched = done(STEADY, range(1, 5), M.PLATE, watched=None)
    week = first(review_of(4, log=[*unwatched, *done(STEADY, range(1, 5), M.RESISTANCE)]))
    assert week.plate is not None
    assert week.plate.supervised
    watched = first(review_of(4))
    assert watched.plate is not None
    assert not watched.plate.supervised


def test_starting_again_is_watched_again() -> None:
    review = review_of(4)
    decided = dict.fromkeys(Modality, Next.START_AGAIN)
    assert review.restart(decided).resume().watched == frozenset()
    assert review.restart(dict.fromkeys(Modality, Next.HOLD)).resume().watched == {"at home"}


# --- Lifts ----------------------------------------------------------------------------------


def kg(week: Week, exercise: str = "leg_press") -> float | None:
    assert week.resistance is not None
    return next(one.load_kg for one in week.resistance.exercises if one.exercise == exercise)


STRONG = {"lifts": [{"lift": "leg_press", "kg": 90, "reps": 8, "on": "2026-03-30"}]}


def stronger() -> Any:
    return steady(as_of="2026-03-30", **STRONG)


@pytest.mark.counted
def test_a_newer_set_lets_no_load_jump() -> None:
    """46 kg was done; held it stays, advanced it goes up by 10 % at most (row 19b)."""
    held = review_of(4, facts=stronger())
    assert kg(first(held)) == 50
    resume = held.restart(dict.fromkeys(Modality, Next.HOLD)).resume()
    assert resume.one_rm_kg["leg_press"] == pytest.approx(46 / 0.67)


def test_a_smaller_set_lowers_the_load() -> None:
    weak = [{"lift": "leg_press", "kg": 40, "reps": 8, "on": "2026-03-30"}]
    assert kg(first(review_of(4, facts=steady(as_of="2026-03-30", lifts=weak)))) == 31


def with_sets(
    left: list[int | None], kg_: float | None = 46, held: InForce = STEADY
) -> list[Session]:
    log = done(held, range(1, 5))
    mine = [n for n, one in enumerate(log) if one.modality is M.RESISTANCE][-len(left) :]
    for at, rest in zip(mine, left, strict=True):
        sets = (LiftedSet(lift="leg_press", kg=kg_, reps=15, left=1),) if rest is None else ()
        sets += (LiftedSet(lift="leg_press", kg=kg_, reps=15, left=rest),)
        log[at] = replace(log[at], sets=sets)
    return log


@pytest.mark.parametrize(
    ("left", "expected"),
    [
        ([7, 7], 50),  # 5 are planned: two above, in the last set of two sessions running
        ([7, 6], 46),
        ([6, 7], 46),
        ([7, None], 46),
        ([9, 4, 9], 46),
    ],
)
def test_a_lift_goes_up_by_the_repetitions_left(left: list[int | None], expected: float) -> None:
    """Row 26a: one step, at most 10 %: 46 to 50 kg, place 4 to 5 asking the same weight."""
    assert kg(first(review_of(4, log=with_sets(left)))) == expected


@pytest.mark.counted
def test_lifts_go_up_only_where_nothing_else_holds_lifting() -> None:
    log = with_sets([7, 7])
    hurt = [replace(log[0], pain=5, pain_settled=True), *log[1:]]
    for one, expected in ((log, 50), (hurt, 50)):
        assert kg(first(review_of(4, log=one))) == expected
    first_lift = next(n for n, one in enumerate(log) if one.modality is M.RESISTANCE)
    log[first_lift] = replace(log[first_lift], pain=5, pain_settled=True)
    assert kg(first(review_of(4, log=log))) == 46


def test_group_c_and_who_has_no_load_do_not_go_up_by_the_log() -> None:
    careful = in_force(steady(**C))
    log = with_sets([30, 30], held=careful)
    assert not review_of(4, careful, log, **C).taken.raised
    bare = {"resources": {"equipment": ["chair"]}}
    nothing = in_force(steady(**bare))
    assert not review_of(4, nothing, with_sets([30, 30], held=nothing), **bare).taken.raised


def test_a_lighter_weight_that_was_written_down_is_what_was_done() -> None:
    assert kg(first(review_of(4, log=with_sets([5, 5], kg_=40)))) == 44
    held = review_of(4, log=with_sets([5, 5], kg_=40))
    resume = held.restart(dict.fromkeys(Modality, Next.HOLD)).resume()
    assert resume.one_rm_kg["leg_press"] == pytest.approx(40 / 0.67)
    assert kg(first(review_of(4, log=with_sets([5, 5], kg_=60)))) == 46
    assert kg(first(review_of(4, log=with_sets([5, 5], kg_=None)))) == 46


@pytest.mark.counted
def test_a_lift_that_went_up_stays_up_until_a_newer_set() -> None:
    raised = in_force(resume=Resume(done_weeks={M.RESISTANCE: 4}, one_rm_kg={"leg_press": 75}))
    week = first(review_of(1, raised))
    assert kg(week) == 50
    newer = steady(
        as_of="2026-03-09", lifts=[{"lift": "leg_press", "kg": 60, "reps": 8, "on": "2026-03-09"}]
    )
    assert kg(first(review_of(1, raised, facts=newer))) == 46


BARE = {"resources": {"equipment": ["chair"]}}


def own(week: Week) -> dict[str, int | None]:
    assert week.resistance is not None
    return {one.exercise: one.reps for one in week.resistance.exercises}


def test_more_chair_stands_let_no_repetitions_jump() -> None:
    held = in_force(steady(**BARE))
    was = held.planned.dose(4, M.RESISTANCE)
    assert isinstance(was, ResistanceWeek)
    before = {one.exercise: one.reps for one in was.exercises}
    now = own(first(review_of(4, held, **BARE, tests={"chair_stands_30s": 24})))
    assert now.keys() == before.keys()
    assert all((now[code] or 0) <= (before[code] or 0) + 1 for code in now)


def test_an_exercise_that_was_not_done_before_begins_at_its_start() -> None:
    """Equipment lost: the sets stay, each new exercise begins with its first repetitions."""
    review = review_of(8, **BARE)
    start = own(review.taken.base.weeks[0])
    assert own(first(review)) == start


# --- Balance --------------------------------------------------------------------------------

UNSTEADY = {"falls": {"unsteady": "yes"}}


def rung(review: Review) -> int | None:
    week = first(review)
    assert week.balance is not None
    return week.balance.rung


@pytest.mark.parametrize(
    ("again", "expected"),
    [
        ({}, 3),  # not repeated
        ({"semi_tandem_s": 10, "tandem_s": 6}, 4),
        ({"semi_tandem_s": 10, "tandem_s": 10}, 4),  # one higher, whatever they open now
        ({"semi_tandem_s": 9, "tandem_s": 6}, 2),  # worse: as the tests open it
    ],
)
def test_balance_goes_up_a_rung_where_the_stances_were_repeated(
    again: dict[str, Any], expected: int
) -> None:
    """Row 21, fall risk not low: the same in all weeks, one higher at a review."""
    stances = {"date": "2026-03-02", "resting_bp": [126, 76], "side_by_side_s": 10}
    before = [stances | {"semi_tandem_s": 10, "tandem_s": 6}]
    held = in_force(steady(**UNSTEADY, tests=before))
    rows = [*before, {"date": "2026-03-30", "side_by_side_s": 10, **again}] if again else before
    today = steady(as_of="2026-03-30", **UNSTEADY, tests=rows)
    assert rung(review_of(4, held, facts=today)) == expected


def test_a_rung_that_reviews_have_raised_stays() -> None:
    tests = [{"date": "2026-03-02", "resting_bp": [126, 76], "semi_tandem_s": 10, "tandem_s": 6}]
    held = in_force(steady(**UNSTEADY, tests=tests), Resume(first_rung=4))
    assert rung(review_of(4, held, **UNSTEADY, tests=tests)) == 4
    assert rung(review_of(4, held, log=[], **UNSTEADY, tests=tests)) == 3  # never done


def test_who_cannot_stand_any_more_starts_a_seated_program() -> None:
    review = review_of(4, person={"mobility": "wheelchair"})
    assert rung(review) is None
    assert review.proposed[M.PLATE] is Next.STOP


def test_nothing_is_drafted_through_a_warning_sign() -> None:
    review = review_of(4, symptoms={"chest_pain": "yes"})
    assert set(review.proposed.values()) == {Next.STOP}
    assert review.next_draft() is None
    assert review.restart(dict.fromkeys(Modality, Next.HOLD)).resume().done_weeks == {}
