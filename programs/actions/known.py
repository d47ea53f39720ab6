"""What an action reads first: the facts of a day, a plan's draft, and the changes that stand."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

from patients.assembly import Contradiction
from patients.exchange import read, write
from patients.facts import Facts
from patients.models import Patient
from programs import answer
from programs.actions.clinic import limits_in_force as limits_in_force
from programs.actions.refusals import ChangedMeanwhile, NotOpen, Stale
from programs.basis import Basis
from programs.clinic_limits import Clinic
from programs.course import Resume
from programs.edits import Edit, Weeks
from programs.models import Plan, PlanEdit
from programs.week_document import read_weeks
from safety import assembly
from safety.findings import Modality


def facts_for(patient: Patient, as_of: dt.date) -> Facts:
    """Return all that is known of a patient on a day, with what was cleared."""
    return assembly.facts_for(patient, as_of)


def plain(document: Any) -> Any:
    """Return a document as the database gives it back."""
    return json.loads(json.dumps(document))


def drafted(basis: Basis) -> dict[str, Any]:
    """Return the draft/1 document of a draft, as the database gives it back."""
    document: dict[str, Any] = plain(answer.write(basis.made))
    return document


def facts_in(plan: Plan) -> Facts:
    """Return the facts that the plan was drafted from. Raises Stale where they are unreadable."""
    found = read(plan.facts)
    if isinstance(found, Facts):
        return found
    raise Stale([f"What it was drafted from cannot be read any more ({found[0].at})."])


def resume_of(plan: Plan) -> Resume:
    """Return where the plan takes up."""
    done: Mapping[str, int] = plan.resume.get("done_weeks", {})
    return Resume(
        done_weeks={Modality(name): weeks for name, weeks in done.items()},
        lifted=frozenset(plan.resume.get("lifted", ())),
    )


def resume_document(resume: Resume) -> dict[str, Any]:
    """Return where a plan takes up, as its row keeps it."""
    done = {str(modality): weeks for modality, weeks in resume.done_weeks.items()}
    return {"done_weeks": done, "lifted": sorted(resume.lifted)}


def basis_of(plan: Plan, limits: Clinic | None = None) -> Basis:
    """Draft the plan once more from its own facts.

    limits: those in force, where they have been read already. Raises Stale where that gives
    other weeks than were proposed: the rulebook has changed.
    """
    limits = limits_in_force() if limits is None else limits
    basis = Basis.of(facts_in(plan), resume_of(plan), limits)
    if basis.made.weeks != proposed_weeks(plan):
        raise Stale(["The rulebook, or a limit of the clinic, has changed since this was drafted."])
    return basis


def proposed_weeks(plan: Plan) -> Weeks:
    """Return the weeks as they were drafted."""
    return read_weeks(plan.proposed["weeks"])


#: What a draft comes to; the rest of its document only tells how.
_OUTCOME = (
    *("rulebook", "findings", "issuable", "modalities", "weeks", "left_out", "timetable"),
    "reviews",
)


def stale_reasons(
    plan: Plan, today: dt.date, limits: Clinic | None = None, facts: Facts | None = None
) -> tuple[str, ...]:
    """Return why the plan would be drafted otherwise today; nothing where it would not.

    limits, facts   those of today, where they have been read already
    """
    limits = limits_in_force() if limits is None else limits
    try:
        now = facts_for(plan.patient, today) if facts is None else facts
    except Contradiction as contradiction:
        return (f"What is entered now cannot stand together: {contradiction}.",)
    reasons = []
    changed = _differing(plan.facts, write(now), but="as_of")
    if changed:
        reasons.append(f"What is known has changed since this was drafted: {', '.join(changed)}.")
    outcome = drafted(Basis.of(now, resume_of(plan), limits))
    if any(outcome[key] != plan.proposed[key] for key in _OUTCOME) and not changed:
        reasons.append(
            "By today's date, a newer rulebook or a limit of the clinic it is drafted otherwise."
        )
    return tuple(reasons)


def _differing(old: Mapping[str, Any], new: Mapping[str, Any], *, but: str) -> list[str]:
    fresh: dict[str, Any] = plain(new)
    keys = sorted((old.keys() | fresh.keys()) - {but})
    return [key.replace("_", " ") for key in keys if old.get(key) != fresh.get(key)]


def open_plan(plan: Plan, lock: int) -> Plan:
    """Return the plan as it stands, held for writing.

    Raises NotOpen where it is signed or dropped, ChangedMeanwhile where the lock is older.
    """
    current = Plan.objects.select_for_update().select_related("patient").get(pk=plan.pk)
    if current.state != Plan.DRAFT:
        raise NotOpen(current)
    if current.lock != lock:
        raise ChangedMeanwhile(current)
    return current


def standing(plan: Plan) -> list[PlanEdit]:
    """Return the changes that stand, in their order: those taken back are left out."""
    rows = list(plan.edits.select_related("by"))
    undone = {row.undoes_id for row in rows if row.undoes_id is not None}
    gone = {row.seq for row in rows if row.pk in undone}
    return [row for row in rows if row.undoes_id is None and row.first_seq not in gone]


def as_edit(row: PlanEdit) -> Edit:
    """Return a kept change as it is made on weeks."""
    return Edit(
        path=row.path, new=row.new, old=row.old, week_from=row.week_from, week_to=row.week_to
    )
