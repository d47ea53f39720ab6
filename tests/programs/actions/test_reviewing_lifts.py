"""What a review lifts, and what the log tells over versions: late entries, falls, the episode."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User

from patients.actions.patient_record import add_measured
from patients.facts import declared
from patients.models.patient import FunctionTestDay
from programs.actions.read_plan import facts_for, facts_in, resume_of
from programs.actions.refusals import NotDone
from programs.actions.reviewing import Outlook
from programs.actions.sessions import log_session
from programs.actions.signing import sign_plan
from programs.draft.draft import draft
from programs.draft.resume import FRAGILE_CAP
from programs.models.program import Plan, Review, SessionLog, SignedPlan
from programs.review.adherence import Session
from programs.review.next_steps import Next
from safety.findings import Modality
from tests.people import steady_document
from tests.programs import reviews, rows
from tests.programs.reviews import (
    CLINIC,
    FALLER,
    after,
    held,
    log_weeks,
    seen,
)

pytestmark = [pytest.mark.django_db, pytest.mark.long]


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    """The steady person's program, four weeks of it logged as done without trouble."""
    row = reviews.signed(clinician)
    log_weeks(row, clinician, 1, 2, 3, 4)
    return row


@pytest.fixture
def faller(clinician: User) -> SignedPlan:
    """A woman of high fall risk, twelve weeks logged, her stances tested anew and no worse."""
    row = reviews.signed(clinician, steady_document(**FALLER))
    log_weeks(row, clinician, *range(1, 13), effort=3)
    again = declared.Tests(date=after(12).date(), side_by_side_s=10, semi_tandem_s=10, tandem_s=10)
    tested = [FunctionTestDay.from_fact(again)]
    add_measured(patient=row.patient, rows=tested, by=clinician, at=after(12))
    return row


def next_plan(review: Review) -> Plan:
    plan = review.next_plan
    assert plan is not None
    plan.refresh_from_db()
    return plan


def lift(of: Outlook, *codes: str, reason: str = "Steady for four weeks") -> dict[str, Any]:
    return {"of": of, "lifted": dict.fromkeys(codes, reason)}


@pytest.mark.counted
def test_a_review_with_no_trouble_may_lift(faller: SignedPlan, clinician: User) -> None:
    of = seen(faller, 12)
    assert [one.code for one in of.offered] == ["falls.high.impact", FRAGILE_CAP]
    assert of.against_lifting == ()
    assert of.not_offered == ()
    review = held(faller, clinician, 12, **lift(of, "falls.high.impact", FRAGILE_CAP))
    assert review.decision["lifted"]["falls.high.impact"] == "Steady for four weeks"
    plan = next_plan(review)
    # The cap goes up by one step, and is no code of a rule (row 14).
    assert plan.resume["lifted"] == ["falls.high.impact"]
    assert plan.resume["plate_cap_g"] == 1.5
    first = plan.weeks[0]
    assert first["impact"]["minutes"] == 5  # walking, from its start
    assert plan.resume["done_weeks"]["plate"] == 0  # the ramp of 1.5 g from its start
    assert first["plate"]["vibration_min"] == 2
    assert max(week["plate"]["peak_g"] for week in plan.weeks) <= 1.5
    assert resume_of(plan).plate_cap_g == 1.5


@pytest.mark.counted
def test_a_faller_has_nothing_lifted_after_four_weeks(clinician: User) -> None:
    """Rows 7 to 10, and 14: twelve weeks, and the stances tested anew."""
    row = reviews.signed(clinician, steady_document(**FALLER))
    log_weeks(row, clinician, 1, 2, 3, 4)
    of = seen(row)
    assert of.offered == ()
    assert any("12 are needed" in words for words in of.against_lifting)
    by_text = {text: why for texts, why in of.not_offered for text in texts}
    cap = next(text for text in by_text if text.startswith("Fragile on the plate"))
    (bar,) = set(by_text) - {cap}
    assert any("of the plate" in words for words in by_text[cap])
    assert not any("of the plate" in words for words in by_text[bar])


def test_nothing_is_lifted_unless_it_is_ticked(faller: SignedPlan, clinician: User) -> None:
    resume = next_plan(held(faller, clinician, 12)).resume
    assert (resume["lifted"], resume["plate_cap_g"]) == ([], 1.0)


@pytest.mark.counted
def test_lifting_needs_a_reason_a_draft_and_an_offer(faller: SignedPlan, clinician: User) -> None:
    of = seen(faller, 12)
    with pytest.raises(NotDone, match="Say why it is lifted"):
        held(faller, clinician, 12, **lift(of, FRAGILE_CAP, reason=" "))
    with pytest.raises(NotDone, match="needs a new draft"):
        held(faller, clinician, 12, stay=True, **lift(of, FRAGILE_CAP))
    with pytest.raises(NotDone, match="cannot be lifted"):
        held(faller, clinician, 12, **lift(of, "pressure.stage2"))


def test_nothing_is_offered_after_trouble(faller: SignedPlan, clinician: User) -> None:
    log_session(
        patient=faller.patient,
        session=Session(on=after(12).date(), modality=Modality.PLATE, done="none", pain=4),
        by=clinician,
        at=after(12),
    )
    assert seen(faller, 12).offered == ()


def second_program(first: Plan, by: User, weeks: int) -> SignedPlan:
    """Return the program signed from a draft after so many weeks."""
    start = after(weeks).date()
    row = sign_plan(
        plan=first,
        lock=first.lock,
        by=by,
        at=after(weeks),
        today=start,
        starts_on=start,
        clinic=CLINIC,
    )
    return SignedPlan.objects.select_related("plan", "patient").get(pk=row.pk)


@pytest.mark.counted
def test_what_was_lifted_stays_so_until_a_fall(faller: SignedPlan, clinician: User) -> None:
    lifted = held(faller, clinician, 12, **lift(seen(faller, 12), "falls.high.impact"))
    second = second_program(next_plan(lifted), clinician, 12)
    log_weeks(second, clinician, 1, 2)
    of = reviews.outlook(second, after(14).date())
    assert of.review.stays_lifted == {"falls.high.impact"}
    log_session(
        patient=second.patient,
        session=Session(on=after(14).date(), modality=Modality.BALANCE, done="none", fell=True),
        by=clinician,
        at=after(14),
    )
    of = reviews.outlook(second, after(14).date())
    assert of.review.stays_lifted == frozenset()
    assert of.offered == ()


# --- What the log tells, over versions --------------------------------------------------------


def test_a_fall_entered_late_counts_in_the_next_review(signed: SignedPlan, clinician: User) -> None:
    """Row 26a: of the program that was replaced, entered after its review."""
    second = second_program(next_plan(held(signed, clinician)), clinician, 4)
    log_weeks(second, clinician, 1, 2)
    assert reviews.outlook(second, after(6).date()).proposal.events == ()
    late = SessionLog.objects.filter(signed=signed).earliest("on")
    rows.rewrite(late, fell=True, entered_at=after(5))
    of = reviews.outlook(second, after(6).date())
    assert [(one.what, one.on) for one in of.proposal.events] == [("fall", late.on)]
    assert {one.next for one in of.proposal.modalities} == {Next.STOP}
    assert of.proposal.ask == ("falls",)


def test_a_logged_fall_counts_in_every_draft_from_then_on(
    signed: SignedPlan, clinician: User
) -> None:
    """Row 26d: and nothing is signed until it was asked about."""
    day = after(4).date()
    assert facts_for(signed.patient, day).falls == facts_in(signed.plan).falls
    log_session(
        patient=signed.patient,
        session=Session(on=day, modality=Modality.BALANCE, done="none", fell=True),
        by=clinician,
        at=after(4),
    )
    told = facts_for(signed.patient, day).falls
    assert told is not None
    assert (told.last_12_months, told.injury) == (1, None)
    assert not draft(facts_for(signed.patient, day)).issuable
    asked = {"falls": {"last_12_months": 1, "injury": "no", "long_lie": "no", "blackout": "no"}}
    reviews.answer(signed.patient, "falls", asked, clinician, after(4))
    told = facts_for(signed.patient, day).falls
    assert told is not None
    assert (told.last_12_months, told.injury) == (1, False)


@pytest.mark.counted
def test_the_episode_goes_back_over_versions(signed: SignedPlan, clinician: User) -> None:
    """Row 26g: density from the first day of the episode."""
    second = second_program(next_plan(held(signed, clinician)), clinician, 4)
    of = reviews.outlook(second, after(5).date())
    assert of.proposal.dates.density == dt.date(2027, 3, 2)
    rows.rewrite(signed.plan, starts_on=dt.date(2024, 1, 1))
    of = reviews.outlook(second, after(5).date())
    assert of.proposal.dates.density == dt.date(2027, 3, 30)
