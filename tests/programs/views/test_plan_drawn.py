"""The plan as pictures on its page, their tables, and the change of a week made there."""

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from programs.actions.editing import edit_plan
from programs.draft import draft as drafting
from programs.models.program import Plan
from tests.patients.pages import Inputs
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.views.test_plan import (  # noqa: F401 — fixtures
    document,
    drafted,
    marks,
    patient,
    plan,
    sign,
    text,
    url,
)

pytestmark = pytest.mark.long


def test_five_ramps_a_week_and_their_tables(signed_in: Client, plan: Plan) -> None:  # noqa: F811
    page = text(signed_in.get(url("plan", plan.patient)))
    for kind in ("plate", "resistance", "impact", "balance", "posture"):
        assert f'id="ramp-{kind}-title"' in page
    assert "Week 1, minutes of each session" in page
    assert "vibration plate 5, watched" in page
    assert "bout length 30 to 45" in page
    assert "at most 4 g" in page
    assert "Not in any week" not in page


def test_another_week_is_shown_when_asked(signed_in: Client, plan: Plan) -> None:  # noqa: F811
    for asked, shown in (("26", 26), ("27", 1), ("x", 1), ("0", 1), ("00026", 1)):
        page = text(signed_in.get(url("plan", plan.patient), {"week": asked}))
        assert f"Week {shown}, minutes of each session" in page, asked


def test_weeks_are_changed_below_the_picture(signed_in: Client, plan: Plan) -> None:  # noqa: F811
    asked = {"change": "balance", "from": "3", "to": "4"}
    page = text(signed_in.get(url("plan", plan.patient), asked))
    action = url("plan_edit", plan.patient, "balance")
    assert f'action="{action}"' in page
    assert f'hx-post="{action}"' in page
    sent = Inputs(page).sent
    assert (sent["week_from"], sent["week_to"]) == (["3"], ["4"])
    assert 'name="reason"' in page
    assert "Its limits, " in page
    typed = marks(plan, week_from="3", week_to="4", minutes="100", preview="1")
    shown = text(signed_in.post(action, typed))
    assert "Dotted: as it is now." in shown
    assert 'id="ramp-balance-title"' in shown
    kept = marks(plan, week_from="3", week_to="4", minutes="100")
    assert signed_in.post(action, kept).status_code == 302
    assert 'stroke-dasharray="2 4"' in text(signed_in.get(url("plan", plan.patient)))


@pytest.mark.parametrize("code", ["nothing", "", "balance.minutes"])
def test_a_kind_there_is_not_is_not_changed(
    signed_in: Client,
    plan: Plan,  # noqa: F811
    code: str,
) -> None:
    page = text(signed_in.get(url("plan", plan.patient), {"change": code}))
    assert 'id="change"' not in page


def test_what_is_in_no_week_says_how_it_stands(signed_in: Client, clinician: User) -> None:
    held = rows.recorded(clinician, document(conditions={"vertigo": "yes", "epilepsy": "no"}))
    made = drafted(held, clinician)
    edit_plan(
        plan=made,
        edits=[edit("impact", False)],
        lock=1,
        by=clinician,
        at=timezone.now(),
        reason="Not before spring.",
    )
    page = text(signed_in.get(url("plan", held), {"change": "impact"}))
    told = "Not in any week: vibration plate (on hold), impact (left out by the clinician)."
    assert told in page
    assert 'id="change"' not in page


def test_a_signed_plan_is_drawn_and_not_changed(
    signed_in: Client,
    plan: Plan,  # noqa: F811
    clinician: User,
) -> None:
    sign(plan, clinician)
    page = text(signed_in.get(url("plan", plan.patient), {"change": "balance"}))
    assert 'id="ramp-balance-title"' in page
    assert "weeks-link" not in page
    assert 'id="change"' not in page


def test_one_draft_a_request(
    signed_in: Client,
    plan: Plan,  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made: list[Any] = []
    kept = drafting.draft
    counted = lambda *args: made.append(1) or kept(*args)  # noqa: E731
    monkeypatch.setattr("programs.edit.base_draft.make_draft", counted)
    signed_in.get(url("plan", plan.patient), {"change": "balance"})
    assert len(made) == 1
