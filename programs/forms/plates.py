"""Forms of the clinic's plates, made from the same declarations as a patient's."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.facts.declared_plate import Plate
from patients.forms.fields import DateField, TextField
from patients.forms.from_questions import DeclaredForm, SheetForm, declared_form
from programs.dose.plate_settings import SIDE_ALTERNATING
from programs.plates.measured_motion import Measurement, problem, unknown_setting
from programs.plates.recording.table import LARGEST_BYTES
from programs.plates.recording.worked import Asked

#: Before any plate was built; measurements are of the clinic and have no birth to follow.
EARLIEST = dt.date(1950, 1, 1)
#: Of a measurement, what only a recording gives.
OF_A_RECORDING = ("hz_half", "mm_half", "g_half", "recording")


class ClinicPlateForm(declared_form(Plate, without=("panel",))):  # type: ignore[misc]
    """One plate of the clinic."""

    def __init__(self, *args: Any, currency: str = "", **more: Any) -> None:
        super().__init__(*args, born=EARLIEST, **more)
        self.fields["price"].unit = currency


class _AtASetting(DeclaredForm):
    """What is said of one setting of a plate, on a day that is past."""

    def __init__(self, *args: Any, plate: Plate, **more: Any) -> None:
        super().__init__(*args, born=EARLIEST, **more)
        self.plate = plate
        if plate.displacement_mm is None:
            del self.fields["set_mm"]
        if plate.motion != SIDE_ALTERNATING:
            del self.fields["axis_mm"]

    def clean(self) -> dict[str, Any]:
        """Check also that the plate has this setting."""
        on = self.cleaned_data.get("on")
        if on and dt.date.fromisoformat(on) > self.as_of:
            self.add_error("on", "This is after today.")
        cleaned: dict[str, Any] = super().clean()
        if self.fact is not None and (wrong := self.wrong()) is not None:
            field, why = wrong
            self.add_error(field, why)
        return cleaned

    def wrong(self) -> tuple[str, str] | None:
        """Return the field at fault and what is wrong with it, or None."""
        raise NotImplementedError


class MeasurementForm(_AtASetting, declared_form(Measurement, without=OF_A_RECORDING)):  # type: ignore[misc]
    """What was measured on a plate."""

    def wrong(self) -> tuple[str, str] | None:
        """Return what does not belong to a setting of the plate."""
        return problem(self.plate, self.fact)


class RecordingForm(_AtASetting, declared_form(Asked)):  # type: ignore[misc]
    """What is said of a recording of a plate."""

    def clean(self) -> dict[str, Any]:
        """Check also that anything is said at all."""
        cleaned: dict[str, Any] = super().clean()
        if not self.errors and self.fact is None:
            self.add_error(None, "Nothing is filled in.")
        return cleaned

    def wrong(self) -> tuple[str, str] | None:
        """Return what does not belong to a setting of the plate."""
        return unknown_setting(self.plate, self.fact.set_hz, self.fact.set_mm)


class RecordingFileForm(RecordingForm):
    """The same, with its file."""

    needed = ("file", "on", "load_kg", "set_hz", "instrument", "mounting")

    file = forms.FileField(
        label="Recording",
        help_text="CSV with the time and one to three axes. Half a minute is enough.",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv", "class": "form-control"}),
    )

    def clean_file(self) -> Any:
        """Ask for a file that is not empty and not too large."""
        sent = self.cleaned_data["file"]
        if sent is None:
            raise forms.ValidationError("Choose a file that is not empty.")
        if sent.size > LARGEST_BYTES:
            most = LARGEST_BYTES // 1024**2
            raise forms.ValidationError(f"The file is larger than {most} MB.")
        return sent


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


class RepairForm(SheetForm):
    """When a plate was repaired; an empty day takes back what was entered in error."""

    needed = ("reason",)

    on = DateField(
        label="Repaired on",
        help_text="Leave it empty to take a repair back that was entered in error",
    )
    reason = TextField(
        label="What was repaired, or why it is taken back", help_text="Like: new motor"
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, born=EARLIEST, **more)

    def clean_on(self) -> dt.date | None:
        """Refuse a day to come."""
        on = self.cleaned_data["on"]
        if on and dt.date.fromisoformat(on) > self.as_of:
            raise forms.ValidationError("This is after today.")
        return dt.date.fromisoformat(on) if on else None

    def clean_reason(self) -> str:
        """Ask for a reason."""
        reason: str | None = self.cleaned_data["reason"]
        if not reason:
            raise forms.ValidationError("Say what was repaired.")
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
