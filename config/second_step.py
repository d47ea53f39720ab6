"""The second step of signing in: a one-time code, asked for after the right password alone."""

from __future__ import annotations

import time
from typing import Any

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from patients.actions.codes import codes_of, must_have_codes, recovery_left, taken_away, use_code
from patients.actions.guessing import (
    MINUTE,
    PAUSE,
    Question,
    TooManyTries,
    take_a_try,
    was_right,
    was_wrong,
)
from patients.actions.keys import wants_keys
from patients.actions.open_sessions import note_sign_in
from patients.actions.told_codes import why_codes_not_as_told
from patients.actions.unfinished import unfinished_of
from patients.facts.in_words import day_text
from patients.forms.codes import SecondStepForm
from patients.known_browser import remember, source_of_second_step
from patients.views.account import KEYS_OFF
from patients.views.asked_again import wait_words
from patients.views.codes import MUST_TURN_ON
from patients.views.form_marks import of_any_life
from patients.views.unfinished import LEFT_UNFINISHED
from programs.actions.tour import pages_put_away
from programs.views.help import TOUR_AWAY

#: In the session, between the two steps: whose password was right, and when.
PENDING = "password_was_right"
PENDING_LASTS_S = 5 * 60
_FEW = 3


def ask_for_code(request: HttpRequest, user: User, then: str) -> HttpResponse:
    """Remember that the password was right, in another session, and lead on to the code."""
    request.session.cycle_key()
    request.session[PENDING] = {
        "user": user.pk,
        # Of the password: a new one ends this too.
        "hash": user.get_session_auth_hash(),
        "at": time.time(),
        "then": then,
    }
    return redirect("sign_in_code")


@of_any_life
@login_not_required
@sensitive_post_parameters("code")
@require_http_methods(["GET", "POST"])
def sign_in_code(request: HttpRequest) -> HttpResponse:
    """Take a one-time code or a recovery code, once the password was right."""
    user = _whose_password_was_right(request)
    if user is None:
        request.session.pop(PENDING, None)
        return redirect("sign_in")
    form = SecondStepForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        used = _used(request, user, form)
        if used:
            return let_in(request, user, request.session.pop(PENDING)["then"], beside=used)
    status = 422 if request.method == "POST" else 200
    return render(request, "registration/sign_in_code.html", {"form": form}, status=status)


def let_in(request: HttpRequest, user: User, then: str, *, beside: str = "") -> HttpResponse:
    """Sign in, write it down, and remember the browser as one of this person's.

    beside   what was given beside the password
    """
    line = taken_away(user)
    login(request, user)
    request.session[KEYS_OFF] = not wants_keys(user)
    request.session[LEFT_UNFINISHED] = unfinished_of(user, timezone.now()).exists()
    # Kept here, so that no page asks for it.
    request.session[TOUR_AWAY] = sorted(pages_put_away(user))
    note_sign_in(
        by=user,
        session_key=request.session.session_key or "",
        user_agent=request.headers.get("User-Agent", ""),
        at=timezone.now(),
        beside=beside,
    )
    if line is not None:
        told = day_text(timezone.localdate(line.at))
        messages.warning(
            request,
            f"{line.actor_name} took your one-time codes away on {told}: {line.reason}. If you "
            "did not ask for this, tell the person who manages the accounts. You can turn them on "
            "again on the page of your account.",
        )
    _say_of_codes(request, user)
    response = HttpResponseRedirect(then)
    remember(request, response, user)
    return response


def _say_of_codes(request: HttpRequest, user: User) -> None:
    if codes_of(user) is None:
        if must_have_codes(user):
            request.session[MUST_TURN_ON] = True
        return
    left = recovery_left(user)
    if left <= _FEW:
        words = f"You have {left} recovery code{'' if left == 1 else 's'} left."
        messages.warning(request, f"{words} Make new ones on the page of your account.")


def _whose_password_was_right(request: HttpRequest) -> User | None:
    held: dict[str, Any] | None = request.session.get(PENDING)
    if held is None or not 0 <= time.time() - held["at"] < PENDING_LASTS_S:
        return None
    user = User.objects.filter(pk=held["user"], is_active=True).first()
    if user is None or not constant_time_compare(held["hash"], user.get_session_auth_hash()):
        return None
    return user


def _used(request: HttpRequest, user: User, form: SecondStepForm) -> str:
    """Return what was given beside the password; nothing where it is wrong, which is said."""
    at = timezone.now()
    source, known = source_of_second_step(request, user)
    try:
        tried = take_a_try(
            question=Question.SECOND_STEP,
            source=source,
            about=user,
            at=at,
            within=MINUTE if known else PAUSE,
        )
    except TooManyTries as refused:
        form.add_error("code", wait_words(refused, "codes"))
        return ""
    if why := why_codes_not_as_told(user):
        was_wrong(tried, by=None, about=user, at=at)
        form.add_error("code", why)
        return ""
    used = use_code(user=user, typed=form.cleaned_data["code"], at=at)
    if used is None:
        was_wrong(tried, by=None, about=user, at=at)
        form.add_error("code", "This code is wrong, too old or was used before.")
        return ""
    was_right(tried)
    return used
