"""Forms about the people who work here: their names, roles, and a password set by a code."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.contrib.auth.forms import SetPasswordMixin

from patients.forms.from_questions import SheetForm
from patients.staff.rights import ROLE_WORDS, Role

_QUIET = {"autocomplete": "off", "spellcheck": "false"}
_NO_DAY = dt.date.min


class AccountForm(SheetForm):
    """A form without dates."""

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, born=_NO_DAY, as_of=_NO_DAY, **more)


class NameForm(AccountForm):
    """The full name, as it is printed."""

    full_name = forms.CharField(
        label="Full name",
        max_length=150,
        help_text="Printed on what this person signs; what was signed before keeps its name",
        error_messages={"required": "A full name is needed: it appears on what is signed."},
        widget=forms.TextInput({"autocomplete": "name", "spellcheck": "false"}),
    )


class RolesForm(AccountForm):
    """What somebody is here."""

    roles = forms.MultipleChoiceField(
        required=False,
        choices=[(str(role), f"{role}: {words}") for role, words in ROLE_WORDS.items()],
        widget=forms.CheckboxSelectMultiple,
        label="Roles",
    )

    def clean_roles(self) -> frozenset[Role]:
        """Return the roles that are ticked."""
        return frozenset(map(Role, self.cleaned_data["roles"]))


class PersonForm(RolesForm):
    """Somebody new: the name of the account, the full name, the roles."""

    username = forms.CharField(
        label="Name of the account",
        max_length=60,
        help_text="Typed at signing in, like: m.ferro",
        error_messages={"required": "Write a name to sign in with."},
        widget=forms.TextInput(_QUIET),
    )
    full_name = NameForm.base_fields["full_name"]

    field_order = ("username", "full_name", "roles")


class CodeForm(SetPasswordMixin, AccountForm):  # type: ignore[type-arg]  # takes none when run
    """A code that the keeper gave, and the new password twice."""

    code = forms.CharField(
        label="Code",
        max_length=60,
        help_text="From the person who manages the accounts; it works once, within 24 hours",
        error_messages={"required": "Write the code."},
        widget=forms.TextInput(_QUIET),
    )
    new_password1, new_password2 = SetPasswordMixin.create_password_fields(
        label1="New password", label2="The new password again"
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["new_password2"].help_text = ""

    def clean(self) -> dict[str, Any]:
        """Ask for the same password twice."""
        cleaned = super().clean() or {}
        self.validate_passwords("new_password1", "new_password2")
        return cleaned
