"""What every request passes: headers of the answer, the longest stay, the need to sign in."""

import time
from collections.abc import Callable

from django.conf import settings
from django.contrib.auth import logout
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse, HttpResponseBase, HttpResponseNotAllowed
from django.shortcuts import resolve_url

from config.views import SEEN_AT, SIGNED_IN_AT, send_again
from programs.phone.address import PATH

Answer = Callable[[HttpRequest], HttpResponseBase]


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


def title_of_an_error(get_response: Answer) -> Answer:
    """Let the title of a page whose form was refused begin with "Error", so that it is heard first.

    WCAG 2.2, 2.4.2 and 3.3.1. Each page that shows a form again answers with 422.
    """

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        if response.status_code == 422 and isinstance(response, HttpResponse):
            response.content = response.content.replace(b"<title>", b"<title>Error: ", 1)
        return response

    return answer


def head_and_options(get_response: Answer) -> Answer:
    """Answer HEAD as GET, whose body the server leaves out; and OPTIONS by what a page takes."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        asked = request.method
        if asked == "HEAD":
            request.method = "GET"
        response = get_response(request)
        if asked == "OPTIONS" and isinstance(response, HttpResponseNotAllowed):
            taken = {*response.headers["Allow"].split(", "), "OPTIONS"}
            taken |= {"HEAD"} if "GET" in taken else set()
            return HttpResponse(status=204, headers={"Allow": ", ".join(sorted(taken))})
        return response

    return answer


def nobody_on_her_phone(get_response: Answer) -> Answer:
    """Answer a page of her own phone as if nobody were signed in in that browser.

    Somebody who is keeps her session, which such a page neither lends, lengthens nor ends.
    """

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.path.startswith(PATH):
            request.user = AnonymousUser()
        return get_response(request)

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
    """Start the idle time anew, written at most once a minute; asking how long is left does not.

    Django's own switch writes the session on every request, which would make each page view
    take the database's one write lock.
    """

    def answer(request: HttpRequest) -> HttpResponseBase:
        now = time.time()
        asks = request.path == resolve_url("time_left")
        if (
            not asks
            and request.user.is_authenticated
            and now - request.session.get(SEEN_AT, 0) >= settings.SESSION_SAVE_EVERY_S
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
