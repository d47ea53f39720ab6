"""What follows a review: a half year, one dose that holds, or a discharge with its page."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit
from programs.actions import discharging
from programs.actions.as_signed import refuse_what_is_not_as_signed
from programs.actions.discharging import discharge_paper
from programs.actions.drafting import draft_plan
from programs.actions.refusals import NotDone
from programs.actions.reviewing import LogChanged, ends_the_program
from programs.actions.sessions import log_session
from programs.actions.signing import sign_plan
from programs.models.program import Handout, Plan, Review, SignedPlan
from programs.models.program_state import ProgramState
from programs.review.adherence import Session
from programs.review.half_year import Onward
from programs.review.next_steps import Next
from programs.week.document import read_weeks
from safety.findings import Modality
from tests.programs import reviews
from tests.programs.reviews import CLINIC, after, all_as, answer, held, log_weeks, seen

pytestmark = [pytest.mark.django_db, pytest.mark.long]

DISCHARGE = {"onward": Onward.DISCHARGE, "onward_reason": " She moves to Quarrel Bay. "}


@pytest.fixture(scope="module")
def signed_once(clinician_of_this_file: User) -> tuple[int, int]:
    four, all_weeks = (reviews.signed(clinician_of_this_file) for _ in range(2))
    log_weeks(four, clinician_of_this_file, 1, 2, 3, 4)
    log_weeks(all_weeks, clinician_of_this_file, *range(1, 27))
    return four.pk, all_weeks.pk


@pytest.fixture
def clinician(db: None, clinician_of_this_file: User) -> User:
    """Whoever signed it, in place of somebody of this name for each test."""
    return User.objects.get(pk=clinician_of_this_file.pk)


@pytest.fixture
def signed(db: None, signed_once: tuple[int, int]) -> SignedPlan:
    """The steady person's program, four weeks of it logged as done without trouble."""
    return reviews.read_anew(signed_once[0])


@pytest.fixture
def finished(db: None, signed_once: tuple[int, int]) -> SignedPlan:
    """The same of somebody else, all of its 26 weeks logged as done."""
    return reviews.read_anew(signed_once[1])


def next_plan(review: Review) -> Plan:
    plan = review.next_plan
    assert plan is not None
    plan.refresh_from_db()
    return plan


# --- Half years and maintenance ---------------------------------------------------------------


def test_after_26_weeks_the_next_draft_begins_a_half_year(
    finished: SignedPlan, clinician: User
) -> None:
    review = held(finished, clinician, weeks=26)
    assert review.decision["onward"] == "next_draft"
    plan = next_plan(review)
    assert (plan.resume["half_year"], plan.resume["half_weeks"]) == (2, 0)
    assert "stamp" in plan.resume["changed"]
    assert plan.proposed["half_year"] == 2
    rules = [one["rule"] for one in plan.proposed["findings"]]
    assert "lifts.new_set" in rules
    assert not ends_the_program(review)


def test_it_is_signed_reviewed_and_goes_on(finished: SignedPlan, clinician: User) -> None:
    plan = next_plan(held(finished, clinician, weeks=26))
    start = after(26).date()
    row = sign_plan(
        plan=plan, lock=plan.lock, by=clinician, at=after(26), today=start, starts_on=start,
        clinic=CLINIC,
    )  # fmt: skip
    log_weeks_from(row, clinician, 26)
    within = next_plan(held(row, clinician, weeks=30))
    assert (within.resume["half_year"], within.resume["half_weeks"]) == (2, 4)
    assert within.resume["changed"] == plan.resume["changed"]


def log_weeks_from(row: SignedPlan, by: User, weeks: int) -> None:
    """Log four weeks of a program that starts so many weeks later, the day they are over."""
    program = reviews.planned(row)
    told: dict[str, Any] = {"done": "all", "effort": 5, "pain": 1, "fell": False}
    for week in range(1, 5):
        for m in program.modalities:
            for on in program.days(week, m):
                session = Session(on=on, modality=m, **told)
                log_session(patient=row.patient, session=session, by=by, at=after(weeks + 4))


@pytest.mark.counted
def test_a_row_from_before_half_years_were_counted_counts_by_its_episode(
    signed: SignedPlan, clinician: User
) -> None:
    plan = next_plan(held(signed, clinician))
    start = after(4).date()
    row = sign_plan(
        plan=plan, lock=plan.lock, by=clinician, at=after(4), today=start, starts_on=start,
        clinic=CLINIC,
    )  # fmt: skip
    older = {k: v for k, v in plan.resume.items() if not k.startswith("half")}
    refuse_what_is_not_as_signed(row)
    row.plan.resume = older
    assert reviews.outlook(row, after(10).date()).before.half_weeks == 4
    row.plan.resume = older | {"half_weeks": 9}
    assert reviews.outlook(row, after(10).date()).before.half_weeks == 9


@pytest.mark.counted
def test_maintenance_holds_what_was_done_last(finished: SignedPlan, clinician: User) -> None:
    review = held(finished, clinician, weeks=26, onward=Onward.MAINTENANCE)
    plan = next_plan(review)
    assert (review.decision["onward"], plan.resume["maintains"]) == ("maintenance", True)
    weeks, last = read_weeks(plan.weeks), reviews.planned(finished).weeks[25]
    for name in ("resistance", "impact", "balance"):
        assert {getattr(week, name) for week in weeks} == {getattr(last, name)}
    assert [one["week"] for one in plan.proposed["reviews"]] == [26]
    start = after(26).date()
    row = sign_plan(
        plan=plan, lock=plan.lock, by=clinician, at=after(26), today=start, starts_on=start,
        clinic=CLINIC,
    )  # fmt: skip
    assert row.version == 2


def test_drafted_anew_it_is_still_maintenance(finished: SignedPlan, clinician: User) -> None:
    held(finished, clinician, weeks=26, onward=Onward.MAINTENANCE)
    day = after(26).date()
    again = draft_plan(
        patient=finished.patient, as_of=day, starts_on=day, by=clinician, at=after(26)
    )
    assert again.resume["maintains"]


@pytest.mark.counted
def test_maintenance_is_refused_before_half_a_year(signed: SignedPlan, clinician: User) -> None:
    with pytest.raises(NotDone, match="Half a year of the ramp is over on"):
        held(signed, clinician, onward=Onward.MAINTENANCE)
    assert not Review.objects.exists()


def test_it_cannot_stay_and_be_followed(finished: SignedPlan, clinician: User) -> None:
    with pytest.raises(NotDone, match="choose one"):
        held(finished, clinician, weeks=26, onward=Onward.MAINTENANCE, stay=True)


def test_with_everything_stopped_there_is_nothing_to_maintain(
    finished: SignedPlan, clinician: User
) -> None:
    of = seen(finished, 26)
    stop = all_as(Next.STOP, of)
    with pytest.raises(NotDone, match="nothing to draft"):
        held(finished, clinician, weeks=26, of=of, decisions=stop, onward=Onward.MAINTENANCE)


# --- Discharge --------------------------------------------------------------------------------


def test_a_discharge_is_kept_with_what_it_leaves_her(signed: SignedPlan, clinician: User) -> None:
    review = held(signed, clinician, **DISCHARGE)
    assert ends_the_program(review)
    assert review.next_plan is None
    assert review.decision["onward_reason"] == "She moves to Quarrel Bay."
    keeps = review.decision["ending"]["keeps"]
    assert set(keeps) == {"resistance", "impact", "balance", "posture"}
    assert keeps["balance"] == {"until": None, "easier": False}
    assert Audit.objects.filter(action="hold review", object_id=str(review.pk)).exists()
    assert [row.state for row in ProgramState.objects.filter(review=review)] == ["ended"]


@pytest.mark.counted
def test_an_open_draft_goes_with_it(signed: SignedPlan, clinician: User) -> None:
    draft = next_plan(held(signed, clinician))
    review = held(signed, clinician, **DISCHARGE)
    draft.refresh_from_db()
    assert draft.state == Plan.DROPPED
    actions = list(Audit.objects.order_by("-seq").values_list("action", "reason")[:2])
    assert actions[0] == ("drop draft", "Discharged at a review.")
    assert ends_the_program(review)


def test_a_review_that_went_before_and_one_without_the_word_end_nothing(
    signed: SignedPlan, clinician: User
) -> None:
    stays = held(signed, clinician, stay=True)
    assert stays.decision["onward"] == ""
    assert not ends_the_program(stays)
    assert not ends_the_program(Review(decision={"modalities": {}}))


@pytest.mark.counted
@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"onward_reason": "  "}, "a discharge needs its reason"),
        ({"lifted": {"anything": "because"}}, "What is lifted needs a new draft"),
        ({"stay": True}, "choose one"),
    ],
)
def test_what_a_discharge_needs(
    signed: SignedPlan, clinician: User, more: dict[str, Any], why: str
) -> None:
    with pytest.raises(NotDone, match=why):
        held(signed, clinician, **DISCHARGE | more)
    assert not Review.objects.exists()


@pytest.mark.counted
def test_nobody_is_discharged_who_fell_and_was_not_asked(
    signed: SignedPlan, clinician: User
) -> None:
    fell = Session(on=after(4).date(), modality=Modality.BALANCE, done="all", fell=True)
    log_session(patient=signed.patient, session=fell, by=clinician, at=after(4))
    of = seen(signed)
    with pytest.raises(NotDone, match="asked again first: falls"):
        held(signed, clinician, of=of, **DISCHARGE)


def test_of_two_who_decide_at_once_the_later_looks_again(
    signed: SignedPlan, clinician: User
) -> None:
    of, token = seen(signed), uuid4()
    first = held(signed, clinician, of=of, token=token, **DISCHARGE)
    assert held(signed, clinician, of=of, token=token, **DISCHARGE) == first
    with pytest.raises(LogChanged):
        held(signed, clinician, of=of)
    assert Review.objects.count() == 1


def test_who_comes_back_begins_with_a_review_by_the_same_rules(
    signed: SignedPlan, clinician: User
) -> None:
    held(signed, clinician, **DISCHARGE)
    of = seen(signed, 14)
    assert {one.next for one in of.proposal.modalities} == {Next.START_AGAIN}
    review = held(signed, clinician, weeks=14, of=of)
    assert set(next_plan(review).resume["done_weeks"].values()) == {0}
    assert not ends_the_program(review)


# --- Her page ---------------------------------------------------------------------------------


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Count what is printed instead of printing it; tests/rendered looks at real pages."""
    calls: list[dict[str, Any]] = []

    def pdf(template: str, context: Any, **how: Any) -> bytes:
        calls.append({"template": template, "context": context, **how})
        return f"%PDF {len(calls)}".encode()

    monkeypatch.setattr(discharging, "pdf", pdf)
    return calls


def paper(review: Review, by: User, **how: Any) -> Handout:
    return discharge_paper(review=review, by=by, at=after(4), **how)


@pytest.mark.counted
def test_her_page_is_made_once_and_kept(
    signed: SignedPlan, clinician: User, printed: list[dict[str, Any]]
) -> None:
    review = held(signed, clinician, **DISCHARGE)
    first = paper(review, clinician, language="es")
    assert (first.kind, first.language) == (f"discharge {review.pk}", "es")
    assert paper(review, clinician, language="es") == first
    assert paper(review, clinician) != first
    assert len(printed) == 2
    said = printed[0]["context"]["discharge"]
    assert said.on == "30 de marzo de 2026"
    assert Audit.objects.filter(action="make paper").count() == 2


@pytest.mark.counted
def test_a_review_that_discharged_nobody_has_no_page(signed: SignedPlan, clinician: User) -> None:
    with pytest.raises(NotDone, match="discharged nobody"):
        paper(held(signed, clinician), clinician)


@pytest.mark.counted
def test_what_is_known_since_speaks_against_it(
    signed: SignedPlan, clinician: User, printed: list[dict[str, Any]]
) -> None:
    review = held(signed, clinician, **DISCHARGE)
    paper(review, clinician)
    conditions = {"otherwise": "no", "hernia": {"answer": "yes"}}
    answer(signed.patient, "conditions", conditions, clinician, after(4))
    with pytest.raises(NotDone, match="Not for her today: resistance"):
        paper(review, clinician)
    symptoms = {"otherwise": "no", "chest_pain": "yes"}
    answer(signed.patient, "symptoms", symptoms, clinician, after(4))
    with pytest.raises(NotDone, match="Hold a review again"):
        paper(review, clinician)
