"""Forms of the clinic's settings."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.forms.declared import SheetForm
from patients.forms.fields import NumberField, OneCodeField, TextField
from programs.clinic_limits import CLINIC_LIMITS
from programs.models_clinic import PAPERS

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

    name = TextField(label="Name of the clinic", max_length=120, help_text="Printed on papers")
    phone = TextField(label="Telephone", max_length=60)
    address = TextField(label="Address", max_length=200)
    paper = OneCodeField(labels=dict(PAPERS), required=True, label="Paper size")
    emergency = TextField(
        label="Emergency words",
        max_length=200,
        help_text="Like: Call 112, day and night",
    )

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
