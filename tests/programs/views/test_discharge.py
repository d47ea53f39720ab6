"""What comes next, on the Review page: half year, maintenance, discharge, and her page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from programs.actions import discharging
from programs.actions.printing import PaperUnavailable
from programs.actions.sessions import log_session
from programs.models.program import Handout, Plan, Review, SignedPlan
from programs.review.adherence import Session
from safety.findings import Modality
from tests.patients.pages import filled, text_of
from tests.programs import reviews
from tests.programs.reviews import after, log_weeks

pytestmark = [pytest.mark.django_db, pytest.mark.long]

MAINTAIN = "Keep the review and draft maintenance"
DISCHARGE = "Keep the review and discharge"


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    row = reviews.signed(clinician)
    log_weeks(row, clinician, 1, 2, 3, 4)
    return row


@pytest.fixture
def finished(clinician: User, clock: mock.MagicMock) -> SignedPlan:
    """Return a program whose 26 weeks are over and done; before anybody signs in."""
    clock.return_value = after(26)
    row = reviews.signed(clinician)
    log_weeks(row, clinician, *range(1, 27))
    return row


@pytest.fixture(autouse=True)
def clock() -> Iterator[mock.MagicMock]:
    """Four full weeks are over, unless a test says otherwise."""
    with mock.patch.object(timezone, "now", return_value=after(4)) as now:
        yield now


@pytest.fixture(autouse=True)
def printed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(discharging, "pdf", lambda *args, **how: b"%PDF a page")


def url(signed: SignedPlan, name: str = "review", *more: int) -> str:
    return reverse(f"programs:{name}", args=[signed.patient_id, *more])


def page(client: Client, signed: SignedPlan) -> str:
    response = client.get(url(signed))
    assert response.status_code == 200
    return text_of(response)


def press(
    client: Client, signed: SignedPlan, button: str, chosen: str = "advance", **typed: Any
) -> Any:
    form = filled(client, url(signed), **{str(m): chosen for m in Modality} | typed)
    return client.post(url(signed, "review_decide"), form | {button: "yes"})


def test_before_half_a_year_maintenance_waits_and_says_until_when(
    signed_in: Client, signed: SignedPlan
) -> None:
    shown = page(signed_in, signed)
    assert "Keep the review and make the next draft" in shown
    assert MAINTAIN not in shown
    assert "is over on 31 August 2026, not before." in shown
    assert DISCHARGE in shown


def test_after_half_a_year_all_three_are_offered(finished: SignedPlan, signed_in: Client) -> None:
    shown = page(signed_in, finished)
    assert "Keep the review and make the next half year" in shown
    assert MAINTAIN in shown
    assert "Dalsky" in shown
    assert DISCHARGE in shown


def test_a_half_year_is_drafted_in_one_press(finished: SignedPlan, signed_in: Client) -> None:
    response = press(signed_in, finished, "draft")
    assert response.url == url(finished, "plan")
    assert Plan.objects.get(state=Plan.DRAFT).resume["half_year"] == 2
    plan = text_of(signed_in.get(response.url))
    assert "<strong>Half year 2</strong>" in plan
    asked = plan.split("Ask for it.")[1].split("</p>")[0]
    assert "a new set to fatigue for this half year" in asked
    assert reverse("patients:section", args=[finished.patient_id, "lifts"]) in asked
    assert "Chair stand with weights" in plan


def test_maintenance_is_drafted_in_one_press_and_told_among_the_reviews(
    finished: SignedPlan, signed_in: Client
) -> None:
    response = press(signed_in, finished, "maintenance")
    assert response.url == url(finished, "plan")
    assert Plan.objects.get(state=Plan.DRAFT).resume["maintains"]
    plan = text_of(signed_in.get(response.url))
    assert "<strong>Maintenance: one steady dose</strong>" in plan
    assert "Ask for it." not in plan
    assert "Maintenance: one steady dose" in page(signed_in, finished)


def test_maintenance_pressed_before_its_time_is_refused_and_nothing_typed_is_lost(
    signed_in: Client, signed: SignedPlan
) -> None:
    response = press(signed_in, signed, "maintenance", note="She asks for less.")
    assert response.status_code == 409
    shown = text_of(response)
    assert "Maintenance cannot follow now." in shown
    assert "She asks for less." in shown
    assert not Review.objects.exists()


def test_a_discharge_wants_its_reason_beside_its_field(
    signed_in: Client, signed: SignedPlan
) -> None:
    response = press(signed_in, signed, "discharge", note="Well and steady.")
    assert response.status_code == 422
    shown = text_of(response)
    assert "Say why: a discharge needs its reason." in shown
    assert 'id="id_onward_reason_error"' in shown or "id_onward_reason" in shown
    assert "Well and steady." in shown
    assert not Review.objects.exists()


def discharged(client: Client, signed: SignedPlan, reason: str = "She moves to O'Dell.") -> Review:
    response = press(client, signed, "discharge", onward_reason=reason)
    assert response.url == url(signed)
    return Review.objects.get()


def test_a_discharge_shows_its_reason_and_prints_her_page(
    signed_in: Client, signed: SignedPlan
) -> None:
    review = discharged(signed_in, signed)
    shown = page(signed_in, signed)
    assert "Discharged 30 Mar 2026 by" in shown
    assert shown.count("She moves to O'Dell.") == 2
    assert "Discharged: no program follows." in shown
    asked = {"patient": signed.patient_id, "language": "es", "paper": "Letter", "type_pt": "16"}
    response = signed_in.post(url(signed, "print_discharge", review.pk), asked)
    made = Handout.objects.get()
    assert response.url == url(signed, "handout_pdf", made.pk)
    assert (made.language, made.paper) == ("es", "Letter")
    assert signed_in.get(response.url).content == b"%PDF a page"


def test_pressed_twice_it_is_one_discharge(signed_in: Client, signed: SignedPlan) -> None:
    form = filled(signed_in, url(signed), **{str(m): "hold" for m in Modality})
    form |= {"discharge": "yes", "onward_reason": "She is well."}
    for _ in range(2):
        assert signed_in.post(url(signed, "review_decide"), form).url == url(signed)
    assert Review.objects.count() == 1


def test_a_paper_asked_for_wrongly_or_of_another_patient_is_not_made(
    signed_in: Client, signed: SignedPlan
) -> None:
    review = discharged(signed_in, signed)
    at, asked = url(signed, "print_discharge", review.pk), {"patient": signed.patient_id}
    assert signed_in.post(at, asked | {"language": "xx"}).url == url(signed)
    assert signed_in.post(at, {"patient": signed.patient_id + 1}).status_code == 409
    assert signed_in.post(url(signed, "print_discharge", 999), asked).status_code == 404
    assert signed_in.get(at).status_code == 405
    assert not Handout.objects.exists()


@pytest.mark.counted
@pytest.mark.parametrize("trouble", ["no printer", "fell since"])
def test_where_it_cannot_be_printed_the_page_says_why(
    signed_in: Client,
    signed: SignedPlan,
    clinician: User,
    monkeypatch: pytest.MonkeyPatch,
    trouble: str,
) -> None:
    review = discharged(signed_in, signed)
    if trouble == "no printer":
        monkeypatch.setattr(discharging, "pdf", mock.Mock(side_effect=PaperUnavailable("Not now")))
    else:
        flag = Session(
            on=after(4).date(), modality=Modality.BALANCE, done="none", red_flag="chest pain"
        )
        log_session(patient=signed.patient, session=flag, by=clinician, at=after(4))
    asked = {"patient": signed.patient_id, "language": "en", "paper": "A4", "type_pt": "16"}
    response = signed_in.post(url(signed, "print_discharge", review.pk), asked, follow=True)
    assert not Handout.objects.exists()
    told = "Not now" if trouble == "no printer" else "Hold a review again"
    assert told in text_of(response)


def test_after_a_new_review_the_discharge_stands_no_more(
    signed_in: Client, signed: SignedPlan
) -> None:
    discharged(signed_in, signed)
    assert "Discharged 30 Mar 2026 by" in page(signed_in, signed)
    press(signed_in, signed, "draft", "hold")
    assert "Discharged 30 Mar 2026 by" not in page(signed_in, signed)


def test_nobody_is_discharged_who_fell_and_was_not_asked(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    fell = Session(on=after(4).date(), modality=Modality.PLATE, done="all", fell=True)
    log_session(patient=signed.patient, session=fell, by=clinician, at=after(4))
    shown = page(signed_in, signed)
    assert "Discharge is not offered. To be asked again first: falls." in shown
    assert DISCHARGE not in shown
    response = press(signed_in, signed, "discharge", "stop", onward_reason="None")
    assert response.status_code == 409
    assert not Review.objects.exists()
