"""A clinician's changes to an open draft, and taking them back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User

from patients import audit
from programs.actions.read_plan import as_edit, basis_of, open_plan, proposed_weeks, standing
from programs.actions.refusals import Breached, NotDone, ReasonNeeded
from programs.edit.base_draft import Basis
from programs.edit.changes import Edit, Weeks, replay, value_in
from programs.edit.judge import Judged, gathered, judge
from programs.models.program import Plan, PlanEdit
from programs.week.document import write_weeks


def judge_edits(plan: Plan, edits: Sequence[Edit], basis: Basis | None = None) -> Judged:
    """Tell what changes would lead to and pass; nothing is saved. Raises Stale.

    basis   see edit_plan
    """
    made = [as_edit(row) for row in standing(plan)]
    return judge(proposed_weeks(plan), made, edits, basis_of(plan, basis=basis))


def edit_plan(
    *,
    plan: Plan,
    edits: Sequence[Edit],
    lock: int,
    by: User,
    at: dt.datetime,
    reason: str = "",
    token: UUID | None = None,
    basis: Basis | None = None,
) -> Plan:
    """Change an open draft, all of it or nothing. What is as it was already is no change.

    basis   the plan's draft where the form has made it already, so that it is made once

    Raises NotOpen, ChangedMeanwhile, Stale; Breached where a limit is passed that no reason
    lets pass; ReasonNeeded where a written one would. Leaving a modality out needs a reason.
    """
    reason = reason.strip()
    with audit.writing():
        if audit.done_before(token) is not None:
            return Plan.objects.get(pk=plan.pk)
        current = open_plan(plan, lock)
        made = [as_edit(row) for row in standing(current)]
        basis, proposed = basis_of(current, basis=basis), proposed_weeks(current)
        judged = judge(proposed, made, edits, basis)
        if judged.refused:
            raise Breached(judged)
        if not reason and (judged.reasoned or any(e.new is False for e in edits)):
            raise ReasonNeeded(judged)
        before = replay(proposed, made, basis)
        rows = _rows(current, before, edits, judged, reason)
        if not rows:
            return current
        for row in rows:
            row.plan, row.by, row.at = current, by, at
            row.save(force_insert=True)
        _keep(current, judged.weeks)
        audit.record(
            by=by,
            at=at,
            action="edit plan",
            on=current,
            old={_key(row): row.old for row in rows},
            new={_key(row): row.new for row in rows},
            reason=reason,
            token=token,
        )
    return current


def _key(row: PlanEdit) -> str:
    return f"{row.path} in weeks {row.week_from} to {row.week_to}"


def _rows(
    plan: Plan, before: Weeks, edits: Sequence[Edit], judged: Judged, reason: str
) -> list[PlanEdit]:
    """Return the unsaved rows of what really changes; the first carries what no field does."""
    first = plan.edits.count() + 1
    real = [(edit, _old(before, edit)) for edit in edits]
    real = [(edit, old) for edit, old in real if _differs(edit, old)]
    rows = [
        PlanEdit(
            seq=seq,
            first_seq=first,
            week_from=edit.week_from,
            week_to=edit.week_to,
            path=edit.path,
            old=_one_or_all(old),
            new=edit.new,
            reason=reason,
        )
        for seq, (edit, old) in enumerate(real, first)
    ]
    _with_limits(rows, judged)
    return rows


def _old(before: Weeks, edit: Edit) -> list[Any]:
    return [value_in(week, edit) for week in before if edit.covers(week.week)]


def _differs(edit: Edit, old: list[Any]) -> bool:
    if not edit.name:
        # A modality that has no room in some weeks is left out of the others all the same.
        return edit.new is not any(old)
    return any(value != edit.new for value in old)


def _one_or_all(values: list[Any]) -> Any:
    """Return the value where all weeks had the same, else the value of each week."""
    if all(isinstance(value, bool) for value in values):
        return any(values)
    return values[0] if all(value == values[0] for value in values) else values


def _with_limits(rows: Sequence[PlanEdit], judged: Judged) -> None:
    """Write each passed limit on the row of its field, or on the first row."""
    by_path = {row.path: row for row in reversed(rows)}
    for passed in gathered(judged.reasoned):
        for row in [by_path.get(passed.first.path, rows[0])] if rows else []:
            told = f"{passed.first.text} ({passed.weeks_words}; {passed.first.source})"
            row.limit_passed = f"{row.limit_passed} {told}".strip()


def _keep(plan: Plan, weeks: Weeks) -> None:
    plan.weeks, plan.lock = write_weeks(weeks), plan.lock + 1
    plan.left_out_by_clinician = _left_out(standing(plan))
    plan.save(update_fields=["weeks", "lock", "left_out_by_clinician"])


def _left_out(rows: Sequence[PlanEdit]) -> dict[str, str]:
    last = {row.path: row for row in rows if not as_edit(row).name}
    return {path: row.reason for path, row in last.items() if row.new is False}


def undo_edit(
    *, plan: Plan, lock: int, by: User, at: dt.datetime, token: UUID | None = None
) -> Plan:
    """Take back the last change that stands, with all that its form changed.

    Raises NotOpen, ChangedMeanwhile, Stale; NotDone where no change stands.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            return Plan.objects.get(pk=plan.pk)
        current = open_plan(plan, lock)
        rows = standing(current)
        if not rows:
            raise NotDone("There is no change to take back.")
        undone = [row for row in rows if row.first_seq == rows[-1].first_seq]
        _save_undoing(current, undone[0], by, at)
        kept = [as_edit(row) for row in rows if row not in undone]
        _keep(current, replay(proposed_weeks(current), kept, basis_of(current)))
        audit.record(
            by=by,
            at=at,
            action="undo edit",
            on=current,
            old={_key(row): row.new for row in undone},
            new={_key(row): row.old for row in undone},
            token=token,
        )
    return current


def _save_undoing(plan: Plan, first: PlanEdit, by: User, at: dt.datetime) -> None:
    seq = plan.edits.count() + 1
    row = PlanEdit(
        plan=plan,
        seq=seq,
        first_seq=seq,
        week_from=first.week_from,
        week_to=first.week_to,
        path=first.path,
        old=first.new,
        new=first.old,
        by=by,
        at=at,
        undoes=first,
    )
    row.save(force_insert=True)
