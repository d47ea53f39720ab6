"""The form in which lines of the record are asked for."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.contrib.auth.models import User

from patients.audit import actions_told, printed_name
from patients.forms.fields import DateField, OneCodeField, WholeField
from patients.forms.from_questions import SheetForm
from patients.models.looks import KINDS_OF_LOOK
from patients.record_lines import Asked
from programs.forms.clinic import ANY_DAY

#: No line is older.
_FIRST = dt.date(2020, 1, 1)


class RecordForm(SheetForm):
    """Who did it, whose record, on which day, and what. All of it may be left open."""

    person = OneCodeField(labels={}, required=False, label="Done by")
    patient = WholeField(label="Id of the patient")
    day = DateField(label="Day")
    action = OneCodeField(labels={}, required=False, label="What")

    def __init__(self, *args: Any, of_looks: bool, **more: Any) -> None:
        super().__init__(*args, born=ANY_DAY, **more)
        people = sorted((printed_name(user), str(user.pk)) for user in User.objects.all())
        actions = KINDS_OF_LOOK if of_looks else {name: name for name in actions_told()}
        for field, found in (("person", {pk: name for name, pk in people}), ("action", actions)):
            choices = [("", "all"), *found.items()]
            self.fields[field].choices = choices  # type: ignore[attr-defined]

    def clean_day(self) -> dt.date | None:
        """Return the day; asks for another one where there can be no line."""
        text = self.cleaned_data["day"]
        day = dt.date.fromisoformat(text) if text else None
        if day is not None and not _FIRST <= day <= self.as_of:
            raise forms.ValidationError(f"Write a day from {_FIRST.year} to today.")
        return day

    def asked(self, before: int | None) -> Asked:
        """Return what is asked for; the form must be valid."""
        held = self.cleaned_data
        return Asked(
            person=int(held["person"]) if held["person"] else None,
            patient=held["patient"],
            day=held["day"],
            action=held["action"] or "",
            before=before,
        )
