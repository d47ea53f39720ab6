"""The form that puts a file of the evidence watch in the place of the one there."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.forms.fields import TextField
from patients.forms.from_questions import SheetForm
from programs.actions.evidence_watch import newest_row
from programs.watch.file import MOST_BYTES


class EvidenceFileForm(SheetForm):
    """The file, and why where it is older than the one there."""

    needed = ("file",)

    file = forms.FileField(
        label="File of the evidence watch",
        help_text="JSON, as this page gives it",
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".json,application/json", "class": "form-control"}),
    )
    reason = TextField(
        label="Why an older file should take its place",
        help_text="Only where it is older, or says less, than the one in force",
    )

    def __init__(self, *args: Any, today: dt.date, **more: Any) -> None:
        more["initial"] = {"seen": newest_row()}
        super().__init__(*args, born=dt.date.min, as_of=today, **more)
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    def clean_file(self) -> Any:
        """Ask for a file that is there and not too large."""
        sent = self.cleaned_data["file"]
        if sent is None or not sent.size:
            raise forms.ValidationError("Choose a file that is not empty.")
        if sent.size > MOST_BYTES:
            raise forms.ValidationError(f"The file is larger than {MOST_BYTES // 1024**2} MB.")
        return sent

    def refused(self, field: str | None, why: str) -> None:
        """Say why nothing was put in; what was seen is what is in force now."""
        self.data = {**dict(self.data.items()), "seen": str(newest_row())}
        self.add_error(field, why)
