"""One's own account: the full name, where one is signed in, a password set with a code."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from patients.actions.codes import codes_of, recovery_left
from patients.actions.guessing import Question, TooManyTries, take_a_try, was_right, was_wrong
from patients.actions.keys import set_keys
from patients.actions.open_sessions import end_sessions, sessions_of
from patients.actions.refusals import Refused
from patients.actions.staff import set_full_name, set_password_by_code, whose_code
from patients.forms.staff import CodeForm, NameForm
from patients.known_browser import source_of
from patients.may import roles_of
from patients.staff.rights import ROLE_WORDS
from patients.views.asked_again import wait_words
from patients.views.common import signed_in
from patients.views.form_marks import of_any_life

#: In the session: that who is signed in turned the keys of the pages off.
KEYS_OFF = "keys_off"


@require_GET
def account(request: HttpRequest) -> HttpResponse:
    """Show one's name, roles, and where one is signed in."""
    user = signed_in(request)
    held = roles_of([user])[user.pk]
    context = {
        "roles": [(role, words) for role, words in ROLE_WORDS.items() if role in held],
        "sessions": sessions_of(user, timezone.now()),
        "codes": codes_of(user),
        "left": recovery_left(user),
        "this_key": request.session.session_key,
    }
    return render(request, "patients/staff/account.html", context)


@require_http_methods(["GET", "POST"])
def own_name(request: HttpRequest) -> HttpResponse:
    """Set one's own full name."""
    user = signed_in(request)
    form = NameForm(request.POST or None, initial={"full_name": user.get_full_name()})
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["full_name"]
        set_full_name(user=user, full_name=name, by=user, at=timezone.now())
        messages.success(request, "Your name is saved. What you signed before keeps its name.")
        return redirect("patients:account")
    status = 422 if request.method == "POST" else 200
    return render(request, "patients/staff/own_name.html", {"form": form}, status=status)


@require_POST
def end_session(request: HttpRequest, number: int) -> HttpResponse:
    """End one of one's own sessions."""
    return _ended(request, number)


@require_POST
def end_other_sessions(request: HttpRequest) -> HttpResponse:
    """End all of one's own sessions but this one."""
    return _ended(request, None)


@require_POST
def keys(request: HttpRequest) -> HttpResponse:
    """Turn the keys of the pages on or off, here at once and from each next sign-in elsewhere."""
    on = request.POST.get("on") == "yes"
    set_keys(on=on, by=signed_in(request), at=timezone.now())
    request.session[KEYS_OFF] = not on
    messages.success(request, f"The keys are {'on' if on else 'off'}.")
    return redirect(f"{reverse('patients:account')}#keys")


def _ended(request: HttpRequest, number: int | None) -> HttpResponse:
    count = end_sessions(
        by=signed_in(request),
        at=timezone.now(),
        keep=request.session.session_key or "",
        number=number,
    )
    messages.success(request, "Signed out there." if count else "There was nothing to end.")
    return redirect("patients:account")


@of_any_life
@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def new_password(request: HttpRequest) -> HttpResponse:
    """Take a code and a new password; opening the page spends nothing."""
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _set(request, form):
        messages.success(request, "Your password is set. Sign in with it.")
        return redirect("sign_in")
    status = 422 if request.method == "POST" else 200
    return render(request, "patients/staff/new_password.html", {"form": form}, status=status)


def _set(request: HttpRequest, form: CodeForm) -> bool:
    code, at = form.cleaned_data["code"], timezone.now()
    try:
        tried = take_a_try(question=Question.CODE, source=source_of(request, None), at=at)
    except TooManyTries as refused:
        form.add_error("code", wait_words(refused))
        return False
    user = whose_code(code, at)
    if user is None:
        was_wrong(tried, by=None, at=at)
        form.add_error(
            "code", "This code has been used, is too old or is mistyped. Ask for a new one."
        )
        return False
    was_right(tried)
    form.validate_password_for_user(user, "new_password1")
    if form.errors:
        return False
    try:
        set_password_by_code(code=code, password=form.cleaned_data["new_password1"], at=at)
    except Refused as refused:
        form.add_error("code", str(refused))
        return False
    return True
