"""Forms about the person herself: who she is, her size, and striking an entry out."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients import codes
from patients.actions import Identity
from patients.ages import age_on
from patients.facts import Person
from patients.forms.declared import DeclaredForm, SheetForm, declared_form
from patients.forms.fields import DateField, OneCodeField, TextField
from patients.models import Measured, SizeRow, stored

#: Older than anyone known; a greater age is a slip of the key.
OLDEST_YEARS = 115


class IdentityForm(SheetForm):
    """Name, date of birth, sex and record number."""

    given_name = TextField(label="Given name", max_length=120)
    family_name = TextField(label="Family name", max_length=120)
    born = DateField(label="Date of birth")
    sex = OneCodeField(
        labels=codes.SEXES, required=True, label="Sex", help_text="Decides T or Z, and norms"
    )
    record_number = TextField(
        label="Record number", max_length=40, help_text="The clinic's own; may be left empty"
    )
    reason = forms.CharField(
        required=False,
        max_length=200,
        label="Why this is another person",
        widget=forms.HiddenInput,
    )

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, born=dt.date.min, as_of=today, **kwargs)

    def ask_reason(self) -> None:
        """Show the question why this is another person than those found."""
        self.fields["reason"].widget = forms.TextInput({"autocomplete": "off"})

    def clean_born(self) -> dt.date | None:
        """Return the date of birth, where it is one that a person here can have."""
        text = self.cleaned_data["born"]
        if text is None:
            return None
        born = dt.date.fromisoformat(text)
        if born > self.as_of:
            raise forms.ValidationError("This date lies after today.")
        if age_on(born, self.as_of) > OLDEST_YEARS:
            raise forms.ValidationError(f"More than {OLDEST_YEARS} years ago. Check the year.")
        return born

    def clean(self) -> dict[str, Any]:
        """Ask for what every patient has."""
        cleaned = super().clean() or {}
        for name in ("given_name", "family_name", "born", "sex"):
            if not cleaned.get(name) and name not in self.errors:
                self.add_error(name, "This is needed.")
        return cleaned

    def identity(self) -> Identity:
        """Return who she is."""
        values: dict[str, Any] = {
            name: self.cleaned_data[name] or "" for name in Identity.__annotations__
        }
        return Identity(**values)


class WithdrawForm(SheetForm):
    """Why an entry was wrong."""

    reason = TextField(label="What was wrong", help_text="Like: belongs to another patient")

    def clean_reason(self) -> str:
        """Return the reason; there must be one."""
        if not self.cleaned_data["reason"]:
            raise forms.ValidationError("Say what was wrong.")
        return str(self.cleaned_data["reason"])


_ASKED = ("height_cm", "weight_kg", "tallest_height_cm", "menopause", "pregnant")
_SIZES = ("height_cm", "weight_kg")


class AboutForm(declared_form(Person, only=_ASKED)):  # type: ignore[misc]
    """Size of a day, tallest height, and for women stage of life and pregnancy."""

    measured_on = DateField(label="Height and weight measured on")
    field_order = ("measured_on", *_ASKED)

    def __init__(self, *args: Any, corrects: Measured | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["measured_on"] = self.as_of.isoformat()
        self.fields["height_cm"].label = "Height"
        if self.given["sex"] == "male":
            del self.fields["menopause"], self.fields["pregnant"]
        if isinstance(corrects, SizeRow):
            self.initial["measured_on"] = corrects.date.isoformat()
            self.initial |= {name: _number(getattr(corrects, name)) for name in _SIZES}

    def clean(self) -> dict[str, Any]:
        """Check what no single question shows."""
        cleaned: dict[str, Any] = super().clean()
        if cleaned.get("pregnant") == "yes" and cleaned.get("menopause") == "after":
            self.add_error("pregnant", "After menopause and pregnant: check which is right.")
        if self._measured():
            self._check_day(cleaned.get("measured_on"))
        return cleaned

    def part(self) -> dict[str, Any]:
        """Return all that was filled in, size included."""
        return dict(DeclaredForm.part(self))

    def answers(self) -> dict[str, Any]:
        """Return what is asked rather than measured."""
        return {name: value for name, value in self.part().items() if name not in _SIZES}

    def size(self) -> SizeRow | None:
        """Return the size that was filled in, as an unsaved row."""
        if not self._measured():
            return None
        day = dt.date.fromisoformat(self.cleaned_data["measured_on"])
        return SizeRow(date=day, **{name: stored(self.cleaned_data[name]) for name in _SIZES})

    def _measured(self) -> bool:
        return any(self.cleaned_data.get(name) is not None for name in _SIZES)

    def _check_day(self, text: str | None) -> None:
        if "measured_on" in self.errors:
            return
        if text is None:
            self.add_error("measured_on", "Write the day of the measurement.")
        elif dt.date.fromisoformat(text) > self.as_of:
            self.add_error("measured_on", "This is after the day of the assessment.")
        elif dt.date.fromisoformat(text) < self.born_on:
            self.add_error("measured_on", "This is before the date of birth.")


def _number(value: Any) -> float | None:
    return None if value is None else float(value)
