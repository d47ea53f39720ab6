"""Forms of the clinic's plates, made from the same declarations as a patient's."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.facts.declared import Plate
from patients.forms.fields import TextField
from patients.forms.from_questions import SheetForm, declared_form
from programs.plates.measured_motion import Measurement, problem

#: Before any plate was built; measurements are of the clinic and have no birth to follow.
EARLIEST = dt.date(1950, 1, 1)


class ClinicPlateForm(declared_form(Plate)):  # type: ignore[misc]
    """One plate of the clinic."""

    def __init__(self, *args: Any, currency: str = "", **more: Any) -> None:
        super().__init__(*args, born=EARLIEST, **more)
        self.fields["price"].unit = currency


class MeasurementForm(declared_form(Measurement)):  # type: ignore[misc]
    """What was measured on a plate."""

    def __init__(self, *args: Any, plate: Plate, **more: Any) -> None:
        super().__init__(*args, born=EARLIEST, **more)
        self.plate = plate
        if plate.displacement_mm is None:
            del self.fields["set_mm"]

    def clean(self) -> dict[str, Any]:
        """Check also that the plate has this setting."""
        on = self.cleaned_data.get("on")
        if on and dt.date.fromisoformat(on) > self.as_of:
            self.add_error("on", "This is after today.")
        cleaned: dict[str, Any] = super().clean()
        if self.fact is not None and (wrong := problem(self.plate, self.fact)) is not None:
            field, why = wrong
            self.add_error(field, why)
        return cleaned


class RetireForm(SheetForm):
    """Why a plate is no longer used."""

    reason = TextField(label="Why it is no longer used", help_text="Like: sold, broken, replaced")

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, born=EARLIEST, **more)

    def clean_reason(self) -> str:
        """Ask for a reason."""
        reason: str | None = self.cleaned_data["reason"]
        if not reason:
            raise forms.ValidationError("Say why it is no longer used.")
        return reason


class LinesForm(SheetForm):
    """Plates typed as lines."""

    needed = ("lines",)

    lines = forms.CharField(
        label="One plate a line",
        help_text="Leave an entry empty where it is not known, but keep its semicolon.",
        required=False,
        strip=False,
        max_length=40_000,
        widget=forms.Textarea(attrs={"rows": 8, "autocomplete": "off", "spellcheck": "false"}),
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, born=EARLIEST, **more)
