"""Which answers are looks: pages of a patient, files taken out, papers, and what was refused."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.template.loader import render_to_string
from django.utils import timezone

from patients.looks import Seen, is_part, is_told, keep_look
from patients.models.looks import EXPORT, PAGE, PAPER, REFUSED
from patients.views.erased import GONE

_View = TypeVar("_View", bound=Callable[..., HttpResponseBase])
#: What the address calls a patient.
_NUMBERS = ("patient_id", "into_id")
#: What is asked for after the address's question mark and tells which part was seen.
_ASKED = ("of", "week", "on", "language", "patient", "person", "day", "action")
_LONGEST = 60
#: Answers to a form that show her page again: what was typed is wrong, or came too late.
_SHOWN_AGAIN = (409, 422)
#: What was asked for is still being made: nothing of anybody is shown.
_NOTHING_YET = 202


def shows_people(view: _View) -> _View:
    """Mark a view that shows something of many people, and has no patient in its address."""
    view.shows_people = True  # type: ignore[attr-defined]
    return view


def keep_what_is_shown(request: HttpRequest, response: HttpResponseBase) -> None:
    """Write down what this answer shows, and of whom; raises what the database raises."""
    by, at = _signed_in(request), timezone.now()
    if by is None:
        return
    for seen in _shown(request, response):
        if not (request.headers.get("HX-Request") and is_part(seen, by=by, at=at)):
            keep_look(seen, by=by, at=at)


def keep_what_is_refused(request: HttpRequest, response: HttpResponseBase) -> None:
    """Write down that this page was refused; a stranger's refusals are told once a minute."""
    by, at = _signed_in(request), timezone.now()
    of_somebody = bool(_numbers(request))
    nobody_there = response.status_code in (404, GONE)
    if response.status_code == 403 or (nobody_there and of_somebody and by):
        if by is None and is_told(at=at):
            return
        numbers: list[int | None] = [*_numbers(request)] or [None]
        for number in numbers:
            keep_look(_seen(request, response, number, REFUSED), by=by, at=at)


def is_refused(response: HttpResponseBase) -> bool:
    """Tell whether an answer shows nothing because it may not, or there is nobody."""
    return response.status_code in (403, 404, GONE)


def not_kept() -> HttpResponse:
    """Return the page that stands in for one that must not be shown unnoted."""
    # Without the request: such a page must not need the session or the database.
    return HttpResponse(render_to_string("errors/look_not_kept.html"), status=503)


def _shown(request: HttpRequest, response: HttpResponseBase) -> list[Seen]:
    if response.status_code == _NOTHING_YET:
        return []
    if not (response.status_code < 300 or response.status_code in _SHOWN_AGAIN):
        return []
    kind = _kind(response)
    view = getattr(request.resolver_match, "func", None)
    # A file of many people is taken out, though no one of them is in its address.
    of_many = kind == EXPORT or getattr(view, "shows_people", False)
    numbers: list[int | None] = [*_numbers(request)] or ([None] if of_many else [])
    return [_seen(request, response, number, kind) for number in numbers]


def _kind(response: HttpResponseBase) -> str:
    disposition = response.headers.get("Content-Disposition", "")
    if response.headers.get("Content-Type", "").startswith("application/pdf"):
        return PAPER
    return EXPORT if disposition.startswith("attachment") else PAGE


def _seen(request: HttpRequest, response: HttpResponseBase, number: int | None, kind: str) -> Seen:
    at = request.resolver_match
    held = at.kwargs if at else {}
    told: dict[str, Any] = {name: held[name] for name in held if name not in _NUMBERS}
    told |= {k: request.GET[k][:_LONGEST] for k in _ASKED if request.GET.get(k)}
    return Seen(
        patient_number=number,
        kind=kind,
        page=at.view_name[:80] if at else "",
        what=told,
        status=response.status_code,
    )


def _numbers(request: HttpRequest) -> list[int]:
    at = request.resolver_match
    found = [at.kwargs[name] for name in _NUMBERS if name in at.kwargs] if at else []
    return [number for number in dict.fromkeys(found) if number < 2**63]


def _signed_in(request: HttpRequest) -> User | None:
    user = getattr(request, "user", None)
    return user if isinstance(user, User) and user.is_authenticated else None
