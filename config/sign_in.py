"""Signing in and out, and changing one's own password: each try under the one brake."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.models import User
from django.contrib.auth.views import LoginView, LogoutView, PasswordChangeView
from django.contrib.messages.views import SuccessMessageMixin
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from config.second_step import ask_for_code, let_in
from patients.actions.codes import codes_of
from patients.actions.guessing import Question, TooManyTries, take_a_try, was_right, was_wrong
from patients.actions.open_sessions import moved, note_sign_out
from patients.actions.staff import change_password
from patients.actions.told_codes import why_codes_not_as_told
from patients.actions.told_passwords import why_not_as_told
from patients.known_browser import source_of
from patients.views.asked_again import knows_password, wait_words


class SignInForm(AuthenticationForm):
    """Takes five wrong tries a minute from one place, whatever the name.

    Slowed, not locked: strangers' tries count for the strangers.
    """

    def clean(self) -> dict[str, Any]:
        name, at = self.cleaned_data.get("username"), timezone.now()
        named = User.objects.filter(username=name).first()
        assert self.request is not None
        source = source_of(self.request, named)
        try:
            tried = take_a_try(question=Question.SIGN_IN, source=source, about=named, at=at)
        except TooManyTries as refused:
            raise ValidationError(wait_words(refused)) from refused
        if named and (why := why_not_as_told(named)):
            was_wrong(tried, by=None, about=named, at=at)
            raise ValidationError(why)
        try:
            cleaned = super().clean()
        except ValidationError:
            was_wrong(tried, by=None, about=named, at=at)
            raise
        was_right(tried)
        user: User | None = self.user_cache
        if user is not None and (why := why_codes_not_as_told(user)):
            raise ValidationError(why)
        return cleaned


class SignIn(LoginView):
    """Ask for the password, and then for a one-time code of whoever uses them."""

    template_name = "registration/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        """Show the form again, refused."""
        return self.render_to_response(self.get_context_data(form=form), status=422)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Sign in, or lead on to the code."""
        user, then = form.get_user(), self.get_success_url()
        if codes_of(user) is not None:
            return ask_for_code(self.request, user, then)
        return let_in(self.request, user, then)


class SignOut(LogoutView):
    """Sign out, and write it down."""

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """Sign out."""
        if isinstance(request.user, User):
            key = request.session.session_key or ""
            note_sign_out(by=request.user, session_key=key, at=timezone.now())
        answer = super().post(request, *args, **kwargs)
        # Not "cookies": this browser stays known as hers. Browsers heed it under TLS alone.
        answer.headers["Clear-Site-Data"] = '"cache", "storage"'
        return answer


class NewPasswordForm(PasswordChangeForm):
    """Asks for the old password, and for the new one twice, in plain words."""

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        again = self.fields["new_password2"]
        again.label, again.help_text = "The new password again", ""

    def clean_old_password(self) -> str:
        """Ask whether the old password is right, under the brake."""
        typed: str = self.cleaned_data["old_password"]
        try:
            known = knows_password(self.request, typed, question=Question.CHANGE)
        except TooManyTries as refused:
            raise ValidationError(wait_words(refused)) from refused
        if not known:
            raise ValidationError("This is not your password. Nothing is changed.")
        return typed

    def save(self, commit: bool = True) -> Any:
        """Set the new password."""
        change_password(
            user=self.user, password=self.cleaned_data["new_password1"], at=timezone.now()
        )
        return self.user


class ChangePassword(SuccessMessageMixin, PasswordChangeView):  # type: ignore[type-arg]
    """Change one's own password; every other session of this person ends."""

    template_name = "registration/password_change.html"
    form_class = NewPasswordForm
    success_url = "/account/"
    success_message = "Your password is changed. Other places you were signed in are signed out."

    def get_form_kwargs(self) -> dict[str, Any]:
        """Hand the request on."""
        return super().get_form_kwargs() | {"request": self.request}

    def form_invalid(self, form: Any) -> HttpResponse:
        """Show the form again, refused."""
        return self.render_to_response(self.get_context_data(form=form), status=422)

    def form_valid(self, form: Any) -> HttpResponse:
        """Change it, and follow the session to its new key."""
        before = self.request.session.session_key or ""
        response = super().form_valid(form)
        moved(before=before, now=self.request.session.session_key or "")
        return response
