"""Drafting from what is on record: one open draft, one audit line, the same as the documents."""

import datetime as dt
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit, FractureRow, Patient
from patients.rows_to_facts import Contradiction
from programs.actions.drafting import draft_plan
from programs.actions.read_plan import basis_of, facts_for, facts_in, resume_of, stale_reasons
from programs.actions.refusals import Stale
from programs.draft.document import answer
from programs.draft.resume import Resume
from programs.models.program import Plan
from safety.findings import Modality
from tests.people import facts, steady_document
from tests.programs import rows
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def patient(clinician: User) -> Patient:
    """The steady person, on record."""
    return rows.recorded(clinician)


def draft(patient: Patient, by: User, **more: object) -> Plan:
    """Draft for a patient as of her day."""
    held = {"as_of": DAY, "starts_on": DAY, "at": AT}
    return draft_plan(patient=patient, by=by, **held | more)  # type: ignore[arg-type]


def test_what_is_on_record_is_the_document(patient: Patient) -> None:
    assert facts_for(patient, DAY) == facts(steady_document())


def test_a_draft_is_what_the_document_drafts(patient: Patient, clinician: User) -> None:
    plan = Plan.objects.get(pk=draft(patient, clinician).pk)
    expected = answer(steady_document())
    assert plan.proposed["weeks"][0]["minutes"] == expected["weeks"][0]["minutes"]
    assert plan.proposed["modalities"] == expected["modalities"]
    assert plan.weeks == plan.proposed["weeks"]
    assert (plan.version, plan.state, plan.lock) == (1, "draft", 1)
    assert facts_in(plan) == facts(steady_document())
    assert basis_of(plan).made.issuable
    line = Audit.objects.get(action="draft plan")
    assert (line.object_id, line.actor) == (str(plan.pk), clinician)


def test_an_older_open_draft_is_dropped_with_a_line(patient: Patient, clinician: User) -> None:
    older = draft(patient, clinician)
    newer = draft(patient, clinician)
    older.refresh_from_db()
    assert (older.state, newer.state, newer.version) == ("dropped", "draft", 1)
    assert Audit.objects.filter(action="drop draft", object_id=str(older.pk)).count() == 1


def test_the_version_follows_the_last_signed(patient: Patient, clinician: User) -> None:
    first = draft(patient, clinician)
    first.state = Plan.SIGNED
    first.save()
    rows.signed(first, clinician)
    assert draft(patient, clinician).version == 2


def test_one_form_sent_twice_makes_one_draft(patient: Patient, clinician: User) -> None:
    token = uuid4()
    first = draft(patient, clinician, token=token)
    assert draft(patient, clinician, token=token) == first
    assert Plan.objects.count() == 1


def test_a_new_draft_takes_up_where_the_dropped_one_did(patient: Patient, clinician: User) -> None:
    signed = rows.plan(patient, clinician, state="signed")
    review = rows.review(rows.signed(signed, clinician), clinician)
    resume = Resume(done_weeks={Modality.BALANCE: 4}, lifted=frozenset({"plate.fragile_cap"}))
    first = draft(patient, clinician, resume=resume, review=review)
    again = draft(patient, clinician)
    assert resume_of(again) == resume
    assert again.review == review
    other = draft(patient, clinician, resume=Resume())
    assert (resume_of(other), other.review) == (Resume(), None)
    assert first.proposed["weeks"][0]["balance"] != other.proposed["weeks"][0]["balance"]


def test_a_draft_that_stops_everything_is_kept_without_weeks(clinician: User) -> None:
    flagged = rows.recorded(clinician, steady_document(symptoms={"chest_pain": "yes"}))
    plan = draft(flagged, clinician)
    assert plan.weeks == []
    assert plan.proposed["issuable"] is False


def test_nothing_makes_a_fresh_draft_stale(patient: Patient, clinician: User) -> None:
    plan = Plan.objects.get(pk=draft(patient, clinician).pk)
    assert stale_reasons(plan, DAY) == ()
    assert stale_reasons(plan, DAY + dt.timedelta(days=3)) == ()


def test_a_changed_fact_makes_it_stale_and_is_named(patient: Patient, clinician: User) -> None:
    plan = draft(patient, clinician)
    rows.answer(patient, clinician, falls={"last_12_months": 2})
    (reason,) = stale_reasons(plan, DAY)
    assert "falls" in reason


def test_the_date_alone_can_make_it_stale(clinician: User) -> None:
    """A fracture of 80 days ago counts as fresh up to day 84 (rulebook row 4)."""
    fresh = steady_document(
        fractures=[{"site": "wrist", "date": "2025-12-12", "low_trauma": "yes", "healed": "yes"}]
    )
    plan = draft(rows.recorded(clinician, fresh), clinician)
    assert stale_reasons(plan, DAY + dt.timedelta(days=4)) == ()
    (reason,) = stale_reasons(plan, DAY + dt.timedelta(days=5))
    assert "date" in reason


def test_what_cannot_stand_together_is_told(patient: Patient, clinician: User) -> None:
    plan = draft(patient, clinician)
    FractureRow.objects.create(
        patient=patient, site="wrist", date=dt.date(1950, 1, 1), entered_by=clinician, entered_at=AT
    )
    (reason,) = stale_reasons(plan, DAY)
    assert "do not fit together" in reason
    with pytest.raises(Contradiction):
        draft(patient, clinician)
    plan.refresh_from_db()
    assert plan.state == Plan.DRAFT


def test_a_plan_of_another_rulebook_is_stale(patient: Patient, clinician: User) -> None:
    plan = draft(patient, clinician)
    plan.proposed["weeks"][0]["minutes"] = 1.0
    with pytest.raises(Stale, match="rulebook"):
        basis_of(plan)
    plan.facts = {"format": "facts/0"}
    with pytest.raises(Stale, match="read any more"):
        basis_of(plan)
