"""Papers with a notice and what rests on them, for pages of apps that know nothing of programs."""

from __future__ import annotations

from django import template

from programs.actions.evidence_watch import in_force
from programs.watch.standing import noticed

register = template.Library()


@register.inclusion_tag("programs/_notices.html")
def notices() -> dict[str, object]:
    """Show them by the file in force; one query."""
    held = in_force()
    return {"held": held, "noticed": noticed(held.file)}
