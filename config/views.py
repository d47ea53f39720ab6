"""Pages that belong to no one app: signing in, the password, and the pages that say what failed."""

import sys
from urllib.parse import urlsplit

from django.contrib.auth.views import PasswordChangeView
from django.contrib.messages.views import SuccessMessageMixin
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from config.sign_in import NewPasswordForm

NEVER_SENT_BACK = ("password", "passphrase", "csrfmiddlewaretoken")


class ChangePassword(SuccessMessageMixin, PasswordChangeView):  # type: ignore[type-arg]
    """Change one's own password; every other session of this person ends."""

    template_name = "registration/password_change.html"
    form_class = NewPasswordForm
    success_url = "/"
    success_message = "Your password is changed. Other places you were signed in are signed out."


def stay(request: HttpRequest) -> HttpResponse:
    """Answer with nothing: the request itself keeps the session alive."""
    return HttpResponse(status=204)


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
    """400: the request could not be read."""
    return _page("errors/400.html", 400)


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403: signed in, but not allowed."""
    return _page("errors/403.html", 403)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: no such page."""
    return _page("errors/404.html", 404)


def failed(request: HttpRequest) -> HttpResponse:
    """500, or 503 when the database was busy or full and the same request may do later."""
    if isinstance(sys.exc_info()[1], OperationalError):
        return _page("errors/503.html", 503)
    return _page("errors/500.html", 500)


def _page(template: str, status: int) -> HttpResponse:
    # Without the request: such a page must not need the session or the database.
    return HttpResponse(render_to_string(template), status=status)
