"""Who said or was asked something, and on which day, as several forms take them."""

from __future__ import annotations

import datetime as dt

from django import forms

NAME_LETTERS = 120


def name_told(name: str | None, lacks: str) -> str:
    """Return a name; raises ValidationError with `lacks` where there is none, or it is too long."""
    if not name:
        raise forms.ValidationError(lacks)
    if len(name) > NAME_LETTERS:
        raise forms.ValidationError(f"At most {NAME_LETTERS} letters.")
    return name


def day_told(text: str | None, last: dt.date, first: dt.date = dt.date.min) -> dt.date:
    """Return a day from the first to the last; raises ValidationError for none or another."""
    if text is None:
        raise forms.ValidationError("Write the day.")
    day = dt.date.fromisoformat(text)
    if day > last:
        raise forms.ValidationError("The day is still to come.")
    if day < first:
        raise forms.ValidationError("The day lies before it was asked.")
    return day
