"""The form that signs: the first day, and the password once more."""

from __future__ import annotations

import datetime as dt
from typing import Any

from crispy_forms.bootstrap import AppendedText
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Field, Layout
from django import forms

from patients.forms.fields import DateField

#: A program that starts later than this is drafted again by then.
LATEST_DAYS = 56


class StartForm(forms.Form):
    """The first day of week 1."""

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
    """The password is asked for at every signature."""

    password = forms.CharField(
        label="Your password, once more",
        strip=False,
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
        error_messages={"required": "A signature needs your password."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.helper.disable_csrf = True
        self.helper.label_class = "form-label"
        self.helper.layout = Layout(AppendedText("starts_on", "year-month-day"), Field("password"))
