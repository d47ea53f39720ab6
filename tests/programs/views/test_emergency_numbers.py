"""The pages that set whom to call, that say what is missing, and that sign without it."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from patients.models.patient import Audit, Patient
from patients.staff.rights import Role
from programs.actions.clinic import Details, details_in_force, set_details
from programs.actions.emergency_numbers import Emergency, emergencies_in_force, set_emergencies
from programs.models.program import Plan, SignedPlan
from tests.conftest import PASSWORD
from tests.programs import rows
from tests.programs.rows import AT
from tests.programs.views.test_plan import document, drafted, marks, text, today, url
from tests.staff import person_of

pytestmark = [pytest.mark.long, pytest.mark.django_db]
ADDRESS = "programs:clinic_emergency"
TYPED = {
    "seen": "0",
    "number_en": "112",
    "words_en": "Day and night",
    "number_es": "113",
    "words_es": "De día y de noche",
}


def beside(page: str, field: str) -> str:
    """Return what stands with a field on a page: its label, its value, its errors."""
    return page.split(f'<div id="div_id_{field}"', 1)[1].split('<div id="div_id_', 1)[0]


def test_it_is_set_once_for_each_language(signed_in: Client) -> None:
    assert signed_in.post(reverse(ADDRESS), TYPED).status_code == 302
    assert emergencies_in_force()["es"] == Emergency(
        language="es", number="113", words="De día y de noche"
    )
    page = text(signed_in.get(reverse("programs:clinic")))
    assert "<dt>In English</dt><dd><strong>112</strong>, Day and night</dd>" in page
    assert "<dt>In Spanish</dt><dd><strong>113</strong>, De día y de noche</dd>" in page
    assert 'value="113"' in text(signed_in.get(reverse(ADDRESS)))


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"number_es": "ask"}, "as it is dialled"),
        ({"number_es": "0" * 30}, "Too long"),
        ({"number_es": "0" * 31}, "30 characters"),
        ({"words_en": "x" * 81}, "80 characters"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(
    signed_in: Client, wrong: dict[str, str], said: str
) -> None:
    answer = signed_in.post(reverse(ADDRESS), TYPED | wrong)
    assert answer.status_code == 422
    (field,) = wrong
    page = text(answer)
    assert said in beside(page, field)
    assert page.count("has-error") == 1
    for value in (TYPED | wrong).values():
        assert f'value="{value}"' in page
    assert emergencies_in_force()["en"].number == ""


@pytest.mark.counted
def test_two_who_set_numbers_do_not_undo_each_other(signed_in: Client, clinician: User) -> None:
    assert 'name="seen" value="0"' in text(signed_in.get(reverse(ADDRESS)))
    other = Emergency(language="en", number="114")
    set_emergencies(given=[other], by=clinician, at=AT)
    answer = signed_in.post(reverse(ADDRESS), TYPED)
    page = text(answer)
    assert answer.status_code == 422
    assert "Somebody else set a number after you had opened this page." in page
    assert 'value="113"' in page
    assert emergencies_in_force()["en"] == other
    seen = page.split('name="seen" value="', 1)[1].split('"', 1)[0]
    assert signed_in.post(reverse(ADDRESS), TYPED | {"seen": seen}).status_code == 302
    assert emergencies_in_force()["es"].number == "113"


def test_a_telephone_too_long_is_refused_beside_its_field(signed_in: Client) -> None:
    long = "01234 567890, or 01234 567891 at night and at weekends"
    sent = {"name": "Ours", "phone": long, "address": "", "paper": "A4"}
    answer = signed_in.post(reverse("programs:clinic_details"), sent)
    assert answer.status_code == 422
    assert "Too long" in beside(text(answer), "phone")
    assert long in text(answer)


def test_the_clinics_older_words_are_kept_by_its_other_page(
    signed_in: Client, clinician: User
) -> None:
    set_details(details=Details(emergency="Call 112"), by=clinician, at=AT)
    sent = {"name": "Ours", "phone": "01 000", "address": "", "paper": "A4"}
    assert signed_in.post(reverse("programs:clinic_details"), sent).status_code == 302
    assert details_in_force().emergency == "Call 112"
    assert details_in_force().name == "Ours"


def test_only_who_may_set_the_clinic_sets_it(client: Client) -> None:
    client.force_login(person_of(Role.ASSISTANT, username="a.holm"))
    assert client.post(reverse(ADDRESS), TYPED).status_code == 403
    assert "Missing" in text(client.get(reverse("programs:clinic")))
    assert reverse(ADDRESS) not in text(client.get(reverse("programs:caseload")))


@pytest.mark.parametrize("page", ["programs:clinic", "programs:caseload"])
def test_what_is_missing_is_said_until_it_is_set(
    signed_in: Client, clinician: User, page: str
) -> None:
    missing = text(signed_in.get(reverse(page)))
    assert "the emergency number for papers in Spanish" in missing
    assert reverse(ADDRESS) in missing
    rows.reached(clinician)
    assert "the emergency number" not in text(signed_in.get(reverse(page)))


def test_the_page_of_papers_says_what_they_lack(signed_in: Client, clinician: User) -> None:
    who = rows.patient(clinician)
    page = reverse("programs:handout", args=[who.pk])
    assert "a blank there to be filled in by hand" in text(signed_in.get(page))


# --- Signing ----------------------------------------------------------------------------------


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.recorded(clinician, document())


@pytest.fixture
def plan(patient: Patient, clinician: User) -> Plan:
    """An open draft at a clinic that has no number for papers in Spanish."""
    made = drafted(patient, clinician)
    set_emergencies(given=[Emergency(language="es")], by=clinician, at=AT)
    return made


def typed(plan: Plan, **more: Any) -> dict[str, Any]:
    held = {"starts_on": today().isoformat(), "password": PASSWORD, "token": str(uuid4())}
    return marks(plan) | held | more


def test_nothing_is_signed_and_the_page_says_why(signed_in: Client, plan: Plan) -> None:
    page = url("sign", plan.patient)
    assert "Reason to sign without it" in text(signed_in.get(page))
    answer = signed_in.post(page, typed(plan, without_number="  "))
    assert answer.status_code == 422
    error = text(answer).split("div_id_without_number", 1)[1].split("id_password", 1)[0]
    assert "Missing: the emergency number for papers in Spanish. Set it on" in error
    assert f'value="{today().isoformat()}"' in text(answer)
    assert not SignedPlan.objects.exists()


def test_with_a_reason_it_is_signed_and_the_reason_is_shown(signed_in: Client, plan: Plan) -> None:
    page, why = url("sign", plan.patient), "She reads English and has it by her telephone."
    wrong = signed_in.post(page, typed(plan, without_number=why, password="wrong"))
    assert wrong.status_code == 422
    assert f'value="{why}"' in text(wrong)
    assert signed_in.post(page, typed(plan, without_number=why)).status_code == 302
    assert Audit.objects.get(action="sign plan").reason == why
    signed = text(signed_in.get(page))
    assert f"the emergency number for papers in Spanish. Reason: {why}" in signed


def test_with_all_numbers_nothing_is_asked(signed_in: Client, clinician: User, plan: Plan) -> None:
    rows.reached(clinician)
    page = url("sign", plan.patient)
    assert "Reason to sign without it" not in text(signed_in.get(page))
    assert signed_in.post(page, typed(plan)).status_code == 302
    assert "Signed without" not in text(signed_in.get(page))
