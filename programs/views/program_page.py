"""What the pages of a program read: the patient's plans, the changes, what is still open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from patients.facts.declared import Facts
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.views.common import patient_page, today
from programs.actions.as_signed import lay_over, signature_of
from programs.actions.read_plan import facts_for, standing
from programs.models.program import Plan, PlanEdit, SignedPlan
from programs.views.open_steps import newest_plans
from programs.week.document import read_weeks
from programs.week.week import Week


@dataclass(frozen=True)
class Kept:
    """The open draft and the newest signed plan of a patient; one query, the changes another."""

    patient: Patient
    open: Plan | None
    signed_row: Plan | None

    @classmethod
    def of(cls, patient_id: int) -> Kept:
        """Read them. Raises Http404 where there is no such patient."""
        patient = get_object_or_404(Patient, pk=patient_id)
        held = list(newest_plans(patient).select_related("made_by", "signed__seal"))
        for plan in held:
            plan.patient = patient
        return cls(
            patient=patient,
            open=next((plan for plan in held if plan.state == Plan.DRAFT), None),
            signed_row=next((plan for plan in held if plan.state == Plan.SIGNED), None),
        )

    @cached_property
    def signed(self) -> Plan | None:
        """Return the newest signed plan, all of it as it was signed.

        Raises NotAsSigned where that does not verify: a page of its own says so then.
        """
        return None if self.signed_row is None else lay_over(self.signed_row)

    @property
    def newest(self) -> list[Plan]:
        """Return those of the two that there are, as their rows have them."""
        return [plan for plan in (self.open, self.signed_row) if plan is not None]

    @cached_property
    def changes(self) -> list[PlanEdit]:
        """Return the changes of the open draft that stand."""
        return standing(self.open) if self.open else []

    @cached_property
    def facts_known(self) -> Facts | None:
        """Return all that is known today; None where what was entered cannot stand together."""
        return facts_now(self.patient)


def facts_now(patient: Patient) -> Facts | None:
    """Return all that is known of her today; None where it cannot stand together."""
    try:
        return facts_for(patient, today())
    except Contradiction:
        return None


def newest_signed(kept: Kept) -> SignedPlan | None:
    """Return the newest signed program, with its plan and patient at hand, or None."""
    return None if kept.signed is None else signed_of(kept.signed, kept.patient)


def signed_of(plan: Plan, patient: Patient) -> SignedPlan:
    """Return the signed program of a plan that was read with it, plan and patient at hand."""
    newest = signature_of(plan)
    newest.patient = patient
    return newest


def program_page(
    request: HttpRequest, template: str, kept: Kept, *, step: str, status: int = 200, **context: Any
) -> HttpResponse:
    """Render a page of a program with banner and steps."""
    more = {"kept": kept, "step": step}
    return patient_page(request, template, kept.patient, status=status, **more | context)


def weeks_of(plan: Plan) -> tuple[tuple[Week, ...], tuple[Week, ...]]:
    """Return the weeks as they are and as they were proposed."""
    return read_weeks(plan.weeks), read_weeks(plan.proposed["weeks"])


def by_rank(proposed: Mapping[str, Any]) -> list[tuple[str, Mapping[str, Any]]]:
    """Return the modalities of a draft document, the most valuable first."""
    return sorted(proposed["modalities"].items(), key=lambda item: item[1]["rank"])
