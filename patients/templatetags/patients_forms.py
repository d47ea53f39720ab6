"""How a question of a form is shown."""

from __future__ import annotations

from typing import Any

from django import forms, template
from django.forms.boundfield import BoundField
from django.utils.safestring import SafeString

from patients.facts.codes import DAYS
from patients.facts.units import Unreadable
from patients.forms.fields import CodesField, TypedField
from patients.forms.from_questions import listed_errors

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
def keyed(field: BoundField, key: str) -> SafeString:
    """Return a box that a key ticks, for the script of the page."""
    return field.as_widget(attrs={"data-key": key})


@register.filter
def key_of(option: Any) -> str:
    """Return the key of one choice; empty where it has none."""
    return str(option.data["attrs"].get("data-key", ""))


@register.filter
def has_keys(field: BoundField) -> bool:
    """Tell whether each choice of a question has its key, or there is only one to make."""
    return not isinstance(field.field, CodesField)


@register.filter
def shorter(label: str) -> str:
    """Return the name of a day as its first three letters; any other label as it is."""
    return label[:3] if label in DAYS.values() else label


@register.filter
def after_colon(label: str) -> str:
    """Return the question in a label like "Surgery: Since"."""
    return label.rpartition(": ")[2]


@register.filter
def is_needed(field: BoundField) -> bool:
    """Tell whether a form is refused without this field, so that its label says so."""
    return field.field.required or field.name in getattr(field.form, "needed", ())


@register.filter
def listed(form: forms.BaseForm) -> list[tuple[str, str, str]]:
    """Return what is wrong with a form, for the summary at the head of its page."""
    return listed_errors(form)


@register.filter
def read_as(field: BoundField) -> str:
    """Return how what stands in the field is read, in words; nothing where that adds nothing."""
    typed, asked = field.value(), field.field
    if not isinstance(asked, TypedField) or not isinstance(typed, str) or not typed.strip():
        return ""
    try:
        words = asked.reading(typed)
    except Unreadable:
        return ""
    return "" if words == typed.strip() else words
