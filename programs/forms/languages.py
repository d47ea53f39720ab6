"""The form that turns languages of papers on and off, and tells who read them."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.forms.fields import DateField, OneCodeField, TextField
from patients.forms.from_questions import SheetForm
from programs.actions.languages import InUse, languages_in_force, newest_row, why_not_read

ON, OFF = "on", "off"
CHOICES = {ON: "On: papers can be made in it", OFF: "Off"}


class LanguagesForm(SheetForm):
    """For each language but English: whether it is on, who read it, and on which day."""

    def __init__(self, *args: Any, today: dt.date, **more: Any) -> None:
        self.held = languages_in_force()
        super().__init__(*args, born=dt.date.min, as_of=today, initial=self._now(), **more)
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
        self.needed = [f"on_{code}" for code in self.held]
        for code, one in self.held.items():
            name = one.of.name
            self.fields[f"on_{code}"] = OneCodeField(
                labels=CHOICES, required=True, label=f"{name} ({one.of.own_name})"
            )
            self.fields[f"read_by_{code}"] = TextField(
                label=f"Who read the {name} texts",
                max_length=120,
                help_text="A clinician who speaks it; empty while nobody has",
            )
            self.fields[f"read_on_{code}"] = DateField(label=f"Day on which the {name} was read")

    def _now(self) -> dict[str, Any]:
        told: dict[str, Any] = {"seen": newest_row()}
        for code, one in self.held.items():
            told[f"on_{code}"] = ON if one.on else OFF
            told[f"read_by_{code}"] = one.read_by
            told[f"read_on_{code}"] = one.read_on.isoformat() if one.read_on else ""
        return told

    def refused(self, why: str) -> None:
        """Say why nothing was set; what is typed stays, and what was seen is what is set now."""
        self.data = {**self.data.dict(), "seen": str(newest_row())}  # type: ignore[attr-defined]
        self.add_error(None, why)

    def clean(self) -> dict[str, Any]:
        """Ask for a name with each day, and for a day with each name."""
        cleaned = super().clean() or {}
        for code in self.held:
            if not cleaned.get(f"on_{code}") and f"on_{code}" not in self.errors:
                self.add_error(f"on_{code}", "Choose whether it is on.")
            if not {f"read_by_{code}", f"read_on_{code}"} & set(self.errors):
                self._look_at_reading(code)
        return cleaned

    def _look_at_reading(self, code: str) -> None:
        one = self._reading(code)
        of_name, of_day = why_not_read(one["read_by"], one["read_on"], self.as_of)
        if of_name:
            self.add_error(f"read_by_{code}", of_name)
        if of_day:
            self.add_error(f"read_on_{code}", of_day)

    def _reading(self, code: str) -> dict[str, Any]:
        told = self.cleaned_data.get(f"read_on_{code}")
        return {
            "read_by": self.cleaned_data.get(f"read_by_{code}") or "",
            "read_on": dt.date.fromisoformat(told) if told else None,
        }

    @property
    def given(self) -> list[InUse]:
        """Return what was typed, a language each."""
        return [
            InUse(language=code, on=self.cleaned_data[f"on_{code}"] == ON, **self._reading(code))
            for code in self.held
        ]
