"""What every page of a patient says of the program in her hands, below her name."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils import timezone

from patients.facts.declared import Facts
from patients.models.patient import Patient
from patients.views.common import BannerNote
from programs.actions.as_signed import NotAsSigned
from programs.actions.may_hand_out import Standing, standing_of
from programs.actions.program_state import stops_not_told
from programs.models.program import Plan, SignedPlan
from programs.views.older_rulebook import look_again_notes
from programs.views.open_steps import newest_plans
from programs.views.program_page import Kept, facts_now, signed_of


def banner_notes(patient: Patient, context: dict[str, Any]) -> list[BannerNote]:
    """Say on every page of a patient why the program in her hands may not be used.

    context   of the page: the plans and facts that it knows are not read again, and what is
              read here is known
    """
    plan = _signed_plan(patient, context)
    if plan is None:
        return []
    try:
        signed = signed_of(plan, patient)
        standing = _standing(signed, context)
    except NotAsSigned as wrong:
        return [BannerNote(text=str(wrong), links=())]
    state, review = standing.state, (reverse("programs:review", args=[patient.pk]), "Review")
    notes = []
    if state.words:
        text = f"Version {signed.version}: {state.words}"
        notes.append(BannerNote(text=text, links=(*_tell_links(patient), review)))
    if standing.today:
        text = f"{' '.join(standing.today)} Nothing may be handed out until a review."
        notes.append(BannerNote(text=text, links=(review,)))
    return notes + (look_again_notes(patient, plan) if state.in_force else [])


def _signed_plan(patient: Patient, context: dict[str, Any]) -> Plan | None:
    kept, plans = context.get("kept"), context.get("plans_known")
    if isinstance(kept, Kept):
        return kept.signed_row
    if plans is None:
        plans = context["plans_known"] = list(newest_plans(patient).select_related("signed__seal"))
    return next((plan for plan in plans if plan.state == Plan.SIGNED), None)


def _standing(signed: SignedPlan, context: dict[str, Any]) -> Standing:
    known, of = context.get("standing"), context.get("signed")
    # Only of the same signature: after a change behind the app's back the page may have another.
    if isinstance(known, Standing) and isinstance(of, SignedPlan) and of.pk == signed.pk:
        return known
    return standing_of(signed, timezone.now(), _facts_of_today(signed.patient, context))


def _facts_of_today(patient: Patient, context: dict[str, Any]) -> Facts | None:
    """Return the facts of today; None where what was entered cannot stand together."""
    if isinstance(known := context.get("facts_today"), Facts):
        return known
    kept = context.get("kept")
    found = kept.facts_known if isinstance(kept, Kept) else facts_now(patient)
    context["facts_today"] = found
    return found


def _tell_links(patient: Patient) -> tuple[tuple[str, str], ...]:
    return tuple(
        (reverse("programs:stop_told", args=[patient.pk, stop.pk]), "Tell the patient")
        for stop in stops_not_told(patient)
    )
