"""Stopping on the pages: the form, the banner, telling her, the notice, copies, the next draft."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pikepdf
import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from programs.actions import papers
from programs.actions.program_state import stop_program
from programs.models.program import Handout, Plan, SignedPlan
from programs.models.program_state import ProgramState, StopTold
from safety.findings import Modality
from tests.patients.pages import filled, text_of
from tests.programs import reviews, rows
from tests.programs.reviews import after, log_weeks

pytestmark = [pytest.mark.django_db, pytest.mark.long]
WHY = "pain in the hip, rang today"


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    row = reviews.signed(clinician)
    log_weeks(row, clinician, 1, 2)
    return row


@pytest.fixture(autouse=True)
def third_week() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=after(2)):
        yield


def blank_pdf(*_: Any, **__: Any) -> bytes:
    """Return a PDF of two pages."""
    made, document = io.BytesIO(), pikepdf.new()
    for _page in range(2):
        document.add_blank_page(page_size=(595, 842))
    document.save(made)
    return made.getvalue()


@pytest.fixture
def press(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(papers, "pdf", blank_pdf)


def url(name: str, of: SignedPlan, *more: int) -> str:
    return reverse(f"programs:{name}", args=[of.patient_id, *more])


def stop(client: Client, of: SignedPlan, **typed: Any) -> Any:
    form = filled(client, url("stop", of), **{"what": "all", "why": WHY} | typed)
    return client.post(url("stop", of), form, follow=True)


def stopped(of: SignedPlan, by: User, kind: Modality | None = None) -> ProgramState:
    return stop_program(signed=of, why=WHY, by=by, at=after(2), modality=kind)


def test_a_stop_leads_to_telling_her(signed_in: Client, signed: SignedPlan) -> None:
    shown = text_of(stop(signed_in, signed))
    assert "Stopped: the whole program" in shown
    assert "It is done only when" in shown
    row = ProgramState.objects.get(state="stopped")
    assert (row.why, row.modality) == (WHY, "")
    assert "draft it without" not in shown.lower()


def test_every_page_of_hers_says_so(signed_in: Client, signed: SignedPlan, clinician: User) -> None:
    row = stopped(signed, clinician)
    for name in ("plan", "handout", "log", "review"):
        shown = text_of(signed_in.get(url(name, signed)))
        assert "Version 1: Stopped on 16 Mar 2026 by Marta Ferro: pain in the hip" in shown, name
    html = signed_in.get(reverse("patients:facts", args=[signed.patient_id])).content.decode()
    assert url("stop_told", signed, row.pk) in html


@pytest.mark.parametrize(
    ("typed", "error"),
    [({"what": ""}, "Say what is stopped."), ({"why": ""}, "Say why it is stopped.")],
)
def test_what_is_missing_is_asked_beside_its_field(
    signed_in: Client, signed: SignedPlan, typed: dict[str, str], error: str
) -> None:
    response = stop(signed_in, signed, **typed)
    assert response.status_code == 422
    assert error in text_of(response)
    assert WHY in response.content.decode() or typed == {"why": ""}
    assert not ProgramState.objects.filter(state="stopped").exists()


def test_a_double_click_stops_once(signed_in: Client, signed: SignedPlan) -> None:
    form = filled(signed_in, url("stop", signed), what="plate", why=WHY)
    first = signed_in.post(url("stop", signed), form)
    second = signed_in.post(url("stop", signed), form)
    assert first["Location"] == second["Location"]
    assert ProgramState.objects.filter(state="stopped").count() == 1


def test_a_form_of_another_patient_is_refused(signed_in: Client, signed: SignedPlan) -> None:
    assert stop(signed_in, signed, patient=0).status_code == 409


def test_what_is_stopped_already_is_told(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    stopped(signed, clinician)
    assert "Stopped on 16 Mar 2026" in text_of(signed_in.get(url("stop", signed)))
    of_nobody = rows.patient(clinician)
    response = signed_in.get(reverse("programs:stop", args=[of_nobody.pk]))
    assert response["Location"] == reverse("programs:handout", args=[of_nobody.pk])


def test_the_kind_that_was_stopped_is_not_offered_again(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    stopped(signed, clinician, Modality.PLATE)
    shown = text_of(signed_in.get(url("stop", signed)))
    assert "only balance" in shown
    assert "only plate" not in shown


# --- She knows ------------------------------------------------------------------------------


def test_that_she_knows_is_kept(signed_in: Client, signed: SignedPlan, clinician: User) -> None:
    row = stopped(signed, clinician)
    page = url("stop_told", signed, row.pk)
    form = filled(signed_in, page, told_by="Jo O’Brien", how="by telephone", on="2026-03-16")
    shown = text_of(signed_in.post(page, form, follow=True))
    assert "Told by Jo O’Brien by telephone on 16 Mar 2026." in shown
    assert StopTold.objects.get().stop == row
    assert "Told by Jo O’Brien" in text_of(signed_in.get(url("handout", signed)))
    banner = signed_in.get(url("plan", signed)).content.decode()
    assert page not in banner


@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ({"how": ""}, "Say how it was told."),
        ({"told_by": ""}, "Say who told it."),
        ({"on": ""}, "Write the day."),
        ({"on": "2026-03-15"}, "The day lies between the stop and today."),
    ],
)
def test_what_is_not_whole_is_asked_again(
    signed_in: Client, signed: SignedPlan, clinician: User, typed: dict[str, str], error: str
) -> None:
    page = url("stop_told", signed, stopped(signed, clinician).pk)
    form = filled(signed_in, page, **{"how": "in person"} | typed)
    response = signed_in.post(page, form)
    assert response.status_code == 422
    assert error in text_of(response)
    assert not StopTold.objects.exists()


def test_the_notice_opens_and_is_kept(
    signed_in: Client, signed: SignedPlan, clinician: User, press: None
) -> None:
    row = stopped(signed, clinician)
    sent = {"patient": signed.patient_id, "language": "es", "paper": "A4", "type_pt": 20}
    response = signed_in.post(url("stop_notice", signed, row.pk), sent, follow=True)
    assert response["Content-Type"] == "application/pdf"
    made = Handout.objects.get()
    assert (made.kind, made.language) == (f"stop notice {row.pk}", "es")
    assert response.content == bytes(made.pdf)
    wrong = signed_in.post(url("stop_notice", signed, row.pk), sent | {"paper": "A0"}, follow=True)
    assert "Choose a language" in text_of(wrong)


# --- What was printed ---------------------------------------------------------------------


def drawn_on(pdf: bytes) -> list[bytes]:
    """Return what is drawn on each page."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            page.contents_coalesce()
        return [page.obj.Contents.read_bytes() for page in document.pages]


@pytest.mark.parametrize(
    ("language", "mark"), [("en", "STOPPED: NOT TO BE USED"), ("es", "SUSPENDIDO: NO USAR")]
)
def test_a_kept_paper_opens_as_a_marked_copy(
    signed_in: Client, signed: SignedPlan, clinician: User, press: None, language: str, mark: str
) -> None:
    row = papers.make_paper(
        signed=signed, kind="handout", by=clinician, at=after(2), language=language
    )
    page = url("handout_pdf", signed, row.pk)
    before = signed_in.get(page).content
    assert before == bytes(row.pdf)
    stopped(signed, clinician)
    copy = signed_in.get(page).content
    marked = drawn_on(copy)
    assert len(marked) == 2
    assert all(mark.encode("cp1252").hex().encode() in one for one in marked)
    assert bytes(Handout.objects.get().pdf) == before


def test_the_days_are_taken_back(signed_in: Client, signed: SignedPlan, clinician: User) -> None:
    page = reverse("programs:session_calendar", args=[signed.patient_id, signed.pk])
    assert "exercise-days.ics" in signed_in.get(page)["Content-Disposition"]
    stopped(signed, clinician, Modality.PLATE)
    assert signed_in.get(page).status_code == 302
    stopped(signed, clinician)
    assert "exercise-days-removed.ics" in signed_in.get(page)["Content-Disposition"]


# --- The next draft -----------------------------------------------------------------------


def test_the_draft_without_it_is_one_click(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    row = stopped(signed, clinician, Modality.PLATE)
    page = url("stop_told", signed, row.pk)
    assert "Draft it without plate" in text_of(signed_in.get(page))
    sent = {"patient": signed.patient_id, "token": "7a3f7d1e-6a53-4f0b-9d52-0c5a4f2f3b11"}
    for _click in range(2):
        response = signed_in.post(url("stop_draft", signed, row.pk), sent)
        assert response["Location"] == url("plan", signed)
    plan = Plan.objects.get(patient=signed.patient, state=Plan.DRAFT)
    assert all(week["plate"] is None for week in plan.weeks)


def test_where_nothing_is_left_to_draft_it_says_so(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    row = stopped(signed, clinician, Modality.PLATE)
    rows.answer(signed.patient, clinician, symptoms={"chest_pain": "yes"})
    sent = {"patient": signed.patient_id}
    shown = text_of(signed_in.post(url("stop_draft", signed, row.pk), sent, follow=True))
    assert "nothing to draft" in shown


def test_today_is_told_on_every_page(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    rows.answer(signed.patient, clinician, symptoms={"chest_pain": "yes"})
    for address in (url("log", signed), reverse("patients:facts", args=[signed.patient_id])):
        shown = text_of(signed_in.get(address))
        assert "Nothing may be handed out until a review." in shown
