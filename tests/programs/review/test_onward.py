"""What may follow a review beside the next draft, on both sides of what decides it."""

from __future__ import annotations

import datetime as dt

import pytest

from programs.draft.resume import Resume
from programs.review.next_steps import Next
from programs.review.onward import against_discharge, against_maintenance, ending
from programs.review.proposing import Review
from programs.signed.ending import Kept
from safety.findings import Modality
from tests.people import clearance, steady
from tests.programs.followups import FALLER, after, done, in_force, reviewed

pytestmark = [pytest.mark.long, pytest.mark.counted]

M = Modality
STEADY = in_force()
ALL_KEPT = {m: Kept(until=None, easier=False) for m in M if m is not M.PLATE}


def review_of(weeks: int = 4, **more: object) -> Review:
    log = done(STEADY, range(1, weeks + 1))
    return reviewed(STEADY, log, after(weeks), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("days", "offered"), [(25 * 7, False), (25 * 7 + 1, True)])
def test_maintenance_is_offered_once_half_a_year_is_over(days: int, offered: bool) -> None:
    day = after(0) + dt.timedelta(days=days)
    review = reviewed(STEADY, done(STEADY, range(1, 26)), day)
    against = against_maintenance(review)
    assert (against == ()) is offered
    if not offered:
        assert against == ("Half a year of the ramp is over on 31 August 2026, not before.",)


def test_maintenance_may_follow_maintenance_at_any_review() -> None:
    held = in_force(resume=Resume(maintains=True, done_weeks=dict.fromkeys(M, 9)))
    assert against_maintenance(reviewed(held, done(held, range(1, 3)), after(2))) == ()


def test_nobody_is_discharged_while_something_is_to_be_asked() -> None:
    log = done(STEADY, range(1, 5))
    fell = [*log[:-1], done(STEADY, [4], M.POSTURE, fell=True)[0]]
    asked = dict.fromkeys(("falls", "symptoms"), after(0))
    open_ = reviewed(STEADY, fell, after(4), asked=asked)
    assert any("falls" in one for one in against_discharge(open_))
    assert against_discharge(review_of()) == ()


def test_nobody_is_discharged_with_a_red_flag() -> None:
    flagged = steady(symptoms={"chest_pain": "yes"})
    assert any("chest" in one.lower() for one in against_discharge(review_of(facts=flagged)))


def test_all_that_was_done_goes_on_but_the_plate() -> None:
    review = review_of()
    kept = ending(review, review.proposed)
    assert kept.keeps == ALL_KEPT
    assert not kept.near_support


def test_what_stops_starts_again_or_was_never_done_does_not_go_on() -> None:
    review = review_of()
    decided = {**review.proposed, M.RESISTANCE: Next.STOP, M.IMPACT: Next.START_AGAIN}
    assert set(ending(review, decided).keeps) == {M.BALANCE, M.POSTURE}
    never = reviewed(STEADY, done(STEADY, range(1, 5), M.BALANCE), after(4))
    held = dict.fromkeys(M, Next.HOLD)
    assert set(ending(never, held).keeps) == {M.BALANCE}


def test_a_step_back_makes_it_easier() -> None:
    review = review_of()
    decided = {**review.proposed, M.RESISTANCE: Next.BACK_ONE}
    kept = ending(review, decided)
    assert kept.keeps[M.RESISTANCE].easier
    assert not kept.keeps[M.BALANCE].easier


def test_what_today_s_screen_bars_or_ends_is_kept_so() -> None:
    cleared = {"answer": "yes", "cleared": [clearance("resistance", until="2026-12-24")]}
    ends = review_of(facts=steady(conditions={"hernia": cleared}))
    held = dict.fromkeys(M, Next.HOLD)
    assert ending(ends, held).keeps[M.RESISTANCE].until == dt.date(2026, 12, 24)
    faller = review_of(facts=steady(falls=FALLER))
    kept = ending(faller, held)
    assert kept.near_support
    assert M.IMPACT not in kept.keeps
