"""What was typed and not saved, for its page and for the list of its writer."""

from __future__ import annotations

from typing import Any

from django import template
from django.contrib.auth.models import User
from django.http import HttpRequest
from django.template import Context
from django.utils import timezone

from patients.actions.unfinished import unfinished_of
from patients.models.unfinished import UnfinishedForm
from patients.views.unfinished import LEFT_UNFINISHED

register = template.Library()
#: More are not listed at once.
_MOST = 20


@register.simple_tag(takes_context=True)
def unfinished_here(context: Context) -> UnfinishedForm | None:
    """Return what was typed on this page and not saved; None on a form that came back."""
    request = context["request"]
    if request.method != "GET" or not _has_some(request):
        return None
    mine = unfinished_of(request.user, timezone.now())
    return mine.filter(patient=context["patient"], page=request.get_full_path()[:200]).first()


@register.simple_tag(takes_context=True)
def unfinished_anywhere(context: Context) -> list[UnfinishedForm]:
    """Return what this person typed and did not save, on whatever page."""
    request = context["request"]
    if not _has_some(request):
        return []
    held = list(unfinished_of(request.user, timezone.now()).select_related("patient")[:_MOST])
    request.session[LEFT_UNFINISHED] = bool(held)
    return held


def _has_some(request: HttpRequest) -> bool:
    """Tell whether this person may have left something: else no page asks the database for it."""
    return isinstance(request.user, User) and request.session.get(LEFT_UNFINISHED, False)


@register.filter
def in_rows(held: UnfinishedForm) -> list[dict[str, Any]]:
    """Return each field with its name as words, what it held, and what was typed."""
    return [
        {
            "name": name,
            "words": name.replace("__", " ").replace("-", " ").replace("_", " ").replace(".", " "),
            "was": ", ".join(filter(None, one["was"])),
            "now": ", ".join(filter(None, one["now"])),
        }
        for name, one in held.typed.items()
    ]
