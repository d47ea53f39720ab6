"""Holding a review: what is kept, what it refuses, and the draft that it leads to."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.models import Audit
from programs.actions.refusals import NotDone
from programs.actions.reviewing import LogChanged, Outlook
from programs.actions.sessions import log_session
from programs.actions.signing import sign_plan
from programs.adherence import Session
from programs.course import FRAGILE_CAP
from programs.models import Plan, Review, SignedPlan
from programs.review import Next
from safety.findings import Modality
from tests.people import steady_document
from tests.programs import reviews
from tests.programs.reviews import (
    CLINIC,
    FALLER,
    after,
    all_as,
    held,
    log_weeks,
    seen,
)
from tests.programs.rows import DAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    """The steady person's program, four weeks of it logged as done without trouble."""
    row = reviews.signed(clinician)
    log_weeks(row, clinician, 1, 2, 3, 4)
    return row


@pytest.fixture
def faller(clinician: User) -> SignedPlan:
    row = reviews.signed(clinician, steady_document(**FALLER))
    log_weeks(row, clinician, 1, 2, 3, 4)
    return row


def next_plan(review: Review) -> Plan:
    plan = review.next_plan
    assert plan is not None
    plan.refresh_from_db()
    return plan


def test_a_steady_log_leads_to_the_next_draft(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    assert {one.next for one in of.proposal.modalities} == {Next.ADVANCE}
    review = held(signed, clinician, note=" All well. ")
    assert (review.week, review.held_on, review.by) == (5, after(4).date(), clinician)
    assert review.note == "All well."
    assert review.decision["modalities"]["plate"] == {
        "proposed": "advance",
        "chosen": "advance",
        "reason": "",
    }
    assert review.proposal["modalities"][0]["modality"] == "plate"
    plan = next_plan(review)
    assert (plan.version, plan.state, plan.review) == (2, Plan.DRAFT, review)
    assert plan.resume["done_weeks"] == dict.fromkeys(map(str, Modality), 4)
    # The signed program's fifth week is the new one's first.
    for name in ("plate", "resistance", "impact", "balance"):
        first, fifth = plan.weeks[0][name], reviews.planned(signed).weeks[4][name]
        assert {**first, "supervised": None} == {**fifth, "supervised": None}
    assert plan.starts_on == after(4).date()
    actions = [line.action for line in Audit.objects.order_by("seq")]
    assert actions[-2:] == ["hold review", "draft plan"]


def test_a_form_sent_twice_is_one_review(signed: SignedPlan, clinician: User) -> None:
    of, token = seen(signed), uuid4()
    first = held(signed, clinician, of=of, token=token)
    assert held(signed, clinician, of=of, token=token) == first
    assert Review.objects.count() == 1
    assert Plan.objects.filter(patient=signed.patient).count() == 2


@pytest.mark.parametrize("day", range(7))
def test_the_next_program_starts_where_a_week_would_begin(
    signed: SignedPlan, clinician: User, day: int
) -> None:
    at = after(4) + dt.timedelta(days=day)
    of = reviews.outlook(signed, at.date())
    decisions = all_as(Next.HOLD, of)
    review = reviews.hold_review(
        signed=signed, decisions=decisions, seal=of.seal, by=clinician, at=at
    )
    start = next_plan(review).starts_on
    assert start.weekday() == DAY.weekday()
    assert 0 <= (start - at.date()).days < 7


def test_hold_repeats_and_one_step_back_goes_back(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    review = held(signed, clinician, of=of, decisions=all_as(Next.HOLD, of, plate=Next.BACK_ONE))
    done = next_plan(review).resume["done_weeks"]
    assert (done["balance"], done["plate"]) == (3, 0)


def test_what_earlier_programs_had_done_counts_on(signed: SignedPlan, clinician: User) -> None:
    plan = next_plan(held(signed, clinician))
    start = after(4).date()
    row = sign_plan(
        plan=plan,
        lock=plan.lock,
        by=clinician,
        at=after(4),
        today=start,
        starts_on=start,
        clinic=CLINIC,
    )
    second = SignedPlan.objects.select_related("plan", "patient").get(pk=row.pk)
    log_weeks(second, clinician, 1, 2)
    of = reviews.outlook(second, after(6).date())
    assert {one.next for one in of.proposal.modalities} == {Next.ADVANCE}
    review = held(second, clinician, weeks=6, of=of)
    assert next_plan(review).resume["done_weeks"]["resistance"] == 6


# --- Where the clinician departs from the proposal -----------------------------------------


def test_more_than_proposed_needs_a_reason(signed: SignedPlan, clinician: User) -> None:
    log_session(
        patient=signed.patient,
        session=Session(on=after(4).date(), modality=Modality.PLATE, done="all", pain=5),
        by=clinician,
        at=after(4),
    )
    of = seen(signed)
    plate = of.proposal.of(Modality.PLATE)
    assert plate is not None
    assert plate.next is Next.BACK_ONE
    with pytest.raises(NotDone, match="Say why plate does more"):
        held(signed, clinician, of=of, decisions=all_as(Next.HOLD, of))
    assert not Review.objects.exists()
    review = held(signed, clinician, of=of, decisions=all_as(Next.HOLD, of, reason="New shoes"))
    assert review.decision["modalities"]["plate"]["reason"] == "New shoes"
    assert next_plan(review).resume["done_weeks"]["plate"] == 3


def test_less_than_proposed_needs_none(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    review = held(signed, clinician, of=of, decisions=all_as(Next.START_AGAIN, of))
    assert set(next_plan(review).resume["done_weeks"].values()) == {0}


def test_every_modality_is_decided(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    some = all_as(Next.HOLD, of)
    del some[Modality.PLATE]
    with pytest.raises(NotDone, match="every modality"):
        held(signed, clinician, of=of, decisions=some)


def test_a_decision_is_on_the_proposal_that_was_seen(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    log_session(
        patient=signed.patient,
        session=Session(on=after(4).date(), modality=Modality.BALANCE, done="none", fell=True),
        by=clinician,
        at=after(4),
    )
    with pytest.raises(LogChanged, match="Look at the proposal again"):
        held(signed, clinician, of=of)


def test_a_program_that_was_replaced_is_not_reviewed(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    plan = next_plan(held(signed, clinician, of=of))
    start = after(4).date()
    sign_plan(
        plan=plan,
        lock=plan.lock,
        by=clinician,
        at=after(4),
        today=start,
        starts_on=start,
        clinic=CLINIC,
    )
    with pytest.raises(NotDone, match="Program 1 has been replaced"):
        held(signed, clinician, of=of)


def test_a_program_that_has_not_started_is_not_reviewed(
    signed: SignedPlan, clinician: User
) -> None:
    with pytest.raises(NotDone, match="starts on 2 Mar 2026"):
        held(signed, clinician, weeks=-1)


# --- Stopping and staying -------------------------------------------------------------------


def test_what_is_stopped_is_left_out_of_the_next_draft(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    review = held(signed, clinician, of=of, decisions=all_as(Next.HOLD, of, plate=Next.STOP))
    plan = next_plan(review)
    assert all(week["plate"] is None for week in plan.weeks)
    assert all(week["balance"] for week in plan.weeks)
    assert plan.left_out_by_clinician == {"plate": "Stopped at the review of 30 Mar 2026."}


def test_what_is_stopped_and_not_in_the_draft_anyway(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    gone = steady_document(resources={"plates": []})["resources"]["plates"]
    reviews.answer(signed.patient, "plates", {"resources": {"plates": gone}}, clinician, after(4))
    again = seen(signed)
    assert again.seal == of.seal
    review = held(signed, clinician, decisions=all_as(Next.HOLD, of, plate=Next.STOP))
    assert next_plan(review).left_out_by_clinician == {}


def test_after_a_fall_everything_stops_or_goes_on_with_a_reason(
    signed: SignedPlan, clinician: User
) -> None:
    log_session(
        patient=signed.patient,
        session=Session(on=after(4).date(), modality=Modality.BALANCE, done="none", fell=True),
        by=clinician,
        at=after(4),
    )
    of = seen(signed)
    assert {one.next for one in of.proposal.modalities} == {Next.STOP}
    with pytest.raises(NotDone, match="nothing to draft"):
        held(signed, clinician)
    stopped = held(signed, clinician, stay=True)
    assert stopped.next_plan is None
    assert stopped.decision["signed_program_stays"] is True


def test_the_signed_program_stays_only_where_all_goes_on(
    signed: SignedPlan, clinician: User
) -> None:
    of = seen(signed)
    with pytest.raises(NotDone, match="only where all of it goes on"):
        held(signed, clinician, decisions=all_as(Next.HOLD, of), stay=True)
    review = held(signed, clinician, stay=True)
    assert review.next_plan is None
    assert not Plan.objects.filter(state=Plan.DRAFT).exists()


def test_a_fracture_in_the_facts_stops(signed: SignedPlan, clinician: User) -> None:
    wrist = {"site": "wrist", "date": "2026-03-20", "low_trauma": "yes", "healed": "no"}
    reviews.broken(signed.patient, wrist, clinician, after(4))
    of = seen(signed)
    assert [event.on for event in of.proposal.events] == [dt.date(2026, 3, 20)]
    assert {one.next for one in of.proposal.modalities} == {Next.STOP}


# --- Lifting --------------------------------------------------------------------------------


def lift(of: Outlook, *codes: str, reason: str = "Steady for four weeks") -> dict[str, Any]:
    return {"of": of, "lifted": dict.fromkeys(codes, reason)}


def test_a_review_with_no_trouble_may_lift(faller: SignedPlan, clinician: User) -> None:
    of = seen(faller)
    assert [one.code for one in of.offered] == ["falls.high.impact", FRAGILE_CAP]
    review = held(faller, clinician, **lift(of, "falls.high.impact", FRAGILE_CAP))
    assert review.decision["lifted"]["falls.high.impact"] == "Steady for four weeks"
    plan = next_plan(review)
    assert plan.resume["lifted"] == ["falls.high.impact", FRAGILE_CAP]
    first = plan.weeks[0]
    assert first["impact"]["minutes"] == 5  # walking, from its start
    assert plan.resume["done_weeks"]["plate"] == 0  # the uncapped ramp from its start
    assert first["plate"]["vibration_min"] == 2


def test_nothing_is_lifted_unless_it_is_ticked(faller: SignedPlan, clinician: User) -> None:
    assert next_plan(held(faller, clinician)).resume["lifted"] == []


def test_lifting_needs_a_reason_a_draft_and_an_offer(faller: SignedPlan, clinician: User) -> None:
    of = seen(faller)
    with pytest.raises(NotDone, match="Say why it is lifted"):
        held(faller, clinician, **lift(of, FRAGILE_CAP, reason=" "))
    with pytest.raises(NotDone, match="needs a new draft"):
        held(faller, clinician, stay=True, **lift(of, FRAGILE_CAP))
    with pytest.raises(NotDone, match="cannot be lifted"):
        held(faller, clinician, **lift(of, "pressure.stage2"))


def test_nothing_is_offered_after_trouble(faller: SignedPlan, clinician: User) -> None:
    log_session(
        patient=faller.patient,
        session=Session(on=after(4).date(), modality=Modality.PLATE, done="none", pain=4),
        by=clinician,
        at=after(4),
    )
    assert seen(faller).offered == ()


def test_what_was_lifted_stays_so_until_a_fall(faller: SignedPlan, clinician: User) -> None:
    plan = next_plan(held(faller, clinician, **lift(seen(faller), "falls.high.impact")))
    start = after(4).date()
    row = sign_plan(
        plan=plan,
        lock=plan.lock,
        by=clinician,
        at=after(4),
        today=start,
        starts_on=start,
        clinic=CLINIC,
    )
    second = SignedPlan.objects.select_related("plan", "patient").get(pk=row.pk)
    log_weeks(second, clinician, 1, 2)
    of = reviews.outlook(second, after(6).date())
    assert of.stays_lifted == {"falls.high.impact"}
    assert [one.code for one in of.offered] == [FRAGILE_CAP]
    log_session(
        patient=second.patient,
        session=Session(on=after(6).date(), modality=Modality.BALANCE, done="none", fell=True),
        by=clinician,
        at=after(6),
    )
    of = reviews.outlook(second, after(6).date())
    assert of.stays_lifted == frozenset()
    assert of.offered == ()
