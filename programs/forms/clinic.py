"""Forms of the clinic's settings."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.forms.fields import NumberField, OneCodeField, TextField, WholeField
from patients.forms.from_questions import SheetForm
from programs.actions.emergency_numbers import (
    Emergency,
    emergencies_in_force,
    newest_row,
    why_no_number,
    why_no_phone,
)
from programs.actions.languages import languages_on
from programs.dose.clinic_limits import CLINIC_LIMITS
from programs.models.clinic import PAPERS
from programs.retention import LEAST_YEARS, MOST_YEARS, why_not_years

#: These forms hold no date; the days between which dates lie are not used.
ANY_DAY = dt.date(1950, 1, 1)


class LimitForm(SheetForm):
    """One limit of the clinic."""

    value = NumberField(decimals=1, label="In force here")
    reason = TextField(
        label="Reason", help_text="Needed where this allows more than the rulebook does"
    )

    def __init__(self, *args: Any, name: str, **more: Any) -> None:
        super().__init__(*args, born=ANY_DAY, as_of=ANY_DAY, **more)
        limit = CLINIC_LIMITS[name]
        self.limit = limit
        self.fields["value"].unit = limit.unit  # type: ignore[attr-defined]
        low, high = sorted((limit.tightest, limit.loosest))
        least = "at least" if limit.floor else "at most"
        self.fields["value"].label = f"{limit.text}, {least}"
        self.fields["value"].help_text = f"{low:g} to {high:g}; the rulebook has {limit.value:g}"

    def clean_value(self) -> float:
        """Ask for a value that the limit may have, whole where it is counted."""
        value: float | None = self.cleaned_data["value"]
        if value is None:
            raise forms.ValidationError("Write a number.")
        if value != round(value) and self.limit.counted:
            raise forms.ValidationError("Write a whole number.")
        if problem := self.limit.problem(value):
            raise forms.ValidationError(problem)
        return value

    def clean(self) -> dict[str, Any]:
        """Ask for a reason where the limit is loosened."""
        cleaned = super().clean() or {}
        value = cleaned.get("value")
        if value is not None and self.limit.is_looser(value) and not cleaned.get("reason"):
            words = "This allows more than the rulebook does. Write down the reason."
            self.add_error("reason", words)
        return cleaned


class DetailsForm(SheetForm):
    """How the clinic is called and reached."""

    needed = ("paper",)

    name = TextField(label="Name of the clinic", max_length=120, help_text="Printed on papers")
    phone = TextField(
        label="Telephone", max_length=60, help_text="One number; patients are told to call it"
    )
    address = TextField(label="Address", max_length=200)
    paper = OneCodeField(labels=dict(PAPERS), required=True, label="Paper size")
    currency = TextField(
        label="Currency", max_length=12, help_text="Of the prices of plates, like: EUR"
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, born=ANY_DAY, as_of=ANY_DAY, **more)

    def clean_paper(self) -> str:
        """Ask for a paper size."""
        paper: str = self.cleaned_data["paper"]
        if not paper:
            raise forms.ValidationError("Choose a paper size.")
        return paper

    def clean_phone(self) -> str:
        """Ask for a number that has room in its box."""
        phone: str = self.cleaned_data["phone"] or ""
        if problem := why_no_phone(phone):
            raise forms.ValidationError(problem)
        return phone


class EmergencyForm(SheetForm):
    """Whom to call in an emergency: a number and the clinic's own words, for each language."""

    def __init__(self, *args: Any, **more: Any) -> None:
        initial = {
            f"{part}_{code}": getattr(held, part)
            for code, held in emergencies_in_force().items()
            for part in ("number", "words")
        }
        initial["seen"] = newest_row()
        super().__init__(*args, born=ANY_DAY, as_of=ANY_DAY, initial=initial, **more)
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
        for code, name in languages_on():
            self.fields[f"number_{code}"] = TextField(
                label=f"Emergency number, for papers in {name}",
                max_length=30,
                help_text="The number alone, as it is dialled, such as 112",
            )
            self.fields[f"words_{code}"] = TextField(
                label=f"Own words beside it, in {name}",
                max_length=80,
                help_text="Printed as typed, so write them in this language; may be empty",
            )

    def refused(self, why: str) -> None:
        """Say why nothing was set; what is typed stays, and what was seen is what is set now."""
        self.data = {**self.data.dict(), "seen": str(newest_row())}  # type: ignore[attr-defined]
        self.add_error(None, why)

    @property
    def given(self) -> list[Emergency]:
        """Return what was typed, a language each."""
        told = {key: value or "" for key, value in self.cleaned_data.items()}
        return [
            Emergency(language=code, number=told[f"number_{code}"], words=told[f"words_{code}"])
            for code, _ in languages_on()
        ]

    def clean(self) -> dict[str, Any]:
        """Ask for numbers that are numbers, and that have room in their box."""
        cleaned = super().clean() or {}
        for code, _ in languages_on():
            if problem := why_no_number(cleaned.get(f"number_{code}") or ""):
                self.add_error(f"number_{code}", problem)
        return cleaned


class RetentionForm(SheetForm):
    """For how many years records are kept."""

    years = WholeField(
        label="Years after the last contact",
        unit="years",
        help_text=f"{LEAST_YEARS} to {MOST_YEARS}; empty: no time is set",
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, born=ANY_DAY, as_of=ANY_DAY, **more)

    def clean_years(self) -> int | None:
        """Ask for a time that is believable."""
        years: int | None = self.cleaned_data["years"]
        if problem := why_not_years(years):
            raise forms.ValidationError(problem)
        return years
