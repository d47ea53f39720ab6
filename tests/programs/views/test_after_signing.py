"""After a signature: five clicks are one, no form changes that plan, no list waits for it."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from patients.models.patient import Audit, Patient
from programs.models.program import Plan, PlanEdit, SignedPlan
from safety.findings import Modality
from tests.programs import rows
from tests.programs.views.test_plan import drafted, marks, text, url
from tests.programs.views.test_plan import sign as sign_now
from tests.programs.views.test_sign import typed

pytestmark = pytest.mark.long


@pytest.fixture
def patient(clinician: User) -> Patient:
    """Somebody of whom all is on record."""
    return rows.recorded(clinician)


@pytest.fixture
def plan(patient: Patient, clinician: User) -> Plan:
    """Her open draft."""
    return drafted(patient, clinician)


def test_d01_five_clicks_on_sign_are_one_signature(signed_in: Client, plan: Plan) -> None:
    form = typed(plan)
    pages = [text(signed_in.post(url("sign", plan.patient), form, follow=True)) for _ in range(5)]
    assert all("Version 1 is signed" in page for page in pages)
    assert SignedPlan.objects.count() == 1


def test_d12_no_form_of_a_signed_plan_changes_it(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    sign_now(plan, clinician)
    before: dict[str, Any] = Plan.objects.values().get()
    lines = Audit.objects.count()
    posted = {"week_from": "1", "week_to": "4", "minutes": "30", "reason": "Meant otherwise"}
    for modality in Modality:
        for name in ("plan_edit", "plan_leave_out"):
            answer = signed_in.post(url(name, plan.patient, str(modality)), marks(plan, **posted))
            assert answer.status_code in (302, 409), name
    undone = signed_in.post(url("plan_undo", plan.patient), marks(plan), follow=True)
    assert "Version 1 is signed" in text(undone)
    assert Plan.objects.values().get() == before
    assert not PlanEdit.objects.exists()
    assert Audit.objects.count() == lines


def test_d13_a_signed_plan_waits_in_no_list_to_be_signed(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    to_sign = reverse("programs:caseload_list", args=["sign"])
    assert plan.patient.family_name in text(signed_in.get(to_sign))
    sign_now(plan, clinician)
    assert plan.patient.family_name not in text(signed_in.get(to_sign))
