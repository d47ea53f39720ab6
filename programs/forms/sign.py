"""The form that signs: the first day, why without a number to call, and the password once more."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django import forms

from patients.forms.fields import DateField, TextField
from programs.actions.signing import SET_OR_REASON

#: A program that starts later than this is drafted again by then.
LATEST_DAYS = 56


class StartForm(forms.Form):
    """The first day of week 1."""

    needed = ("starts_on", "without_number")

    starts_on = DateField(label="First day of week 1")

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_starts_on(self) -> dt.date:
        """Return the day, where it is neither past nor too far off."""
        text = self.cleaned_data["starts_on"]
        if text is None:
            raise forms.ValidationError("Write the day on which week 1 starts.")
        day = dt.date.fromisoformat(text)
        if day < self.today:
            raise forms.ValidationError("This day is past.")
        if day > self.today + dt.timedelta(days=LATEST_DAYS):
            raise forms.ValidationError(f"This is more than {LATEST_DAYS} days off. Draft then.")
        return day


class SignForm(StartForm):
    """The password is asked for at every signature; a reason, where papers lack a number to call.

    missing   the numbers that papers lack
    """

    without_number = TextField(label="Reason to sign without it")
    password = forms.CharField(
        label="Your password again",
        strip=False,
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
        error_messages={"required": "A signature needs your password."},
    )

    def __init__(self, *args: Any, missing: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.missing = missing
        if missing:
            self.fields["without_number"].help_text = f"Missing: {'; '.join(missing)}"
        else:
            del self.fields["without_number"]

    def clean_without_number(self) -> str:
        """Ask for a reason; without one nothing is signed."""
        reason: str = self.cleaned_data["without_number"] or ""
        if not reason:
            raise forms.ValidationError(f"Missing: {'; '.join(self.missing)}. {SET_OR_REASON}")
        return reason
