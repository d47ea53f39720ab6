"""An edit drafts once a request, and never takes over a draft of something else."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client

from programs.actions.clinic import set_limit
from programs.actions.editing import edit_plan, judge_edits
from programs.actions.read_plan import basis_of
from programs.actions.refusals import ChangedMeanwhile, Stale
from programs.draft.resume import Resume
from programs.edit import base_draft
from programs.edit.base_draft import Basis
from programs.models.program import Plan
from tests.people import steady
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.rows import AT
from tests.programs.views.test_plan import document, drafted, marks, url

pytestmark = pytest.mark.django_db
LIVE = {"HX-Request": "true"}
SHORTER = edit("balance.minutes", 60, 1, 4)


@pytest.fixture
def plan(clinician: User) -> Plan:
    """The open draft of the steady person."""
    return drafted(rows.recorded(clinician, document()), clinician)


@pytest.fixture
def drafts(plan: Plan, monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """Whatever is drafted for an edit from now on."""
    made: list[Any] = []
    really = base_draft.make_draft

    def counted(*given: Any) -> Any:
        made.append(given)
        return really(*given)

    monkeypatch.setattr(base_draft, "make_draft", counted)
    return made


@pytest.mark.parametrize(
    ("more", "headers", "status"),
    [
        ({"minutes": "60"}, {}, 302),
        ({"minutes": "60", "preview": "1"}, {}, 200),
        ({"minutes": "60", "preview": "1"}, LIVE, 200),
        ({"minutes": "599"}, {}, 422),
        ({"minutes": "599", "preview": "1"}, {}, 200),
    ],
    ids=["saved", "previewed", "while typing", "refused", "refused in a preview"],
)
def test_a_sent_form_drafts_once(
    signed_in: Client,
    plan: Plan,
    drafts: list[Any],
    more: dict[str, str],
    headers: dict[str, str],
    status: int,
) -> None:
    sent = marks(plan, week_from="1", week_to="4", **more)
    answered = signed_in.post(url("plan_edit", plan.patient, "balance"), sent, headers=headers)
    assert answered.status_code == status
    assert len(drafts) == 1


@pytest.mark.counted
def test_what_the_form_drafted_is_taken_by_the_action(
    plan: Plan, clinician: User, drafts: list[Any]
) -> None:
    made = basis_of(plan)
    judge_edits(plan, [SHORTER], made)
    edit_plan(plan=plan, edits=[SHORTER], lock=1, by=clinician, at=AT, basis=made)
    assert len(drafts) == 1
    with pytest.raises(ChangedMeanwhile):
        edit_plan(plan=plan, edits=[SHORTER], lock=1, by=clinician, at=AT, basis=made)


def test_a_draft_of_other_facts_or_another_resume_is_not_taken(
    plan: Plan, drafts: list[Any]
) -> None:
    right = basis_of(plan)
    facts = right.made.screen.situation.facts
    others = (Basis.of(steady(), Resume()), Basis.of(facts, Resume(lifted=frozenset({"x"}))))
    for other in others:
        drafts.clear()
        assert basis_of(plan, basis=other) == right
        assert len(drafts) == 1


def test_a_limit_set_between_form_and_action_is_noticed(plan: Plan, clinician: User) -> None:
    made = basis_of(plan)
    set_limit(name="plate.top_g", value=1.5, reason="", by=clinician, at=AT)
    with pytest.raises(Stale):
        edit_plan(plan=plan, edits=[SHORTER], lock=1, by=clinician, at=AT, basis=made)
