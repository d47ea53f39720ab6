"""The help of the page that is shown: its tour, unless it was put away, and its terms."""

from __future__ import annotations

from typing import Any

from django import template
from django.http import HttpRequest
from django.template import Context

from programs.help.on_pages import terms_on
from programs.help.tour import TOUR, tour_of
from programs.views.help import TOUR_AWAY

register = template.Library()


@register.simple_tag(takes_context=True)
def tour_here(context: Context) -> dict[str, Any]:
    """Return the tour of the page, its name and its address; nothing where there is none.

    It asks the database for nothing: the session tells what was put away.
    """
    request = context.get("request")
    page = _page(request)
    if request is None or page not in TOUR or not request.user.is_authenticated:
        return {}
    told = tour_of(page, frozenset(request.session.get(TOUR_AWAY, ())))
    if not told:
        return {}
    # A page that answers a form has no address of its own to go back to.
    to = request.get_full_path() if request.method == "GET" else ""
    return {"page": page, "told": told, "next": to}


@register.simple_tag(takes_context=True)
def terms_here(context: Context) -> tuple[tuple[str, str], ...]:
    """Return place and word of each term of the page; it asks the database for nothing."""
    request = context.get("request")
    at = getattr(request, "resolver_match", None)
    return terms_on(_page(request), str(at.kwargs.get("code", ""))) if at else ()


def _page(request: HttpRequest | None) -> str:
    at = getattr(request, "resolver_match", None)
    return "" if at is None else at.view_name
