"""Forms of what is asked of a doctor: who, what and when; what was answered."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.forms.fields import DateField, TextField
from patients.forms.from_questions import SheetForm
from programs.forms.who_and_when import day_told, name_told
from programs.models.asked_doctors import DoctorAnswered


class AskForm(SheetForm):
    """Who is asked, what and when."""

    needed = ("doctor", "what", "on")

    doctor = TextField(label="Asked of", help_text="Name and where, like: Dr Vale, heart clinic")
    what = forms.CharField(
        label="What is asked",
        required=False,
        strip=True,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="As the letter asks it; change what was asked otherwise",
    )
    on = DateField(label="Asked on")

    def clean_doctor(self) -> str:
        """Return who is asked; there must be somebody."""
        return name_told(self.cleaned_data["doctor"], "Say who is asked.")

    def clean_what(self) -> str:
        """Return what is asked; there must be something."""
        if not self.cleaned_data["what"]:
            raise forms.ValidationError("Say what is asked.")
        return str(self.cleaned_data["what"])

    def clean_on(self) -> dt.date:
        """Return the day, today at the latest."""
        return day_told(self.cleaned_data["on"], self.as_of)


class AnswerForm(SheetForm):
    """What was answered, and when."""

    needed = ("on",)

    answer = forms.ChoiceField(label="Answer", choices=[("", "–"), *DoctorAnswered.ANSWERS])
    note = TextField(label="Note", help_text="Like: no jumps until the scan in May")
    on = DateField(label="Answered on")

    def __init__(self, *args: Any, since: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.since = since
        self.fields["answer"].error_messages["required"] = "Say what was answered."

    def clean_note(self) -> str:
        """Return the note; nothing where there is none."""
        return str(self.cleaned_data["note"] or "")

    def clean_on(self) -> dt.date:
        """Return the day, from the asking to today."""
        return day_told(self.cleaned_data["on"], self.as_of, self.since)
