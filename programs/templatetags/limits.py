"""The limits of every dose, for pages of apps that know nothing of programs."""

from __future__ import annotations

from django import template

from programs.dose.limit_tables import LimitTable, limit_tables

register = template.Library()


@register.simple_tag(name="limit_tables")
def all_tables() -> tuple[LimitTable, ...]:
    """Return the limits of each modality."""
    return limit_tables()
