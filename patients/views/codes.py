"""One's own one-time codes: turned on with a first code, turned off, new recovery codes."""

from __future__ import annotations

from typing import Any

import segno
from django.contrib import messages
from django.contrib.auth.models import User
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from patients.actions import codes as actions
from patients.actions.guessing import Question, TooManyTries
from patients.actions.refusals import Refused
from patients.actions.sealed_secret import NotOpened, opened
from patients.forms.codes import AskCodesForm, PasswordForm, TakeAwayForm, TurnOnForm
from patients.staff.one_time_codes import address_for_apps, secret_text
from patients.views.asked_again import knows_password, wait_words
from patients.views.common import sent_token, signed_in

#: In the session: the secret that is to be turned on, sealed; that nothing else comes before it.
NEW_SECRET, MUST_TURN_ON = "new_secret", "must_turn_codes_on"
#: Two forms ask for the same thing on one page.
_OFF, _NEW = "off_%s", "new_%s"


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def codes(request: HttpRequest) -> HttpResponse:
    """Show one's codes; turn them on with a first code and the password."""
    user = signed_in(request)
    if actions.codes_of(user) is not None:
        return _on_page(request, user)
    form = TurnOnForm(request.POST or None)
    sealed, secret = _new_secret(request, user)
    if request.method == "POST" and form.is_valid() and _knows(request, form):
        made = actions.turn_on(
            user=user, sealed=sealed, code=form.cleaned_data["code"], at=timezone.now()
        )
        if made is not None:
            request.session.pop(NEW_SECRET, None)
            request.session.pop(MUST_TURN_ON, None)
            return _shown_once(request, made)
        form.add_error("code", "This is not the code of now. Is the telephone's clock right?")
    context = {
        "form": form,
        "picture": _picture(address_for_apps(secret, user.get_username())),
        "secret": secret_text(secret),
        "must": MUST_TURN_ON in request.session,
    }
    status = 422 if request.method == "POST" else 200
    return render(request, "patients/staff/codes_turn_on.html", context, status=status)


@sensitive_post_parameters()
@require_POST
def codes_off(request: HttpRequest) -> HttpResponse:
    """Turn one's codes off, with the password."""
    user, form = signed_in(request), PasswordForm(request.POST, auto_id=_OFF)
    if form.is_valid() and _knows(request, form):
        try:
            actions.turn_off(user=user, at=timezone.now())
        except Refused as refusal:
            form.add_error("password", str(refusal))
        else:
            messages.success(request, "One-time codes are off.")
            return redirect("patients:account")
    return _on_page(request, user, off=form)


@sensitive_post_parameters()
@require_POST
def codes_recovery(request: HttpRequest) -> HttpResponse:
    """Make new recovery codes, with the password."""
    user, form = signed_in(request), PasswordForm(request.POST, auto_id=_NEW)
    if form.is_valid() and _knows(request, form):
        try:
            return _shown_once(request, actions.make_recovery_codes(user=user, at=timezone.now()))
        except Refused as refusal:
            form.add_error("password", str(refusal))
    return _on_page(request, user, recovery=form)


@require_POST
def person_codes(request: HttpRequest, number: int) -> HttpResponse:
    """Take somebody's codes away who lost what makes them."""
    user, form = get_object_or_404(User, pk=number), TakeAwayForm(request.POST)
    by = signed_in(request)
    try:
        reason = form.cleaned_data["reason"] if form.is_valid() else ""
        actions.take_away(user=user, reason=reason, by=by, at=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "Taken away. She signs in with her password and sees a notice.")
    return redirect("patients:person", number)


@require_http_methods(["GET", "POST"])
def codes_asked(request: HttpRequest) -> HttpResponse:
    """Set of whom the clinic asks codes."""
    form = AskCodesForm(request.POST or None, initial={"whom": str(actions.asked_of())})
    if request.method == "POST" and form.is_valid():
        actions.ask_codes_of(
            whom=form.cleaned_data["whom"],
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
        messages.success(request, "Saved. It counts from each person's next sign-in on.")
        return redirect("patients:people")
    status = 422 if request.method == "POST" else 200
    return render(request, "patients/staff/codes_asked.html", {"form": form}, status=status)


def _new_secret(request: HttpRequest, user: User) -> tuple[str, bytes]:
    """Return the secret that is to be turned on, sealed and open: the same until it is."""
    sealed: str = request.session.get(NEW_SECRET, "")
    try:
        return sealed, opened(sealed, user.pk)
    except NotOpened:
        sealed = request.session[NEW_SECRET] = actions.new_secret(user)
        return sealed, opened(sealed, user.pk)


def _knows(request: HttpRequest, form: Form) -> bool:
    """Ask whether the password is right, under the brake; says where it is not."""
    try:
        known = knows_password(
            request, form.cleaned_data["password"], question=Question.CODES_CHANGE
        )
    except TooManyTries as refused:
        form.add_error("password", wait_words(refused))
        return False
    if not known:
        form.add_error("password", "This is not your password. Nothing is changed.")
    return known


def _on_page(request: HttpRequest, user: User, **forms: Form) -> HttpResponse:
    context: dict[str, Any] = {
        "codes": actions.codes_of(user),
        "left": actions.recovery_left(user),
        "must": actions.must_have_codes(user),
        "off": PasswordForm(auto_id=_OFF),
        "recovery": PasswordForm(auto_id=_NEW),
    }
    status = 422 if forms else 200
    return render(request, "patients/staff/codes.html", context | forms, status=status)


def _shown_once(request: HttpRequest, made: list[str]) -> HttpResponse:
    return render(request, "patients/staff/recovery_codes.html", {"made": made})


def _picture(address: str) -> SafeString:
    """Return the square to be read by a telephone: drawn in the page, nothing is loaded."""
    made = segno.make(address, error="m", micro=False)
    drawn: str = made.svg_inline(border=4, omitsize=True, svgclass="qr", title="Secret for the app")
    return mark_safe(drawn)
