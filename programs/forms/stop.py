"""Forms of a stop: what is stopped and why; who told of it, how and when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

from django import forms

from patients.forms.fields import DateField, TextField
from patients.forms.from_questions import SheetForm
from programs.models.program_state import StopTold
from safety.findings import Modality

#: What stands for the whole program among the kinds.
WHOLE = "all"


class StopForm(SheetForm):
    """What is stopped, and why."""

    what = forms.ChoiceField(label="Stop", widget=forms.RadioSelect)
    why = TextField(label="Why", help_text="Like: pain in the hip, rang today")

    def __init__(self, *args: Any, kinds: Iterable[Modality], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        left = [(str(kind), f"only {kind}") for kind in kinds]
        what = self.fields["what"]
        assert isinstance(what, forms.ChoiceField)
        what.choices = [(WHOLE, "the whole program"), *left]
        what.error_messages["required"] = "Say what is stopped."

    def clean_why(self) -> str:
        """Return the reason; there must be one."""
        if not self.cleaned_data["why"]:
            raise forms.ValidationError("Say why it is stopped.")
        return str(self.cleaned_data["why"])

    @property
    def modality(self) -> Modality | None:
        """Return the kind; None for the whole program."""
        what = self.cleaned_data["what"]
        return None if what == WHOLE else Modality(what)


class ToldForm(SheetForm):
    """Who told her, how and when."""

    needed = ("told_by", "on")

    told_by = TextField(label="Told by")
    how = forms.ChoiceField(label="How", choices=[("", "–"), *StopTold.HOW])
    on = DateField(label="When")

    def __init__(self, *args: Any, since: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.since = since
        self.fields["how"].error_messages["required"] = "Say how it was told."

    def clean_told_by(self) -> str:
        """Return who did; there must be somebody."""
        if not self.cleaned_data["told_by"]:
            raise forms.ValidationError("Say who told it.")
        return str(self.cleaned_data["told_by"])

    def clean_on(self) -> dt.date:
        """Return the day, from the stop to today."""
        text = self.cleaned_data["on"]
        if text is None:
            raise forms.ValidationError("Write the day.")
        day = dt.date.fromisoformat(text)
        if not self.since <= day <= self.as_of:
            raise forms.ValidationError("The day lies between the stop and today.")
        return day
