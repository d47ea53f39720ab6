"""Beside the exercise on the pages: its own page, Plan and Sign, who may."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Patient
from patients.staff.rights import Role
from programs.actions.drafting import draft_plan
from programs.models.beside import KindSaid, PromptAnswer
from programs.models.program import Plan
from tests.patients.pages import filled
from tests.patients.views.test_who_she_is import words_of
from tests.people import steady_document
from tests.programs import rows
from tests.programs.actions.test_signing import sign
from tests.programs.rows import AT, DAY
from tests.staff import person_of

pytestmark = [pytest.mark.django_db, pytest.mark.long]
REFUSAL = {"modality": "plate", "said": "refuses", "words": "I'd be <sick>", "asked_by": "O'Vale"}


@pytest.fixture(autouse=True)
def that_day() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=AT):
        yield


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.recorded(clinician)


@pytest.fixture
def plan(patient: Patient, clinician: User) -> Plan:
    return draft_plan(patient=patient, as_of=DAY, starts_on=DAY, by=clinician, at=AT)


def page(of: Patient, name: str = "beside") -> str:
    return reverse(f"programs:{name}", args=[of.pk])


def send(client: Client, of: Patient, name: str, **typed: Any) -> Any:
    sent = filled(client, page(of), on=DAY.isoformat(), **typed)
    return client.post(page(of, name), sent, follow=True)


def test_a_refusal_is_kept_and_told_beside_its_kind_on_plan_and_sign(
    signed_in: Client, patient: Patient, plan: Plan
) -> None:
    before = [plan.weeks, plan.proposed]
    assert "Kept. It changes no dose." in words_of(
        send(signed_in, patient, "beside_said", **REFUSAL)
    )
    told = "Does not want it: “I'd be &lt;sick&gt;”. Asked by O'Vale on 2 Mar 2026."
    for name in ("plan", "sign"):
        html = signed_in.get(page(patient, name)).content.decode()
        assert told.replace("'", "&#x27;") in html
        assert "It is still in this program: nothing was removed because of it." in html
    plan.refresh_from_db()
    assert [plan.weeks, plan.proposed] == before


def test_a_signed_program_tells_a_later_refusal_too(
    signed_in: Client, patient: Patient, plan: Plan, clinician: User
) -> None:
    sign(plan, clinician)
    send(signed_in, patient, "beside_said", **REFUSAL)
    assert "Not wanted." in words_of(signed_in.get(page(patient, "plan")))


def test_a_consent_is_told_without_a_warning(
    signed_in: Client, patient: Patient, plan: Plan
) -> None:
    send(signed_in, patient, "beside_said", **REFUSAL | {"said": "agrees", "words": ""})
    told = words_of(signed_in.get(page(patient, "sign")))
    assert "Agrees to it. Asked by O'Vale on 2 Mar 2026." in told
    assert "Not wanted" not in told


@pytest.mark.parametrize(
    "typed, error",
    [
        ({"words": ""}, "Write down the refusal in the person’s own words."),
        ({"modality": ""}, "Choose the kind."),
        ({"asked_by": ""}, "Say who asked."),
        ({"on": "3 Mar 2026"}, "The day is still to come."),
        ({"on": ""}, "Write the day."),
        ({"asked_by": "x" * 121}, "At most 120 letters."),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_lost(
    signed_in: Client, patient: Patient, typed: dict[str, str], error: str
) -> None:
    sent = filled(signed_in, page(patient)) | REFUSAL | typed
    refused = signed_in.post(page(patient, "beside_said"), sent)
    assert refused.status_code == 422
    told = words_of(refused)
    assert error in told
    if "words" not in typed:
        assert "I'd be <sick>" in told
    assert not KindSaid.objects.exists()


def test_several_prompts_are_answered_at_once(signed_in: Client, patient: Patient) -> None:
    typed = {
        "protein-answer": "done",
        "protein-note": "1.1 g/kg",
        "vision-answer": "referred",
        "vision-to": "Dr O'Vale",
        "feet-answer": "not now",
    }
    told = words_of(send(signed_in, patient, "beside_answers", **typed))
    assert PromptAnswer.objects.count() == 3
    assert "Referred to Dr O'Vale on 2 Mar 2026." in told
    assert "Done on 2 Mar 2026: 1.1 g/kg." in told
    assert told.count("Not answered yet.") == 5


@pytest.mark.parametrize(
    "typed, error",
    [
        ({}, "Answer at least one of them."),
        ({"vision-answer": "referred"}, "Say to whom."),
        ({"vision-answer": "referred", "vision-to": "x" * 121}, "At most 120 letters."),
        ({"vision-to": "Dr O'Vale"}, "Choose the answer that this belongs to."),
        ({"feet-note": "sore"}, "Choose the answer that this belongs to."),
        ({"feet-answer": "done", "on": "3 Mar 2026"}, "The day is still to come."),
        ({"feet-answer": "done", "on": ""}, "Write the day."),
    ],
)
def test_a_wrong_answer_to_a_prompt_is_said_and_none_is_kept(
    signed_in: Client, patient: Patient, typed: dict[str, str], error: str
) -> None:
    sent = filled(signed_in, page(patient)) | {"on": DAY.isoformat()} | typed
    refused = signed_in.post(page(patient, "beside_answers"), sent)
    assert (refused.status_code, error in words_of(refused)) == (422, True)
    assert not PromptAnswer.objects.exists()


def test_her_goal_stands_there_in_her_own_words(signed_in: Client, clinician: User) -> None:
    her = rows.recorded(clinician, steady_document(own_goal="Carry Mia's cello"))
    assert "“Carry Mia's cello”" in words_of(signed_in.get(page(her)))


def test_a_keeper_neither_reads_nor_sends_it(client: Client, patient: Patient) -> None:
    client.force_login(person_of(Role.KEEPER, username="keeper"))
    assert client.get(page(patient)).status_code == 403
    assert client.post(page(patient, "beside_said"), REFUSAL).status_code == 403


def test_the_page_is_led_to_from_facts_plan_and_review(
    signed_in: Client, patient: Patient, plan: Plan, clinician: User
) -> None:
    sign(plan, clinician)
    for name in ("patients:facts", "programs:plan", "programs:review"):
        html = signed_in.get(reverse(name, args=[patient.pk])).content.decode()
        assert f'href="{page(patient)}' in html
