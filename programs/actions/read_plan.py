"""What an action reads first: the facts of a day, a plan's draft, and the changes that stand."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

from django.db.models import QuerySet

from patients.facts.declared import Facts
from patients.facts.document import read, write
from patients.models.patient import Assessment, Patient
from patients.rows_at_once import rows_at_once
from patients.rows_to_facts import Contradiction, Entered, entered, facts_from
from programs.actions import sessions
from programs.actions.clinic import limits_in_force as limits_in_force
from programs.actions.refusals import ChangedMeanwhile, NotOpen, Stale
from programs.dose.in_force import Clinic
from programs.draft import document as answer
from programs.draft.resume import CAP_STEPS, Resume
from programs.edit.base_draft import Basis
from programs.edit.changes import Edit, Weeks
from programs.models.program import Plan, PlanEdit
from programs.review.facts_from_log import with_events
from programs.week.document import read_weeks
from safety import facts_with_clearances
from safety.findings import Modality
from safety.rules.all_rules import RULEBOOK


def facts_for(patient: Patient, as_of: dt.date) -> Facts:
    """Return all that is known of a patient on a day, with what was cleared and what was logged.

    A fall or a warning sign of the log counts at once (rulebook row 26d).
    """
    return facts_in_record(entered(patient, as_of, also=beside_facts(patient)))


def beside_facts(patient: Patient) -> dict[str, QuerySet[Any]]:
    """Return what is read of a person beside what was entered: her clearances, her falls."""
    return {
        "clearance": facts_with_clearances.standing(patient),
        "event": sessions.events_of(patient),
    }


def facts_in_record(known: Entered) -> Facts:
    """Return the same of what was read of a patient, as it is or as it would be."""
    day, beside = known.as_of, known.also
    if beside is None:
        beside = rows_at_once(beside_facts(known.patient))
    facts = facts_with_clearances.with_clearances(facts_from(known), beside["clearance"])
    happened = sessions.in_order(beside["event"])
    return with_events(facts, happened, asked_in(known.assessment), day) if happened else facts


def asked_in(newest: Assessment | None) -> dict[str, dt.date]:
    """Return the day on which each section of the facts was last answered."""
    answered = newest.answered if newest else {}
    return {code: dt.date.fromisoformat(day) for code, day in answered.items()}


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
    kept: Mapping[str, Any] = plan.resume
    return Resume(
        done_weeks={Modality(name): n for name, n in kept.get("done_weeks", {}).items()},
        lifted=frozenset(kept.get("lifted", ())),
        plate_cap_g=kept.get("plate_cap_g", CAP_STEPS[0]),
        watched=frozenset(kept.get("watched", ())),
        stopped=frozenset(map(Modality, kept.get("stopped", ()))),
        one_rm_kg=kept.get("one_rm_kg", {}),
        own_start=kept.get("own_start", {}),
        first_rung=kept.get("first_rung"),
        half_year=kept.get("half_year", 1),
        half_weeks=kept.get("half_weeks", 0),
        changed=frozenset(kept.get("changed", ())),
        maintains=kept.get("maintains", False),
    )


def resume_document(resume: Resume) -> dict[str, Any]:
    """Return where a plan takes up, as its row keeps it."""
    done = {str(modality): weeks for modality, weeks in resume.done_weeks.items()}
    return {
        "done_weeks": done,
        "lifted": sorted(resume.lifted),
        "plate_cap_g": resume.plate_cap_g,
        "watched": sorted(resume.watched),
        "stopped": sorted(map(str, resume.stopped)),
        "one_rm_kg": dict(resume.one_rm_kg),
        "own_start": dict(resume.own_start),
        "first_rung": resume.first_rung,
        "half_year": resume.half_year,
        "half_weeks": resume.half_weeks,
        "changed": sorted(resume.changed),
        "maintains": resume.maintains,
    }


def basis_of(plan: Plan, limits: Clinic | None = None, basis: Basis | None = None) -> Basis:
    """Draft the plan once more from its own facts.

    limits   those in force, where they have been read already
    basis    a draft that the request has made already; taken only where it is of the plan's
             facts and of the limits in force, so that nobody need trust it

    Raises Stale where that gives other weeks than were proposed, or another rulebook made them.
    """
    if older := _older_rulebook(plan):
        raise Stale([older])
    limits = limits_in_force() if limits is None else limits
    facts, resume = facts_in(plan), resume_of(plan)
    if basis is None or not basis.is_of(facts, resume, limits):
        basis = Basis.of(facts, resume, limits)
    if basis.made.weeks != proposed_weeks(plan):
        raise Stale(["The rulebook, or a limit of the clinic, has changed since this was drafted."])
    return basis


def _older_rulebook(plan: Plan) -> str:
    """Return that another rulebook drafted the plan, in words; empty where today's did."""
    by = plan.proposed["rulebook"]
    return "" if by == RULEBOOK else f"Rulebook {by} drafted it, and today’s is {RULEBOOK}."


def proposed_weeks(plan: Plan) -> Weeks:
    """Return the weeks as they were drafted."""
    return read_weeks(plan.proposed["weeks"])


#: What a draft comes to; the rest of its document only tells how.
_OUTCOME = (
    *("rulebook", "findings", "issuable", "modalities", "weeks", "left_out", "timetable"),
    "reviews",
)


def stale_reasons(
    plan: Plan,
    today: dt.date,
    limits: Clinic | None = None,
    facts: Facts | None = None,
    basis: Basis | None = None,
) -> tuple[str, ...]:
    """Return why the plan would be drafted otherwise today; nothing where it would not.

    limits, facts   those of today, where they have been read already
    basis           drafted from these where the plan takes up, where the request has done so
    """
    limits = limits_in_force() if limits is None else limits
    try:
        now = facts_for(plan.patient, today) if facts is None else facts
    except Contradiction as contradiction:
        return (f"The facts entered now do not fit together: {contradiction}.",)
    older = _older_rulebook(plan)
    reasons = [older] if older else []
    changed = _differing(plan.facts, write(now), but="as_of")
    if changed:
        reasons.append(f"What is known has changed since this was drafted: {', '.join(changed)}.")
    outcome = drafted(basis or Basis.of(now, resume_of(plan), limits))
    if any(outcome[key] != plan.proposed[key] for key in _OUTCOME) and not reasons:
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
