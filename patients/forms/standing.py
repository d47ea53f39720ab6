"""Forms of a record's standing: closed, opened again, joined, looked through, taken apart."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

from django import forms

from patients.forms.fields import DateField, TextField
from patients.forms.from_questions import SheetForm
from patients.joining import HERE, THERE, Clash
from patients.models.patient import Measured
from patients.models.standing import WHY_CLOSED

#: What must be looked at before a double counts as looked through.
TO_LOOK_AT = {
    "fractures": "Fractures",
    "falls": "Falls, in the answers and in the log",
    "conditions": "Conditions, red flags and medicines",
    "clearances": "Clearances",
    "papers": "Programs signed there, and whether she still holds their papers",
}


class CloseForm(SheetForm):
    """Why and when a record is closed."""

    needed = ("on",)

    what = forms.ChoiceField(
        choices=[*WHY_CLOSED.items()],
        widget=forms.RadioSelect,
        label="Why",
        error_messages={"required": "Say why the record is closed."},
    )
    on = DateField(label="On which day")
    note = TextField(label="Note", help_text="Who told it, where she moved; may be left empty")

    def clean_on(self) -> dt.date | None:
        """Return the day, where it is one on which it can have been."""
        text: str | None = self.cleaned_data["on"]
        if text is None:
            raise forms.ValidationError("Write the day.")
        day = dt.date.fromisoformat(text)
        if day > self.as_of:
            raise forms.ValidationError("This day lies after today.")
        if day < self.born_on:
            raise forms.ValidationError("This day lies before the date of birth.")
        return day


class ReasonForm(SheetForm):
    """A reason; `missing` is what is said where there is none."""

    needed = ("reason",)

    reason = TextField(label="Reason")

    def __init__(self, *args: Any, label: str, missing: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].label, self.missing = label, missing

    def clean_reason(self) -> str:
        """Return the reason; there must be one."""
        if not self.cleaned_data["reason"]:
            raise forms.ValidationError(self.missing)
        return str(self.cleaned_data["reason"])


class JoinForm(ReasonForm):
    """Each clash of two records, asked; and why they are one person's."""

    def __init__(
        self, *args: Any, clashes: Iterable[Clash], into: int, double: int, **kwargs: Any
    ) -> None:
        missing = "Say how you know that they are one person."
        super().__init__(
            *args, label="How you know that they are one person", missing=missing, **kwargs
        )
        asked = {clash.name: _asked(clash, into, double) for clash in clashes}
        self.fields = {**asked, **self.fields}

    def choices(self) -> dict[str, str]:
        """Return what was chosen, by the name of the clash."""
        return {name: value for name, value in self.cleaned_data.items() if ":" in name}


def _asked(clash: Clash, into: int, double: int) -> forms.ChoiceField:
    if clash.of_row:
        choices = [
            (THERE, f"enter it under id {into} too"),
            (HERE, f"leave it under id {double} only"),
        ]
    else:
        choices = [
            (HERE, f"{clash.here} (id {into})"),
            (THERE, f"{clash.there} (id {double})"),
        ]
    return forms.ChoiceField(
        choices=choices,
        widget=forms.RadioSelect,
        label=clash.question,
        error_messages={"required": "Choose one."},
    )


class LookedThroughForm(SheetForm):
    """Everything that must be looked at, ticked one by one."""

    note = TextField(label="Note", help_text="What follows from it; may be left empty")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ticks = {
            name: forms.BooleanField(
                label=label, error_messages={"required": "Look at it, then tick it."}
            )
            for name, label in TO_LOOK_AT.items()
        }
        self.fields = {**ticks, **self.fields}


class ApartForm(ReasonForm):
    """Why two joined records are two people's, and which rows go again."""

    def __init__(
        self, *args: Any, rows: Iterable[tuple[str, Measured, str]], **kwargs: Any
    ) -> None:
        missing = "Say how you know that they are two people."
        super().__init__(
            *args, label="How you know that they are two people", missing=missing, **kwargs
        )
        ticks = {
            f"{kind}-{row.pk}": forms.BooleanField(
                label=f"Strike out: {words}", required=False, initial=True
            )
            for kind, row, words in rows
        }
        self.fields = {**ticks, **self.fields}

    def strike(self) -> list[tuple[str, int]]:
        """Return kind and number of each row to strike out."""
        ticked = [name for name, value in self.cleaned_data.items() if value is True]
        return [(kind, int(number)) for kind, _, number in (name.partition("-") for name in ticked)]
