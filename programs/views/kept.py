"""What the pages of a program read: the patient's plans, the changes, what is still open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from patients.assembly import Contradiction
from patients.facts import Facts
from patients.models import Patient
from patients.views.common import patient_page, today
from programs.actions.known import facts_for, standing
from programs.models import Plan, PlanEdit
from programs.views.open_steps import newest_plans
from programs.week import Week
from programs.week_document import read_weeks


@dataclass(frozen=True)
class Kept:
    """The open draft and the newest signed plan of a patient; one query, the changes another."""

    patient: Patient
    open: Plan | None
    signed: Plan | None

    @classmethod
    def of(cls, patient_id: int) -> Kept:
        """Read them. Raises Http404 where there is no such patient."""
        patient = get_object_or_404(Patient, pk=patient_id)
        held = list(newest_plans(patient).select_related("made_by", "signed"))
        for plan in held:
            plan.patient = patient
        return cls(
            patient=patient,
            open=next((plan for plan in held if plan.state == Plan.DRAFT), None),
            signed=next((plan for plan in held if plan.state == Plan.SIGNED), None),
        )

    @property
    def newest(self) -> list[Plan]:
        """Return those of the two that there are."""
        return [plan for plan in (self.open, self.signed) if plan is not None]

    @cached_property
    def changes(self) -> list[PlanEdit]:
        """Return the changes of the open draft that stand."""
        return standing(self.open) if self.open else []

    @cached_property
    def facts_known(self) -> Facts | None:
        """Return all that is known today; None where what was entered cannot stand together."""
        try:
            return facts_for(self.patient, today())
        except Contradiction:
            return None


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
