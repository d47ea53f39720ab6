"""Signing in, slowed for whoever guesses."""

from hashlib import sha256
from typing import Any

from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.core.cache import cache
from django.core.exceptions import ValidationError

WRONG_TRIES_AT_MOST = 5
PAUSE_S = 60


class SignInForm(AuthenticationForm):
    """Takes five wrong tries a minute for one name, whether or not anybody has it.

    Slowed, not locked: somebody else's guessing must not keep a clinician out of her clinic.
    """

    def clean(self) -> dict[str, Any]:
        name = str(self.cleaned_data.get("username", "")).casefold()
        key = "wrong-tries-" + sha256(name.encode()).hexdigest()
        if cache.get(key, 0) >= WRONG_TRIES_AT_MOST:
            raise ValidationError(
                "Too many wrong tries for this name. Wait a minute, then try again."
            )
        try:
            return super().clean()
        except ValidationError:
            cache.add(key, 0, PAUSE_S)
            cache.incr(key)
            raise


class NewPasswordForm(PasswordChangeForm):
    """Asks for the new password twice, in plain words."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        again = self.fields["new_password2"]
        again.label, again.help_text = "The new password once more", ""
