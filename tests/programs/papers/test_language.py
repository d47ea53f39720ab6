"""Which papers are to be had in Spanish, how they are chosen, and that they are kept apart."""

from typing import Any

import icalendar
import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from programs.actions import papers
from programs.models.program import Handout, Plan, SignedPlan
from tests.programs.actions.test_signing import CLINIC, drafted, sign
from tests.programs.rows import AT

pytestmark = [pytest.mark.long, pytest.mark.usefixtures("on_the_first_day")]

Printed = list[dict[str, Any]]


@pytest.fixture
def plan(clinician: User) -> Plan:
    return drafted(clinician)


@pytest.fixture
def signed(plan: Plan, clinician: User) -> SignedPlan:
    return sign(plan, clinician)


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> Printed:
    """Note what is printed instead of printing it."""
    calls: Printed = []

    def pdf(template: str, context: Any, **how: Any) -> bytes:
        calls.append({"template": template, "context": context, **how})
        return f"%PDF {how['language']} {len(calls)}".encode()

    monkeypatch.setattr(papers, "pdf", pdf)
    return calls


def test_each_language_is_a_paper_of_its_own(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    english = papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT)
    spanish = papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT, language="es")
    again = papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT, language="es")
    assert (english.language, spanish.language) == ("en", "es")
    assert again == spanish != english
    assert papers.kept_bytes(again) == b"%PDF es 2"
    assert len(printed) == 2


def test_a_handout_is_said_in_the_language_chosen(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT, language="es")
    assert printed[0]["language"] == "es"
    assert printed[0]["context"]["handout"].sheets[0].title == (
        "Semana 1: desde el lunes 2 de marzo de 2026"
    )
    assert printed[0]["issue"].signed_on == "2 mar 2026"


def test_the_page_for_a_colleague_stays_in_english(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    row = papers.make_paper(signed=signed, kind="summary", by=clinician, at=AT, language="es")
    assert row.language == printed[0]["language"] == "en"
    assert printed[0]["issue"].starts_on == "Monday 2 March 2026"


def test_the_record_of_the_first_session(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    row = papers.make_paper(signed=signed, kind="plate session", by=clinician, at=AT, language="es")
    assert row.language == "es"
    assert "Botón de parada mostrado y probado." in printed[0]["context"]["session"].before


def page(of: SignedPlan | Plan) -> str:
    return reverse("programs:handout", kwargs={"patient_id": of.patient_id})


def options(of: SignedPlan, **more: Any) -> dict[str, Any]:
    held = {"patient": of.patient_id, "kind": "handout", "paper": "A4", "type_pt": 16}
    return held | more


def test_the_page_offers_both(signed: SignedPlan, signed_in: Client, printed: Printed) -> None:
    text = signed_in.get(page(signed)).content.decode()
    assert '<option value="es">Spanish</option>' in text
    answer = signed_in.post(page(signed), options(signed, language="es"), follow=True)
    assert answer.content == b"%PDF es 1"
    assert answer["Content-Disposition"] == 'inline; filename="program-1-handout-1-26-es.pdf"'
    kept = signed_in.get(page(signed)).content.decode()
    assert "<td>Spanish</td>" in kept
    assert "of version 1, Spanish, A4" in kept


@pytest.mark.parametrize("wrong", ["", "fr", "es-ES"])
def test_a_language_that_is_not_offered(signed: SignedPlan, signed_in: Client, wrong: str) -> None:
    answer = signed_in.post(page(signed), options(signed, language=wrong))
    assert "to put right" in answer.content.decode()
    assert not Handout.objects.exists()


@pytest.mark.parametrize(
    ("asked", "given", "suffix"), [("es", "es", "-es"), ("en", "en", ""), ("fr", "en", "")]
)
def test_draft_and_blank_form(
    plan: Plan, signed_in: Client, printed: Printed, asked: str, given: str, suffix: str
) -> None:
    where = reverse("programs:draft_pdf", kwargs={"patient_id": plan.patient_id})
    answer = signed_in.get(where, {"language": asked})
    assert answer["Content-Disposition"] == f'inline; filename="draft-1{suffix}.pdf"'
    answer = signed_in.get(reverse("programs:questionnaire"), {"language": asked})
    assert answer["Content-Disposition"] == f'inline; filename="questions{suffix}.pdf"'
    assert [call["language"] for call in printed] == [given, given]


def test_a_draft_in_spanish_says_so(plan: Plan, printed: Printed) -> None:
    papers.draft_pdf(plan=plan, clinic=CLINIC, language="es")
    assert printed[0]["context"]["handout"].about.tell == (
        "Esto es un borrador. No está firmado. No lo use.",
    )


@pytest.mark.parametrize(
    ("asked", "title"), [({"title": "es"}, "Ejercicios"), ({"title": "en"}, "Exercises")]
)
def test_the_title_of_the_calendar_file(
    signed: SignedPlan, signed_in: Client, asked: dict[str, str], title: str
) -> None:
    assert title in signed_in.get(page(signed)).content.decode()
    where = {"patient_id": signed.patient_id, "signed_id": signed.pk}
    answer = signed_in.get(reverse("programs:session_calendar", kwargs=where), asked)
    events = icalendar.Calendar.from_ical(answer.content).walk("VEVENT")
    assert {str(event["SUMMARY"]) for event in events} == {title}


def test_the_pages_themselves_stay_in_english(signed: SignedPlan, signed_in: Client) -> None:
    answer = signed_in.get(page(signed), headers={"accept-language": "es"})
    text = answer.content.decode()
    assert '<html lang="en' in text
    assert "Signed by" in text
