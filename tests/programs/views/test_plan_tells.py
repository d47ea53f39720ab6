"""What the Plan page tells of the person and of the changes made."""

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from programs.actions.editing import edit_plan
from programs.models.program import Plan
from tests.programs.edit.test_changes import edit
from tests.programs.views.test_plan import patient as patient
from tests.programs.views.test_plan import plan as plan
from tests.programs.views.test_plan import text, url

pytestmark = pytest.mark.django_db


def test_changes_in_words(plan: Plan, clinician: User, signed_in: Client) -> None:
    edits = [edit("plate.displacement_mm", 1.0, 5, 26), edit("plate.sessions", 2, 5, 26)]
    edit_plan(plan=plan, edits=edits, lock=1, by=clinician, at=timezone.now())
    assert "Sessions: 3, now 2 a week" in text(signed_in.get(url("plan", plan.patient)))


def test_what_she_was_assessed_as_and_until_when_stand_on_the_page(
    signed_in: Client, plan: Plan
) -> None:
    plan.proposed["modalities"]["plate"]["until"] = "2027-04-06"
    Plan.objects.filter(pk=plan.pk).update(proposed=plan.proposed)
    page = text(signed_in.get(url("plan", plan.patient)))
    assert "Fall risk: low" in page
    assert "Function: normal" in page
    assert "Trains: standing" in page
    assert "Only until 6 April 2027,</strong> the last day of its clearance; then it stops." in page
    assert "67 % by the classic chart" in page
    assert "on a leg; planning index of the week: hip" in page
