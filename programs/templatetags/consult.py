"""How the page of the first consult takes its parts by name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import template

register = template.Library()


@register.filter
def named(held: Mapping[str, Any], name: str) -> Any:
    """Return the entry of a name, or nothing."""
    return held.get(name, "")
