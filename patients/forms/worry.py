"""The seven answers of the worry scale, each a row of four to choose from."""

from __future__ import annotations

from typing import Any

from django import forms

from patients.forms.from_questions import SheetForm
from patients.measured import worry
from patients.models.patient import FunctionTestDay, Measured

_POINTS = range(worry.LEAST, worry.MOST + 1)


class WorryForm(SheetForm):
    """How worried she is in each activity, from 1 to 4, or no answer."""

    template = "patients/_worry.html"
    licence = worry.LICENCE

    def __init__(self, *args: Any, corrects: Measured | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        held = corrects.worry if isinstance(corrects, FunctionTestDay) else None
        choices = [*((str(n), str(n)) for n in _POINTS), ("", "no answer")]
        for place, (code, label) in enumerate(worry.ITEMS.items()):
            self.fields[code] = forms.ChoiceField(
                choices=choices, widget=forms.RadioSelect, required=False, label=label.capitalize()
            )
            answer = held[place] if held else None
            self.initial[code] = "" if answer is None else str(answer)

    def answers(self) -> list[int | None] | None:
        """Return the seven answers, or None where all are blank."""
        typed = [self.cleaned_data.get(code) for code in worry.ITEMS]
        return [int(text) if text else None for text in typed] if any(typed) else None
