"""Pages that belong to no one app: how long a session lasts, and the pages that say what failed."""

import math
import sys
import time
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.sessions.models import Session
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from patients.views.form_marks import of_any_life
from programs.machine.what_failed import cause_of_error

#: In the session: when it began, and when it was last made to last.
SIGNED_IN_AT, SEEN_AT = "signed_in_at", "seen_at"
NEVER_SENT_BACK = ("password", "passphrase", "csrfmiddlewaretoken")


@of_any_life
def stay(request: HttpRequest) -> HttpResponse:
    """Answer with nothing: the request itself keeps the session alive."""
    return HttpResponse(status=204)


@login_not_required
def time_left(request: HttpRequest) -> HttpResponse:
    """Tell in seconds how long the session lasts, without making it last longer.

    It is one session for all tabs, so that none of them can know by itself.
    """
    return JsonResponse({"left_s": max(0, math.floor(_left_s(request)))})


def _left_s(request: HttpRequest) -> float:
    rows = Session.objects.filter(session_key=request.session.session_key)
    ends = rows.values_list("expire_date", flat=True).first()
    if not request.user.is_authenticated or ends is None:
        return 0
    began: float = request.session.get(SIGNED_IN_AT, time.time())
    ends_of_day = began + settings.SIGNED_IN_AT_MOST_S
    return min(ends.timestamp(), ends_of_day) - time.time()


def form_expired(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Answer a form whose token is out of date, most often after signing in on another tab."""
    return send_again(request, status=403)


def send_again(request: HttpRequest, *, status: int) -> HttpResponse:
    """Show what was typed in a form ready to be sent again: hidden, with one button.

    Only when the form was ours: another site must not get its own answers offered for sending.
    Passwords and files are left out.
    """
    kept = [
        (name, value)
        for name, values in request.POST.lists()
        for value in values
        if not any(word in name.lower() for word in NEVER_SENT_BACK)
    ]
    context = {"kept": kept, "ours": _sent_from_here(request), "files": bool(request.FILES)}
    return render(request, "errors/send_again.html", context, status=status)


def _sent_from_here(request: HttpRequest) -> bool:
    origin = request.headers.get("Origin") or request.headers.get("Referer", "")
    sent_from = urlsplit(origin)
    return (sent_from.scheme, sent_from.netloc) == (request.scheme, request.get_host())


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400: the request could not be read, or was sent to a name that is not this server's."""
    asked_for = request.META.get("HTTP_HOST", "") if isinstance(exception, DisallowedHost) else ""
    return _page("errors/400.html", 400, asked_for=asked_for)


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403: signed in, but not allowed."""
    return _page("errors/403.html", 403)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: no such page."""
    return _page("errors/404.html", 404)


def failed(request: HttpRequest) -> HttpResponse:
    """500; or 503 with its cause, where the machine or the database failed and not the program."""
    if cause := cause_of_error(sys.exc_info()[1]):
        return _page("errors/503.html", 503, cause=cause)
    return _page("errors/500.html", 500)


def _page(template: str, status: int, **context: Any) -> HttpResponse:
    # Without the request: such a page must not need the session or the database.
    return HttpResponse(render_to_string(template, context), status=status)
