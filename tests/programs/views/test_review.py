"""The Review page: what stands first, what is proposed, and what a decision leads to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Audit
from programs.actions.refusals import Stale
from programs.actions.sessions import log_session
from programs.draft.resume import FRAGILE_CAP
from programs.models.program import Plan, Review, SignedPlan
from programs.review.adherence import Session
from safety.findings import Modality
from tests.factories import FractureFactory
from tests.patients.pages import filled, text_of
from tests.people import steady_document
from tests.programs import reviews, rows
from tests.programs.reviews import FALLER, after, log_weeks

pytestmark = [pytest.mark.django_db, pytest.mark.long]


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    row = reviews.signed(clinician)
    log_weeks(row, clinician, 1, 2, 3, 4)
    return row


@pytest.fixture(autouse=True)
def fifth_week() -> Iterator[None]:
    """Four full weeks are over."""
    with mock.patch.object(timezone, "now", return_value=after(4)):
        yield


def url(signed: SignedPlan, name: str = "review") -> str:
    return reverse(f"programs:{name}", args=[signed.patient_id])


def page(client: Client, signed: SignedPlan) -> str:
    response = client.get(url(signed))
    assert response.status_code == 200
    return text_of(response)


def decide(client: Client, signed: SignedPlan, chosen: str = "advance", **typed: Any) -> Any:
    all_of = {str(m): chosen for m in Modality}
    form = filled(client, url(signed), **all_of | typed)
    return client.post(url(signed, "review_decide"), form)


def log(signed: SignedPlan, by: User, **said: Any) -> None:
    told = {"on": after(4).date(), "modality": Modality.PLATE, "done": "all"} | said
    log_session(patient=signed.patient, session=Session(**told), by=by, at=after(4))


def test_shows_what_the_log_leads_to(signed_in: Client, signed: SignedPlan) -> None:
    shown = page(signed_in, signed)
    assert "Plate: Go on with the ramp" in shown
    assert "6 of 6 sessions in weeks 3 and 4 (100 %)" in shown
    assert "Project choice, for the clinic to confirm" in shown
    assert "No fall, broken bone or warning sign" in shown
    assert shown.count("<svg") > 20
    assert " style=" not in shown


def test_nothing_is_chosen_beforehand(signed_in: Client, signed: SignedPlan) -> None:
    form = filled(signed_in, url(signed))
    assert {form[str(m)][0] for m in Modality} == {""}


def test_facts_that_are_old_are_named_and_linked(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    shown = page(signed_in, signed)
    for code in ("symptoms", "falls", "tests", "conditions"):
        assert reverse("patients:section", args=[signed.patient_id, code]) in shown
    assert "Red flags</a>: never" in shown  # the record says of no section when it was asked
    assert "Blood pressure</a>: last 2 Mar 2026" in shown
    answers = {"symptoms": dict.fromkeys(("fever", "chest_pain"), "no")}
    reviews.answer(signed.patient, "symptoms", answers, clinician, after(4))
    assert "Red flags</a>" not in page(signed_in, signed)


def test_falls_and_warning_signs_stand_first(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    log(signed, clinician, fell=True, red_flag="sharp pain in the back", done="none")
    shown = page(signed_in, signed)
    assert shown.index("sharp pain in the back") < shown.index("Sessions done")
    assert "Plate: Stop until reviewed" in shown


def test_unknown_pain_and_falls_are_told(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    log(signed, clinician)
    shown = page(signed_in, signed)
    assert "Pain was not recorded for 1 session." in shown
    assert "Whether there was a fall was not recorded for 1 session." in shown
    assert "Plate: Hold: repeat the last week" in shown


def test_what_hurt_is_listed(signed_in: Client, signed: SignedPlan, clinician: User) -> None:
    log(signed, clinician, pain=5, pain_settled=False, note="left hip")
    shown = page(signed_in, signed)
    assert "left hip" in shown
    assert "not settled" in shown


def test_a_decision_makes_the_next_draft(signed_in: Client, signed: SignedPlan) -> None:
    response = decide(signed_in, signed, draft="yes", note="Goes well")
    assert response.url == reverse("programs:plan", args=[signed.patient_id])
    review = Review.objects.get()
    assert review.note == "Goes well"
    plan = Plan.objects.get(state=Plan.DRAFT)
    assert (plan.version, plan.review) == (2, review)
    shown = page(signed_in, signed)
    assert "Led to version 2" in shown
    assert "Goes well" in shown


def test_sent_twice_is_one_review(signed_in: Client, signed: SignedPlan) -> None:
    form = filled(signed_in, url(signed), **{str(m): "advance" for m in Modality})
    first = signed_in.post(url(signed, "review_decide"), form)
    again = signed_in.post(url(signed, "review_decide"), form)
    assert first.url == again.url
    assert Review.objects.count() == 1


def test_without_a_new_draft(signed_in: Client, signed: SignedPlan) -> None:
    response = decide(signed_in, signed, stay="yes")
    assert response.url == url(signed)
    assert Review.objects.get().next_plan is None
    assert "There is no new draft" in page(signed_in, signed)


def refused(response: HttpResponse, words: str, status: int = 422) -> None:
    assert response.status_code == status
    assert words in text_of(response)
    assert not Review.objects.exists()
    assert not Audit.objects.filter(action="hold review").exists()


def test_the_proposals_are_taken_as_they_are_in_one_click(
    signed_in: Client, signed: SignedPlan
) -> None:
    response = decide(signed_in, signed, chosen="")
    assert response["Location"] == url(signed, "plan")
    told = Review.objects.get().decision["modalities"].values()
    assert all(one["chosen"] == one["proposed"] and not one["reason"] for one in told)


def test_what_was_typed_stays_where_something_is_refused(
    signed_in: Client, signed: SignedPlan
) -> None:
    response = decide(signed_in, signed, plate="faster", impact__reason="kept words", note="kept")
    refused(response, "Select a valid choice")
    assert 'value="kept words"' in text_of(response)
    assert 'review/decide/#decide"' in text_of(response)


def test_more_than_proposed_needs_a_reason(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    log(signed, clinician, pain=4, pain_settled=True, fell=False)
    refused(decide(signed_in, signed), "Say why it is more than was proposed.")
    decide(signed_in, signed, plate__reason="It was her shoes")
    told = Review.objects.get().decision["modalities"]["plate"]
    assert told == {"proposed": "hold", "chosen": "advance", "reason": "It was her shoes"}
    assert "(proposed: hold: repeat the last week done). It was her shoes" in page(
        signed_in, signed
    )


def test_a_nonsense_decision(signed_in: Client, signed: SignedPlan) -> None:
    refused(decide(signed_in, signed, plate="faster"), "Select a valid choice")


def test_what_the_action_refuses_is_shown(signed_in: Client, signed: SignedPlan) -> None:
    refused(decide(signed_in, signed, "stop"), "nothing to draft", 409)
    refused(decide(signed_in, signed, "hold", stay="yes"), "only where all of it", 409)
    refused(decide(signed_in, signed, seal="0" * 64), "Look at the proposal again", 409)


def test_lifting(signed_in: Client, clinician: User) -> None:
    old = steady_document(person={"born": "1940-01-01"}, resources=FALLER["resources"])
    fragile = reviews.signed(clinician, old)
    log_weeks(fragile, clinician, 1, 2, 3, 4)
    code = f"lift__{FRAGILE_CAP}"
    assert code in page(signed_in, fragile)
    refused(decide(signed_in, fragile, **{code: "on"}), "Say why it is lifted.")
    decide(signed_in, fragile, **{code: "on", f"{code}__reason": "No trouble"})
    assert Review.objects.get().decision["lifted"] == {FRAGILE_CAP: "No trouble"}
    assert f"Lifted {FRAGILE_CAP}: No trouble" in page(signed_in, fragile)
    assert Plan.objects.get(state=Plan.DRAFT).resume["plate_cap_g"] == 1.5


def test_why_nothing_is_lifted(signed_in: Client, clinician: User) -> None:
    faller = reviews.signed(clinician, steady_document(**FALLER))
    shown = page(signed_in, faller)
    assert "Not yet: Less than 80 %" in shown
    assert f"lift__{FRAGILE_CAP}" not in shown


def test_before_the_program_starts(signed_in: Client, signed: SignedPlan) -> None:
    with mock.patch.object(timezone, "now", return_value=after(-1)):
        assert "It has not started" in page(signed_in, signed)


def test_no_program_no_decision(signed_in: Client, clinician: User) -> None:
    patient = rows.patient(clinician)
    response = signed_in.post(
        reverse("programs:review_decide", args=[patient.pk]), {"patient": patient.pk}
    )
    assert response.url == reverse("programs:review", args=[patient.pk])
    assert signed_in.get(reverse("programs:review", args=[999])).status_code == 404


def test_facts_that_cannot_stand_together(signed_in: Client, signed: SignedPlan) -> None:
    FractureFactory(patient=signed.patient, date=dt.date(1930, 1, 1))
    response = signed_in.get(url(signed))
    assert "before the date of birth" in text_of(response)


def test_what_cannot_be_read_any_more_says_what_to_do(
    signed_in: Client, signed: SignedPlan
) -> None:
    gone = Stale(["What it was drafted from cannot be read any more."])
    with mock.patch("programs.actions.reviewing.facts_in", side_effect=gone):
        told = page(signed_in, signed)
    assert "cannot be read any more" in told
    assert "redraft" in told
    assert "Nothing is signed yet" not in told
