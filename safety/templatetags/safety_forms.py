"""The form that stands beside a finding."""

from __future__ import annotations

from collections.abc import Mapping

from django import template

from safety.forms import ClearanceForm

register = template.Library()


@register.filter
def under(forms: Mapping[str, ClearanceForm], rule: str) -> ClearanceForm | None:
    """Return the form of a rule's finding."""
    return forms.get(rule)
