"""Forms about one-time codes: turned on, turned off, asked for, taken away, asked of people."""

from __future__ import annotations

from django import forms

from patients.forms.staff import AccountForm
from patients.staff.one_time_codes import WHO_MUST, Whom

_CODE = {"autocomplete": "one-time-code", "inputmode": "numeric", "spellcheck": "false"}


def _code_field(label: str, help_text: str) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=30,
        help_text=help_text,
        error_messages={"required": "Write the code."},
        widget=forms.TextInput(_CODE),
    )


class SecondStepForm(AccountForm):
    """A one-time code, or a recovery code in its place."""

    code = _code_field("Code", "Six digits from the app on your telephone, or a recovery code")

    def __init__(self, *args: object, **more: object) -> None:
        super().__init__(*args, **more)
        # A recovery code has letters; the field is all there is on the page.
        self.fields["code"].widget.attrs |= {"inputmode": "text", "autofocus": True}


class PasswordForm(AccountForm):
    """The password once more."""

    password = forms.CharField(
        label="Your password",
        strip=False,
        max_length=4096,
        error_messages={"required": "Write your password."},
        widget=forms.PasswordInput({"autocomplete": "current-password"}),
    )


class TurnOnForm(PasswordForm):
    """The first code, and the password."""

    code = _code_field("First code", "The six digits that the app shows now")
    field_order = ("code", "password")


class TakeAwayForm(AccountForm):
    """Why somebody's codes are taken away."""

    reason = forms.CharField(
        label="Reason",
        max_length=200,
        help_text="She reads it at her next sign-in; it stands in the record",
        error_messages={"required": "Write down the reason."},
        widget=forms.TextInput({"autocomplete": "off"}),
    )


class AskCodesForm(AccountForm):
    """Of whom the clinic asks codes."""

    whom = forms.ChoiceField(
        label="One-time codes at sign-in",
        choices=[(str(whom), words) for whom, words in WHO_MUST.items()],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose one."},
    )

    def clean_whom(self) -> Whom:
        """Return the choice."""
        return Whom(self.cleaned_data["whom"])
