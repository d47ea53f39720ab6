"""Holding a review: what is kept, what it refuses, and the draft that it leads to."""

from __future__ import annotations

import datetime as dt
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit
from patients.staff.rights import Role
from programs.actions.refusals import NotDone
from programs.actions.reviewing import LogChanged
from programs.actions.sessions import log_session
from programs.actions.signing import sign_plan
from programs.models.program import Plan, Review, SignedPlan
from programs.review.adherence import Session
from programs.review.next_steps import Next
from programs.week.document import read_weeks
from safety.findings import Modality
from tests.people import steady_document
from tests.programs import reviews
from tests.programs.reviews import (
    CLINIC,
    after,
    all_as,
    held,
    log_weeks,
    seen,
)
from tests.programs.rows import DAY
from tests.staff import person_of

pytestmark = [pytest.mark.django_db, pytest.mark.long]


@pytest.fixture(scope="module")
def signed_once(clinician_of_this_file: User) -> int:
    row = reviews.signed(clinician_of_this_file)
    log_weeks(row, clinician_of_this_file, 1, 2, 3, 4)
    return row.pk


@pytest.fixture
def clinician(db: None, clinician_of_this_file: User) -> User:
    """Whoever signed it, in place of somebody of this name for each test."""
    return User.objects.get(pk=clinician_of_this_file.pk)


@pytest.fixture
def signed(db: None, signed_once: int) -> SignedPlan:
    """The steady person's program, four weeks of it logged as done without trouble."""
    return reviews.read_anew(signed_once)


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
    # A week whose rise waited, and a steady one, keeps its place (row 26).
    done = {"plate": 2, "resistance": 4, "impact": 3, "balance": 4, "posture": 3}
    assert plan.resume["done_weeks"] == done
    # The signed program's fifth week is the new one's first.
    first, fifth = read_weeks(plan.weeks)[0], reviews.planned(signed).weeks[4]
    for name in ("resistance", "impact", "balance"):
        assert getattr(first, name) == getattr(fifth, name)
    # Its plate had to wait; between two programs no rise is counted (row 22a).
    assert first.plate is not None
    assert (first.plate.bouts, first.plate.bout_s) == (4, 45)
    # Nobody wrote down that a session on this plate was watched (row 12a).
    assert first.plate.supervised
    assert plan.starts_on == after(4).date()
    actions = [line.action for line in Audit.objects.order_by("seq")]
    assert actions[-2:] == ["hold review", "draft plan"]


@pytest.mark.counted
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


@pytest.mark.parametrize("watched", [True, None])
def test_the_first_session_is_watched_until_one_is_logged(
    clinician: User, *, watched: bool | None
) -> None:
    row = reviews.signed(clinician)
    log_weeks(row, clinician, 1, 2, 3, 4, but={Modality.PLATE: {"watched": watched}})
    plan = next_plan(held(row, clinician))
    assert plan.resume["watched"] == (["at home"] if watched else [])
    assert plan.weeks[0]["plate"]["supervised"] is (watched is None)


# --- Where the clinician departs from the proposal -----------------------------------------


@pytest.mark.counted
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
    assert next_plan(review).resume["done_weeks"]["plate"] == 1  # place 2 again


def test_less_than_proposed_needs_none(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    review = held(signed, clinician, of=of, decisions=all_as(Next.START_AGAIN, of))
    assert set(next_plan(review).resume["done_weeks"].values()) == {0}


@pytest.mark.counted
def test_every_modality_is_decided(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    some = all_as(Next.HOLD, of)
    del some[Modality.PLATE]
    with pytest.raises(NotDone, match="every modality"):
        held(signed, clinician, of=of, decisions=some)


@pytest.mark.counted
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


@pytest.mark.counted
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


@pytest.mark.counted
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
    assert plan.resume["stopped"] == ["plate"]
    assert plan.resume["done_weeks"]["plate"] == 2  # what is behind her is kept
    assert plan.proposed["modalities"]["plate"]["why"][1].startswith("Stopped at the review")


def test_what_is_stopped_and_not_in_the_draft_anyway(signed: SignedPlan, clinician: User) -> None:
    of = seen(signed)
    gone = steady_document(resources={"plates": []})["resources"]["plates"]
    reviews.answer(signed.patient, "plates", {"resources": {"plates": gone}}, clinician, after(4))
    again = seen(signed)
    # Today's screen is read too (row 26e), so the decision has to be on this proposal.
    plate = again.proposal.of(Modality.PLATE)
    assert plate is not None
    assert plate.next is Next.STOP
    assert again.seal != of.seal
    review = held(signed, clinician, decisions=all_as(Next.HOLD, of, plate=Next.STOP))
    assert next_plan(review).proposed["modalities"]["plate"]["status"] == "excluded"


@pytest.mark.counted
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


@pytest.mark.counted
def test_it_does_not_stay_where_something_signed_is_not_included_today(
    signed: SignedPlan, clinician: User
) -> None:
    """Row 26e: not even with a reason."""
    bare = {"resources": {"plates": []}}
    reviews.answer(signed.patient, "plates", bare, clinician, after(4))
    of = seen(signed)
    decisions = all_as(Next.ADVANCE, of, reason="She will have it back")
    with pytest.raises(NotDone, match="Not everything advances: plate"):
        held(signed, clinician, of=of, decisions=decisions, stay=True)


def test_a_fracture_in_the_facts_stops(signed: SignedPlan, clinician: User) -> None:
    wrist = {"site": "wrist", "date": "2026-03-20", "low_trauma": "yes", "healed": "no"}
    reviews.broken(signed.patient, wrist, clinician, after(4))
    of = seen(signed)
    assert [event.on for event in of.proposal.events] == [dt.date(2026, 3, 20)]
    assert {one.next for one in of.proposal.modalities} == {Next.STOP}


@pytest.mark.counted
def test_only_a_clinician_decides_a_review(signed: SignedPlan, clinician: User) -> None:
    other = person_of(Role.ASSISTANT, Role.KEEPER, username="p.lund")
    with pytest.raises(NotDone, match="may not decide a review"):
        reviews.hold_review(signed=signed, decisions={}, seal="", by=other, at=after(4))
    assert not Review.objects.exists()
