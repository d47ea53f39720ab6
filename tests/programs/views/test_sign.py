"""The Sign page: all cautions in view, the password once more, one signature, one page."""

import datetime as dt
import re
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from patients.models.patient import Audit, Patient
from patients.staff.rights import Role
from programs.actions.editing import edit_plan
from programs.models.program import Plan, SignedPlan
from tests.conftest import PASSWORD
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.views.test_plan import document, drafted, marks, text, today, url
from tests.programs.views.test_plan import sign as sign_now
from tests.staff import person_of
from tests.test_error_pages import faults

pytestmark = pytest.mark.long


@pytest.fixture
def patient(clinician: User) -> Patient:
    """Somebody with a precaution."""
    return rows.recorded(clinician, document(conditions={"chronic_back_pain": "yes"}))


@pytest.fixture
def plan(patient: Patient, clinician: User) -> Plan:
    """Her open draft."""
    return drafted(patient, clinician)


def typed(plan: Plan, **more: Any) -> dict[str, Any]:
    """Return the sign form filled in."""
    held = {"starts_on": today().isoformat(), "password": PASSWORD}
    return marks(plan) | held | more


def test_all_cautions_and_changes_stand_above_the_signature(
    signed_in: Client, plan: Plan, clinician: User, django_assert_max_num_queries: Any
) -> None:
    edit_plan(
        plan=plan,
        edits=[edit("posture.minutes", 66, 1, 2)],
        lock=1,
        by=clinician,
        at=timezone.now(),
        reason="She does it gladly.",
    )
    # A dozen, the falls of the log, and the clinic's telephone; session, person, rights and look
    # are five; three once a minute; the numbers that papers need are two.
    with django_assert_max_num_queries(14 + 8 + 2):
        page = text(signed_in.get(url("sign", plan.patient)))
    told = [
        "Precaution",
        "She does it gladly.",
        "Exceeds a limit",
        "Starts at",
        "Nothing is issued unsigned",
        "I take responsibility for its suitability for this person",
        "licence",
        "Marta Ferro",
        'autocomplete="current-password"',
        "Sign version 1",
    ]
    places = [page.rindex(words) for words in told]
    assert places[-1] == max(places)
    assert max(places[:4]) < places[5]


def test_signing_shows_version_seal_and_the_way_to_the_paper(signed_in: Client, plan: Plan) -> None:
    first = today() + dt.timedelta(days=3)
    response = signed_in.post(
        url("sign", plan.patient), typed(plan, starts_on=first.isoformat()), follow=True
    )
    page, signed = text(response), SignedPlan.objects.get()
    assert "Version 1 is signed" in page
    assert signed.digest[:12] in page
    assert signed.digest[:13] not in page
    assert "Marta Ferro" in page
    assert url("handout", plan.patient) in page
    plan.refresh_from_db()
    assert (plan.starts_on, plan.state) == (first, "signed")


def test_a_second_click_lands_on_the_same_page(signed_in: Client, plan: Plan) -> None:
    """D01 and D03: several clicks, one record, one page."""
    form = typed(plan)
    pages = [text(signed_in.post(url("sign", plan.patient), form, follow=True)) for _ in range(3)]
    assert all("Version 1 is signed" in page for page in pages)
    assert SignedPlan.objects.count() == 1
    assert Audit.objects.filter(action="sign plan").count() == 1


def test_a_signature_needs_the_password_even_in_a_session(signed_in: Client, plan: Plan) -> None:
    """21 CFR 11.200: a stolen session without the password cannot sign."""
    for wrong, said in (("", "needs your password"), ("guess", "not your password")):
        response = signed_in.post(url("sign", plan.patient), typed(plan, password=wrong))
        assert response.status_code == 422
        assert said in text(response)
        assert wrong == "" or wrong not in text(response)
        assert faults(text(response)) == []
    assert not SignedPlan.objects.exists()
    assert Audit.objects.filter(action="wrong password at signing").count() == 1


def test_after_five_wrong_passwords_even_the_right_one_waits(signed_in: Client, plan: Plan) -> None:
    for _ in range(5):
        signed_in.post(url("sign", plan.patient), typed(plan, password="guess"))
    response = signed_in.post(url("sign", plan.patient), typed(plan))
    assert "Too many wrong passwords" in text(response)
    assert not SignedPlan.objects.exists()
    assert Audit.objects.filter(action="wrong password at signing").count() == 5


def test_what_was_changed_meanwhile_is_shown_before_it_is_signed(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    form = typed(plan)
    edit_plan(
        plan=plan, edits=[edit("balance.minutes", 60)], lock=1, by=clinician, at=timezone.now()
    )
    response = signed_in.post(url("sign", plan.patient), form, follow=True)
    assert "changed after you had opened it" in text(response)
    assert not SignedPlan.objects.exists()


def test_what_has_become_stale_meanwhile_is_not_signed(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    rows.answer(plan.patient, clinician, falls={"last_12_months": 1})
    response = signed_in.post(url("sign", plan.patient), typed(plan))
    assert response.status_code == 409
    assert "It cannot be signed" in text(response)
    assert "Redraft" in text(response)
    assert not SignedPlan.objects.exists()


def test_somebody_else_does_not_sign_over_it(client: Client, plan: Plan, clinician: User) -> None:
    sign_now(plan, clinician)
    other = person_of(Role.CLINICIAN, username="j.okafor")
    client.force_login(other)
    response = client.post(url("sign", plan.patient), typed(plan))
    assert response.status_code == 409
    assert "Draft a new version" in text(response)


def test_a_form_of_another_patient_signs_nothing(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    other = drafted(rows.recorded(clinician, document()), clinician)
    assert signed_in.post(url("sign", plan.patient), typed(other)).status_code == 409
    mixed = typed(other, patient=plan.patient_id)
    assert signed_in.post(url("sign", plan.patient), mixed).status_code == 404
    assert not SignedPlan.objects.exists()


def test_a_replaced_version_is_named_and_a_broken_seal_is_told(
    signed_in: Client, plan: Plan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    sign_now(plan, clinician)
    sign_now(drafted(plan.patient, clinician), clinician)
    page = text(signed_in.get(url("sign", plan.patient)))
    assert "Replaces" in page
    assert "version 1" in page
    from programs.signed import snapshot

    monkeypatch.setattr(snapshot, "verify", lambda body, digest: False)
    broken = text(signed_in.get(url("sign", plan.patient)))
    assert "The seal does not hold" in broken
    assert "Print the handout" not in broken


def test_an_account_without_a_name_is_told(client: Client, plan: Plan) -> None:
    nameless = person_of(Role.CLINICIAN, username="x", password=PASSWORD, first_name="")
    client.force_login(nameless)
    assert "no full name" in text(client.get(url("sign", plan.patient)))
    response = client.post(url("sign", plan.patient), typed(plan) | {"token": str(uuid4())})
    assert response.status_code == 409
    assert "no full name" in text(response)
    assert not SignedPlan.objects.exists()


def test_a_name_that_the_papers_cannot_show_is_told_before(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    assert "cannot be printed" not in text(signed_in.get(url("sign", plan.patient)))
    other = rows.recorded(clinician, document(), given_name="王芳")
    drafted(other, clinician)
    told = "These letters cannot be printed:</strong> <bdi>王</bdi>, <bdi>芳</bdi>."
    assert told in text(signed_in.get(url("sign", other)))


def test_a_kind_that_is_left_out_says_why_beside_its_name(
    signed_in: Client, clinician: User
) -> None:
    her = rows.recorded(clinician, document(conditions={"implanted_stimulator": "yes"}))
    drafted(her, clinician)
    page = text(signed_in.get(url("sign", her)))
    assert re.search(r"</span> Vibration plate: [^<]*[Pp]acemaker", page)
