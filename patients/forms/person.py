"""Forms about the person herself: who she is, her size, and striking an entry out."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.actions.patient_record import Identity, identity_of
from patients.facts import codes
from patients.facts.ages import age_on
from patients.facts.declared import Person
from patients.facts.partial_dates import Span
from patients.facts.typed_dates import EstimatedYear, parse_birth, span_words
from patients.forms.fields import DateField, OneCodeField, SpanField, TextField
from patients.forms.from_questions import DeclaredForm, SheetForm, declared_form
from patients.models.patient import Measured, Patient, SizeRow, stored

#: Older than anyone known; a greater age is a slip of the key.
OLDEST_YEARS = 115


class BirthField(SpanField):
    """A date of birth, or an age like "about 70", of which the year of birth is estimated."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**more)
        self.unit = "like 14 Mar 1959, 1959 or about 70"
        self.today = dt.date.max

    def parse(self, text: str) -> Span:
        """Return the span; raises Unreadable."""
        return parse_birth(text, self.today)

    def reading(self, text: str) -> str:
        """Return the date in words, or that it was estimated."""
        return span_words(self.parse(text))


class IdentityForm(SheetForm):
    """Name, date of birth, sex and record number; where sex and gender differ, both."""

    needed = ("given_name", "family_name", "born", "sex")

    given_name = TextField(label="Given name", max_length=120)
    family_name = TextField(label="Family name", max_length=120)
    goes_by = TextField(
        label="Preferred name",
        max_length=120,
        help_text="Where it differs from the given name; the papers use it",
    )
    born = BirthField(label="Date of birth")
    sex = OneCodeField(
        labels=codes.SEXES, required=True, label="Sex", help_text="Decides T or Z, and norms"
    )
    gender = TextField(
        label="Gender, if it differs from the sex above",
        max_length=60,
        help_text="In the person’s own words",
    )
    table_sex = OneCodeField(
        labels=codes.TABLE_SEXES,
        required=False,
        label="Risk tables",
        help_text="Needed where sex and gender differ. It picks the table for chair stands and "
        "grip; every other rule goes by the sex above",
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
        birth = self.fields["born"]
        assert isinstance(birth, BirthField)
        birth.today = today

    def ask_reason(self) -> None:
        """Show the question why this is another person than those found."""
        self.fields["reason"].widget = forms.TextInput({"autocomplete": "off"})

    def clean_born(self) -> Span | None:
        """Return the date of birth, where it is one that a person here can have."""
        born: Span | None = self.cleaned_data["born"]
        if born is None:
            return None
        if born.first > self.as_of:
            raise forms.ValidationError("This date lies after today.")
        if age_on(born.until(self.as_of), self.as_of) > OLDEST_YEARS:
            raise forms.ValidationError(f"More than {OLDEST_YEARS} years ago. Check the year.")
        return born

    def clean(self) -> dict[str, Any]:
        """Ask for what every patient has."""
        cleaned = super().clean() or {}
        for name in self.fields:
            if name in self.needed and not cleaned.get(name) and name not in self.errors:
                self.add_error(name, "This is needed.")
        if cleaned.get("gender") and not cleaned.get("table_sex"):
            self.add_error("table_sex", "Say by which risk tables to read; “both” where unsure.")
        return cleaned

    def identity(self) -> Identity:
        """Return who she is."""
        born: Span = self.cleaned_data["born"]
        texts: dict[str, Any] = {name: self.cleaned_data[name] or "" for name in _TEXTS}
        estimated = isinstance(born, EstimatedYear)
        return Identity(**texts, born=born.first, born_is=born.known, born_estimated=estimated)


_TEXTS = (
    *("given_name", "family_name", "goes_by", "sex", "gender", "table_sex"),
    "record_number",
)


def identity_as_typed(patient: Patient) -> dict[str, Any]:
    """Return who she is on record, as the form would be filled in."""
    born = f"about {patient.born:%Y}" if patient.born_estimated else patient.born_as_told
    return {**vars(identity_of(patient)), "born": born}


class WithdrawForm(SheetForm):
    """Why an entry was wrong."""

    needed = ("reason",)

    reason = TextField(label="What was wrong", help_text="Like: belongs to another patient")

    def clean_reason(self) -> str:
        """Return the reason; there must be one."""
        if not self.cleaned_data["reason"]:
            raise forms.ValidationError("Say what was wrong.")
        return str(self.cleaned_data["reason"])


_ASKED = ("height_cm", "weight_kg", "tallest_height_cm", "mobility", "menopause", "pregnant")
_SIZES = ("height_cm", "weight_kg")


class AboutForm(declared_form(Person, only=_ASKED)):  # type: ignore[misc]
    """Size of a day, tallest height, and for women stage of life and pregnancy."""

    measured_on = DateField(label="Height and weight measured on")
    field_order: tuple[str, ...] = ("measured_on", *_ASKED)

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
        return SizeRow(date=day, **{name: stored(self.cleaned_data.get(name)) for name in _SIZES})

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
