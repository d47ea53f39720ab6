"""How the papers are laid out."""

from __future__ import annotations

from django import template

from programs.handout.room import Arrangement, arrangement
from programs.handout.said import Block

register = template.Library()


@register.simple_tag
def arranged(block: Block, type_pt: int) -> Arrangement:
    """Return what stands beside an exercise's picture."""
    return arrangement(block, type_pt)
