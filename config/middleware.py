"""What every request passes: headers of the answer, the longest stay, the need to sign in."""

import time
from collections.abc import Callable

from django.conf import settings
from django.contrib.auth import logout
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import resolve_url

from config.views import send_again

Answer = Callable[[HttpRequest], HttpResponseBase]
SIGNED_IN_AT = "signed_in_at"
SEEN_AT = "seen_at"


def response_headers(get_response: Answer) -> Answer:
    """Let a page load only what comes from here, and keep nothing of a patient in the browser."""
    policy = "; ".join(
        f"{name} {value}" for name, value in settings.CONTENT_SECURITY_POLICY.items()
    )

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        response.headers["Content-Security-Policy"] = policy
        if not request.path.startswith(settings.STATIC_URL):
            response.headers["Cache-Control"] = "no-store"
        return response

    return answer


def sign_out_after_a_day(get_response: Answer) -> Answer:
    """End a session that began longer ago than a working day, however busy it has been."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.user.is_authenticated:
            began = request.session.setdefault(SIGNED_IN_AT, time.time())
            if time.time() - began > settings.SIGNED_IN_AT_MOST_S:
                logout(request)
        return get_response(request)

    return answer


def keep_signed_in(get_response: Answer) -> Answer:
    """Start the idle time anew, written at most once a minute.

    Django's own switch writes the session on every request, which would make each page view
    take the database's one write lock.
    """

    def answer(request: HttpRequest) -> HttpResponseBase:
        now = time.time()
        if request.user.is_authenticated and (
            now - request.session.get(SEEN_AT, 0) >= settings.SESSION_SAVE_EVERY_S
        ):
            request.session[SEEN_AT] = now
        return get_response(request)

    return answer


class SignInRequired(LoginRequiredMiddleware):
    """Sends whoever is not signed in to the sign-in page; what was typed is kept."""

    def handle_no_permission(  # type: ignore[override]  # stubs know only the redirect
        self, request: HttpRequest, view_func: Callable[..., HttpResponseBase]
    ) -> HttpResponseBase:
        if request.headers.get("HX-Request") and request.method == "POST":
            # Going to sign in would lose what is being typed; the page says how to keep it.
            return HttpResponse(status=401)
        if request.headers.get("HX-Request"):
            # Otherwise the sign-in page would land in the middle of this one.
            return HttpResponse(headers={"HX-Redirect": resolve_url(settings.LOGIN_URL)})
        if request.method == "POST":
            return send_again(request, status=401)
        return super().handle_no_permission(request, view_func)
