"""Lets a page be opened or sent only by who has the right that it asks for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone

from config.rights_of_pages import PAGES, Anyone, Needs
from patients import audit
from patients.may import rights_today
from patients.staff.rights import Right, why_not
from patients.views.common import signed_in
from patients.views.form_marks import house_mark

START = "programs:caseload"
_UNPLACED = Needs(to_open=Right.PEOPLE, to_send=Right.PEOPLE)


def rights_in(request: HttpRequest) -> frozenset[Right]:
    """Return what may be done by whoever sent a request; read from the database once for it."""
    kept: frozenset[Right] | None = getattr(request, "_calcar_rights", None)
    if kept is None:
        kept = rights_today(request.user)
        request._calcar_rights = kept  # type: ignore[attr-defined]  # ours alone
    return kept


class May:
    """What a template asks: `may.sign` of a right by its code; `may_not.sign` is why not."""

    def __init__(self, request: HttpRequest) -> None:
        self.request = request

    def __getitem__(self, code: str) -> bool:
        return Right(code) in rights_in(self.request)


class MayNot(May):
    """The words beside what is not shown; nothing where the right is there."""

    def __getitem__(self, code: str) -> str:  # type: ignore[override]  # words for a template
        return "" if Right(code) in rights_in(self.request) else why_not(Right(code))


def rights(request: HttpRequest) -> dict[str, Any]:
    """Give every template the two questions, and the mark of a form that is of no patient.

    The mark is made where a template asks for it: it takes a query.
    """
    return {"may": May(request), "may_not": MayNot(request), "house_mark": house_mark}


class OnlyAllowed:
    """Refuses a page in plain words, and writes down that it did."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer as usual."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        """Answer instead of the page, where its right is missing."""
        name = request.resolver_match.view_name if request.resolver_match else ""
        needed = PAGES.get(name, _UNPLACED).of(request.method or "")
        if isinstance(needed, Anyone) or needed in rights_in(request):
            return None
        if name == START and request.method == "GET":
            keeps_people = Right.PEOPLE in rights_in(request)
            return redirect("patients:people" if keeps_people else "patients:account")
        return _refused(request, name, needed)


def _refused(request: HttpRequest, name: str, needed: Right) -> HttpResponse:
    by = signed_in(request)
    with audit.writing():
        audit.record(
            by=by,
            at=timezone.now(),
            action="refuse page",
            on=by,
            new={"page": name, "method": request.method, "right": needed},
        )
    return render(request, "errors/403.html", {"why": why_not(needed)}, status=403)
