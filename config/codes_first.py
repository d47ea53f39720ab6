"""Leads whoever must use one-time codes to turn them on, before any other page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, resolve_url

from patients.actions.codes import codes_of, must_have_codes
from patients.views.codes import MUST_TURN_ON
from patients.views.common import signed_in

CODES = "patients:codes"
_OPEN = frozenset({CODES, "sign_out", "stay", "time_left"})


class CodesFirst:
    """Asks the database only in a session that was begun without the codes it needs."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer as usual."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        """Lead to the page where codes are turned on, instead of this one."""
        if not request.user.is_authenticated or MUST_TURN_ON not in request.session:
            return None
        if request.resolver_match and request.resolver_match.view_name in _OPEN:
            return None
        user = signed_in(request)
        if codes_of(user) is not None or not must_have_codes(user):
            del request.session[MUST_TURN_ON]
            return None
        if request.headers.get("HX-Request"):
            return HttpResponse(headers={"HX-Redirect": resolve_url(CODES)})
        return redirect(CODES)
