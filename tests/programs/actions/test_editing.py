"""Changes to an open draft: all or nothing, with who and why, and the way back."""

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit
from programs.actions.drafting import draft_plan
from programs.actions.editing import edit_plan, judge_edits, undo_edit
from programs.actions.read_plan import as_edit, basis_of, proposed_weeks, standing
from programs.actions.refusals import (
    Breached,
    ChangedMeanwhile,
    NotDone,
    NotOpen,
    ReasonNeeded,
    Stale,
)
from programs.edit.changes import Edit, replay
from programs.models.program import Plan, PlanEdit
from programs.week.document import read_weeks
from safety.models import Clearance
from tests.people import steady_document
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan(clinician: User) -> Plan:
    """An open draft of the steady person."""
    return draft_plan(
        patient=rows.recorded(clinician), as_of=DAY, starts_on=DAY, by=clinician, at=AT
    )


def change(plan: Plan, by: User, *edits: Edit, **more: Any) -> Plan:
    """Change a plan as it stands in the database."""
    lock = more.pop("lock", Plan.objects.get(pk=plan.pk).lock)
    return edit_plan(plan=plan, edits=edits, lock=lock, by=by, at=AT, **more)


def back(plan: Plan, by: User, **more: Any) -> Plan:
    """Take the last change back."""
    lock = more.pop("lock", Plan.objects.get(pk=plan.pk).lock)
    return undo_edit(plan=plan, lock=lock, by=by, at=AT, **more)


def test_a_change_is_kept_with_who_was_now_and_why(plan: Plan, clinician: User) -> None:
    change(plan, clinician, edit("balance.minutes", 60, 1, 3), reason=" Tires easily. ")
    plan.refresh_from_db()
    row = PlanEdit.objects.get()
    assert (row.seq, row.first_seq, row.week_from, row.week_to) == (1, 1, 1, 3)
    assert (row.old, row.new, row.reason, row.by) == (
        [75, 105, 120],
        60,
        "Tires easily.",
        clinician,
    )
    assert [week["balance"]["minutes"] for week in plan.weeks[:4]] == [60, 60, 60, 120]
    assert plan.proposed["weeks"][0]["balance"]["minutes"] == 75
    assert plan.lock == 2
    line = Audit.objects.get(action="edit plan")
    assert "balance.minutes in weeks 1 to 3" in line.new
    assert line.reason == "Tires easily."


def test_one_form_is_one_change_and_the_weeks_are_the_changes_replayed(
    plan: Plan, clinician: User
) -> None:
    change(plan, clinician, edit("plate.bouts", 4, 5, 26), edit("plate.sessions", 2, 1, 26))
    change(plan, clinician, edit("balance.minutes", 60, 1, 3))
    plan.refresh_from_db()
    assert [(r.seq, r.first_seq) for r in standing(plan)] == [(1, 1), (2, 1), (3, 3)]
    made = [as_edit(row) for row in standing(plan)]
    assert read_weeks(plan.weeks) == replay(proposed_weeks(plan), made, basis_of(plan))


def test_what_is_as_it_was_already_is_no_change(plan: Plan, clinician: User) -> None:
    change(plan, clinician, edit("plate.bouts", 4, 1, 2), edit("plate", True))
    plan.refresh_from_db()
    assert (plan.lock, plan.edits.count()) == (1, 0)
    assert not Audit.objects.filter(action="edit plan").exists()
    change(plan, clinician, edit("plate.bouts", 4, 1, 2), edit("plate.sessions", 2, 1, 2))
    assert [row.path for row in standing(plan)] == ["plate.sessions"]


def test_a_hard_limit_refuses_all_of_the_form(plan: Plan, clinician: User) -> None:
    with pytest.raises(Breached, match="40 Hz") as refusal:
        change(plan, clinician, edit("balance.minutes", 60), edit("plate.frequency_hz", 45, 25, 26))
    assert refusal.value.judged.refused
    plan.refresh_from_db()
    assert (plan.lock, plan.edits.count(), plan.weeks) == (1, 0, plan.proposed["weeks"])


def test_a_judgement_needs_a_reason_and_the_limit_is_written_down(
    plan: Plan, clinician: User
) -> None:
    over = edit("posture.minutes", 66, 1, 2)
    with pytest.raises(ReasonNeeded):
        change(plan, clinician, over, reason="  ")
    change(plan, clinician, over, edit("balance.minutes", 70, 1, 1), reason="She asks for more.")
    first, second = standing(plan)
    assert "10 minutes" in first.limit_passed
    assert "weeks 1 to 2" in first.limit_passed
    assert second.limit_passed == ""


def test_a_limit_of_no_one_field_is_written_on_the_first_row(plan: Plan, clinician: User) -> None:
    rise = edit("resistance.could_lift", 19, 4, 4)
    change(plan, clinician, rise, reason="She is used to it.")
    assert "fourth week" in standing(plan)[0].limit_passed


def test_leaving_out_needs_a_reason_and_is_taken_back(plan: Plan, clinician: User) -> None:
    with pytest.raises(ReasonNeeded):
        change(plan, clinician, edit("plate", False))
    change(plan, clinician, edit("plate", False), reason="She has sold it.")
    plan.refresh_from_db()
    assert plan.left_out_by_clinician == {"plate": "She has sold it."}
    assert all(week["plate"] is None for week in plan.weeks)
    assert (standing(plan)[0].old, standing(plan)[0].new) == (True, False)
    change(plan, clinician, edit("plate", True))
    plan.refresh_from_db()
    assert plan.left_out_by_clinician == {}
    assert plan.weeks == plan.proposed["weeks"]


def test_a_modality_that_ends_with_its_clearance_is_left_out_of_the_other_weeks(
    clinician: User,
) -> None:
    """Rulebook row 22b: after the last day of its clearance it is in no week."""
    pinned = steady_document(conditions={"other_metalwork": "yes"})
    patient = rows.recorded(clinician, pinned)
    Clearance.objects.create(
        patient=patient,
        subject="other_metalwork",
        modalities=["plate"],
        given_by="surgeon",
        on=DAY,
        until=DAY + dt.timedelta(days=70),
        recorded_by=clinician,
        recorded_at=AT,
    )
    plan = draft_plan(patient=patient, as_of=DAY, starts_on=DAY, by=clinician, at=AT)
    assert _some_weeks(plan, "plate")
    change(plan, clinician, edit("plate", False), reason="Let it be.")
    assert standing(plan)[0].old is True
    back(plan, clinician)
    plan.refresh_from_db()
    assert plan.weeks == plan.proposed["weeks"]


def _some_weeks(plan: Plan, modality: str) -> bool:
    held = [week[modality] is not None for week in plan.weeks]
    return any(held) and not all(held)


def test_undo_takes_back_the_last_form_with_all_it_changed(plan: Plan, clinician: User) -> None:
    change(plan, clinician, edit("balance.minutes", 60, 1, 3))
    change(plan, clinician, edit("plate.bouts", 4, 5, 26), edit("plate.sessions", 2))
    back(plan, clinician)
    plan.refresh_from_db()
    assert [row.path for row in standing(plan)] == ["balance.minutes"]
    assert plan.weeks[0]["plate"] == plan.proposed["weeks"][0]["plate"]
    assert plan.weeks[0]["balance"]["minutes"] == 60
    back(plan, clinician)
    plan.refresh_from_db()
    assert (plan.weeks, standing(plan)) == (plan.proposed["weeks"], [])
    assert plan.edits.count() == 5
    assert Audit.objects.filter(action="undo edit").count() == 2
    with pytest.raises(NotDone, match="no change"):
        back(plan, clinician)


def test_a_swap_is_kept_with_both_exercises(plan: Plan, clinician: User) -> None:
    change(plan, clinician, edit("resistance.exercises", "goblet_squat", 3, 26, old="leg_press"))
    row = standing(plan)[0]
    assert (row.old, row.new) == ("leg_press", "goblet_squat")
    plan.refresh_from_db()
    assert plan.weeks[2]["resistance"]["exercises"][0]["exercise"] == "goblet_squat"
    assert basis_of(plan)


def test_two_editors_notice_each_other(plan: Plan, clinician: User) -> None:
    change(plan, clinician, edit("balance.minutes", 60, 1, 3))
    with pytest.raises(ChangedMeanwhile) as refusal:
        change(plan, clinician, edit("balance.minutes", 70, 1, 3), lock=1)
    assert refusal.value.plan.lock == 2
    with pytest.raises(ChangedMeanwhile):
        back(plan, clinician, lock=1)


@pytest.mark.parametrize(("state", "words"), [("signed", "signed"), ("dropped", "newer draft")])
def test_what_is_not_open_takes_no_change(
    plan: Plan, clinician: User, state: str, words: str
) -> None:
    plan.state = state
    plan.save()
    with pytest.raises(NotOpen, match=words):
        change(plan, clinician, edit("balance.minutes", 60))
    with pytest.raises(NotOpen, match=words):
        back(plan, clinician)


def test_one_form_sent_twice_changes_once(plan: Plan, clinician: User) -> None:
    token, undoing = uuid4(), uuid4()
    first = change(plan, clinician, edit("balance.minutes", 60, 1, 3), token=token)
    assert change(plan, clinician, edit("balance.minutes", 60, 1, 3), token=token, lock=1) == first
    assert plan.edits.count() == 1
    back(plan, clinician, token=undoing)
    assert back(plan, clinician, token=undoing, lock=2).lock == 3
    assert plan.edits.count() == 2


def test_a_draft_of_another_rulebook_takes_no_change(plan: Plan, clinician: User) -> None:
    plan.proposed["weeks"][0]["minutes"] = 1.0
    plan.save()
    with pytest.raises(Stale):
        change(plan, clinician, edit("balance.minutes", 60))
    with pytest.raises(Stale):
        judge_edits(plan, [])


def test_what_a_change_would_do_is_told_and_nothing_saved(plan: Plan, clinician: User) -> None:
    judged = judge_edits(plan, [edit("balance.minutes", 60, 1, 1)])
    assert judged.weeks[0].balance is not None
    assert judged.weeks[0].balance.minutes == 60
    plan.refresh_from_db()
    assert (plan.lock, plan.weeks) == (1, plan.proposed["weeks"])
