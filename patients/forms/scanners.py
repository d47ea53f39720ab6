"""Forms of the scanners page: a scanner, a precision study, a reason to strike one out."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.actions.scanners import Study
from patients.facts import codes
from patients.forms.fields import DateField, NumberField, OneCodeField, TextField, WholeField
from patients.forms.from_questions import SheetForm
from patients.scanners.precision_sheet import StudySheet, read_sheet


class PlainForm(SheetForm):
    """A form that is about no patient."""

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, born=dt.date(1900, 1, 1), as_of=today, **kwargs)


class ScannerForm(PlainForm):
    """Name and note of a scanner."""

    needed = ("name",)

    name = TextField(label="Name", help_text="As it is written with the scans")
    note = TextField(label="Note", help_text="Room, model, when it was moved or exchanged")

    def clean_name(self) -> str:
        """Ask for the name."""
        name: str | None = self.cleaned_data["name"]
        if not name:
            raise forms.ValidationError("Write the name of the scanner.")
        return name


class StudyForm(PlainForm):
    """A precision study: the sheet of people, or the error where only that is known."""

    needed = ("site", "made_on")

    site = OneCodeField(labels=codes.SCAN_SITES, required=True, label="Site")
    made_on = DateField(label="Last day of the study")
    rows = forms.CharField(
        required=False,
        label="Densities, g/cm²",
        help_text="A row for each person: two or three densities, with a tab, semicolon or "
        "space between. 30 people twice or 15 three times, off the table and on again.",
        widget=forms.Textarea(attrs={"rows": 12, "autocomplete": "off", "spellcheck": "false"}),
    )
    rms_sd = NumberField(
        decimals=6, unit="g/cm²", label="Or: precision error (RMS-SD), as known from a report"
    )
    freedom = WholeField(
        label="and the degrees of freedom of that study",
        help_text="People times (repeats less one): 30 for 30 people twice",
    )
    note = TextField(label="Note", help_text="Who scanned, whom")

    def clean(self) -> dict[str, Any]:
        """Ask for the sheet or the error, not both."""
        cleaned = super().clean() or {}
        for name, ask in (("site", "Choose the site."), ("made_on", "Write the day.")):
            if not cleaned.get(name) and name not in self.errors:
                self.add_error(name, ask)
        typed, error = (cleaned.get("rows") or "").strip(), cleaned.get("rms_sd")
        if bool(typed) == (error is not None):
            self.add_error("rows", "Fill in the densities, or else the error, not both.")
        elif typed:
            self._read_rows(typed)
        elif not 0.0005 <= (error or 0) <= 0.2:
            self.add_error("rms_sd", "Check this: 0.0005 to 0.2 g/cm² is expected.")
        elif not cleaned.get("freedom"):
            self.add_error("freedom", "Write the degrees of freedom.")
        return cleaned

    def _read_rows(self, typed: str) -> None:
        sheet = read_sheet(typed)
        if isinstance(sheet, StudySheet):
            self.cleaned_data["people"] = sheet.people
            return
        for problem in sheet[:10]:
            at = f"{problem.at[:1].upper()}{problem.at[1:]}: " if problem.at else ""
            self.add_error("rows", f"{at}{problem.text}")

    def study(self) -> Study:
        """Return what was filled in."""
        typed = self.cleaned_data
        return Study(
            site=typed["site"],
            made_on=dt.date.fromisoformat(typed["made_on"]),
            people=typed.get("people"),
            rms_sd_g_cm2=typed["rms_sd"] or 0.0,
            freedom=typed["freedom"] or 0,
            note=typed["note"] or "",
        )
