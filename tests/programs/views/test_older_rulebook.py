"""An open draft of an older rulebook: it opens, takes no change, and is drafted anew."""

import re

import pytest
from django.contrib.auth.models import User
from django.test import Client

from programs.actions.refusals import Stale
from programs.models.program import Plan, PlanEdit
from safety.rules.all_rules import RULEBOOK
from tests.programs import rows
from tests.programs.views.test_plan import document, drafted, marks, sign, text, today, url
from tests.programs.week.test_one_line import older


@pytest.fixture
def plan(clinician: User) -> Plan:
    """The open draft of the steady person."""
    return drafted(rows.recorded(clinician, document()), clinician)


@pytest.fixture
def old(plan: Plan) -> Plan:
    """Her open draft as rulebook 2026.2 kept it: its weeks tell no could-lift."""
    proposed = plan.proposed | {"rulebook": "2026.2", "weeks": older()}
    assessment = dict(proposed["assessment"])
    assessment.pop("low_function")
    assessment.pop("training_posture")
    for one in proposed["modalities"].values():
        one.pop("until")
    Plan.objects.filter(pk=plan.pk).update(
        proposed=proposed | {"assessment": assessment}, weeks=older()
    )
    plan.refresh_from_db()
    return plan


def test_a_draft_of_an_older_rulebook_opens_and_says_so(signed_in: Client, old: Plan) -> None:
    page = text(signed_in.get(url("plan", old.patient)))
    assert "Out of date." in page
    assert f"Rulebook 2026.2 drafted it, and today’s is {RULEBOOK}." in page
    assert "It cannot be changed or signed as it is." in page
    assert "1 × 15, 5 in reserve; leg press 46 kg" in page
    assert "Change resistance" not in page
    assert "Go on to sign" not in page
    for name, more in (("what_if", ()), ("fits", ()), ("why", ("resistance",))):
        assert signed_in.get(url(name, old.patient, *more)).status_code == 200


def test_a_draft_of_an_older_rulebook_is_neither_changed_nor_signed(
    signed_in: Client, old: Plan, clinician: User
) -> None:
    for code in ("resistance", "balance"):
        edit_page = signed_in.get(url("plan_edit", old.patient, code), follow=True)
        assert "Rulebook 2026.2 drafted it" in text(edit_page)
        typed = marks(old, week_from="1", week_to="4", sessions="1")
        signed_in.post(url("plan_edit", old.patient, code), typed)
    signed_in.post(url("plan_leave_out", old.patient, "plate"), marks(old, reason="No."))
    assert not PlanEdit.objects.exists()
    with pytest.raises(Stale, match=r"Rulebook 2026\.2"):
        sign(old, clinician)
    assert signed_in.get(url("sign", old.patient)).status_code == 200


@pytest.mark.counted
def test_a_draft_of_an_older_rulebook_is_drafted_anew_in_one_click(
    signed_in: Client, old: Plan
) -> None:
    page = text(signed_in.get(url("plan", old.patient)))
    form = page.split(f'action="{url("plan_draft", old.patient)}"', 1)[1].split("</form>", 1)[0]
    assert "Redraft from today’s facts" in form
    sent = dict(re.findall(r'type="hidden" name="([a-z_]+)" value="([^"]*)"', form))
    sent.pop("csrfmiddlewaretoken", None)
    assert sent["starts_on"] == today().isoformat()
    assert signed_in.post(url("plan_draft", old.patient), sent).status_code == 302
    old.refresh_from_db()
    assert old.state == Plan.DROPPED
    new = Plan.objects.get(patient=old.patient, state=Plan.DRAFT)
    assert new.proposed["rulebook"] == RULEBOOK
    assert "Out of date" not in text(signed_in.get(url("plan", old.patient)))
