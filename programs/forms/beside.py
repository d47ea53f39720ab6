"""Forms beside the exercise: what she says of a kind, and what came of the prompts."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms

from patients.forms.fields import DateField, TextField
from patients.forms.from_questions import SheetForm
from programs.actions.beside import Told
from programs.beside.prompts import ANSWERS, PROMPTS, REFERRED
from programs.beside.said import REFUSES, SAID
from programs.forms.who_and_when import NAME_LETTERS, day_told, name_told
from safety.findings import Modality
from safety.modalities import MODALITIES

#: Most letters of what she said, and of a note.
WORDS_LETTERS = 500


class SaidForm(SheetForm):
    """Consent or refusal of a kind: which, what was said, in whose words, who asked, when."""

    modality = forms.ChoiceField(
        label="Kind",
        choices=[("", "– choose –"), *((str(m), row.name) for m, row in MODALITIES.items())],
        error_messages={"required": "Choose the kind."},
    )
    said = forms.ChoiceField(
        label="What was said",
        choices=list(SAID.items()),
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it is agreed to or not wanted."},
    )
    words = forms.CharField(
        label="In the person’s own words",
        required=False,
        strip=True,
        max_length=WORDS_LETTERS,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed for a refusal",
    )
    asked_by = TextField(label="Asked by", help_text="Name or role of who asked")
    on = DateField(label="Said on")
    needed = ("asked_by", "on")

    def clean_asked_by(self) -> str:
        """Return who asked; there must be somebody."""
        return name_told(self.cleaned_data["asked_by"], "Say who asked.")

    def clean_on(self) -> dt.date:
        """Return the day, today at the latest."""
        return day_told(self.cleaned_data["on"], self.as_of)

    def clean(self) -> dict[str, Any]:
        """Ask for the words of a refusal."""
        cleaned = super().clean() or {}
        if cleaned.get("said") == REFUSES and not cleaned.get("words") and not self.errors:
            self.add_error("words", "Write down the refusal in the person’s own words.")
        return cleaned

    def said_of(self) -> dict[str, Any]:
        """Return what the action takes."""
        return {**self.cleaned_data, "modality": Modality(self.cleaned_data["modality"])}


class PromptsForm(SheetForm):
    """An answer to each prompt of which something came today; the rest stay as they are."""

    on = DateField(label="Answered on")
    needed = ("on",)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for code, prompt in PROMPTS.items():
            self.fields[f"{code}-answer"] = forms.ChoiceField(
                label=prompt.title,
                choices=[("", "no new answer"), *ANSWERS.items()],
                required=False,
            )
            self.fields[f"{code}-to"] = TextField(label=f"{prompt.title}: referred to")
            self.fields[f"{code}-note"] = TextField(label=f"{prompt.title}: note")

    def clean_on(self) -> dt.date:
        """Return the day, today at the latest."""
        return day_told(self.cleaned_data["on"], self.as_of)

    def clean(self) -> dict[str, Any]:
        """Ask to whom a referral goes, and for an answer where a text stands without one."""
        cleaned = super().clean() or {}
        for code in PROMPTS:
            answer, to, note = (cleaned.get(f"{code}-{part}") or "" for part in _PARTS)
            if answer == REFERRED and not to and f"{code}-to" not in self.errors:
                self.add_error(f"{code}-to", "Say to whom.")
            elif len(to) > NAME_LETTERS:
                self.add_error(f"{code}-to", f"At most {NAME_LETTERS} letters.")
            if (to and answer != REFERRED) or (note and not answer):
                self.add_error(f"{code}-answer", "Choose the answer that this belongs to.")
        if not self.errors and not self.told():
            self.add_error(None, "Answer at least one of them.")
        return cleaned

    def told(self) -> list[Told]:
        """Return the answers that were given."""
        found = []
        for code in PROMPTS:
            answer, to, note = (self.cleaned_data.get(f"{code}-{part}") or "" for part in _PARTS)
            if answer:
                found.append(Told(prompt=code, answer=answer, to=to, note=note))
        return found


_PARTS = ("answer", "to", "note")
