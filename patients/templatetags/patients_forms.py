"""How a question of a form is shown."""

from __future__ import annotations

from django import forms, template
from django.forms.boundfield import BoundField
from django.utils.safestring import SafeString

register = template.Library()


@register.filter
def control_kind(field: BoundField) -> str:
    """Return "group" for several boxes with one legend, "tick" for one box, else "line"."""
    widget = field.field.widget
    if isinstance(widget, forms.RadioSelect | forms.CheckboxSelectMultiple):
        return "group"
    return "tick" if isinstance(widget, forms.CheckboxInput) else "line"


@register.filter
def dressed(field: BoundField) -> SafeString:
    """Return the control with the classes of its kind, and marked where it is wrong."""
    widget = field.field.widget
    if isinstance(widget, forms.CheckboxInput):
        return field.as_widget()
    look = "form-select" if isinstance(widget, forms.Select) else "form-control"
    short = " short" if getattr(field.field, "is_short", False) else ""
    wrong = " is-invalid" if field.errors else ""
    return field.as_widget(attrs={"class": f"{look}{short}{wrong}"})


@register.filter
def after_colon(label: str) -> str:
    """Return the question in a label like "Surgery: Since"."""
    return label.rpartition(": ")[2]
