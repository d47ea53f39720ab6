"""The form that stands beside a finding, and the clearances that say nothing of the dose."""

from __future__ import annotations

from collections.abc import Mapping

from django import template

from patients.models.patient import Patient
from patients.views.common import today
from safety.facts_with_clearances import standing
from safety.forms import ClearanceForm
from safety.models import Clearance

register = template.Library()


@register.filter
def under(forms: Mapping[str, ClearanceForm], rule: str) -> ClearanceForm | None:
    """Return the form of a rule's finding."""
    return forms.get(rule)


@register.simple_tag
def clearances_without_limits(patient: Patient) -> list[Clearance]:
    """Return the clearances that hold, or will, of which nobody recorded what they say of dose."""
    return [one for one in standing(patient) if one.limits is None and one.until >= today()]
