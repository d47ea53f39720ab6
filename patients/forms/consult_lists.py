"""The lists of the first consult: what she has is ticked, no to all the others is one box."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from patients.facts.question import asks
from patients.forms.fields import field_for
from patients.forms.tables import AnswersForm, ConditionsForm, MedicinesForm, SymptomsForm


@dataclass(frozen=True, kw_only=True)
class Named:
    """One name of a list: its box, the details asked of a yes, and what is on record."""

    label: str
    box: BoundField
    more: tuple[BoundField, ...]
    held: str

    @property
    def fields(self) -> tuple[BoundField, ...]:
        """Return the box and the details."""
        return (self.box, *self.more)

    @property
    def errors(self) -> list[str]:
        """Return what is wrong beside the name."""
        return [str(error) for field in self.fields for error in field.errors]


class TickedAnswers(AnswersForm):
    """Names to tick; no to all the others is kept as an answer to each name that was shown.

    A box that is not ticked says nothing by itself: what is on record as no stays so, and what
    nobody answered stays not recorded. The names shown are sent along, so that one which was
    added to the list since the page was opened is not answered by it.
    """

    template = "patients/_ticked.html"

    def build(self) -> None:
        """Add a box for each name, and its details."""
        declared = asks(self.of)
        self.fields["rest_is_no"].label = self.head
        self.fields["rest_is_no"].help_text = ""
        self.fields["named"] = forms.CharField(required=False, widget=forms.HiddenInput)
        self.initial["named"] = " ".join(self.shown)
        for code, label in self.shown.items():
            self.fields[f"{code}__answer"] = forms.BooleanField(required=False, label=label)
            for name in self.questions(code)[1:]:
                field = field_for(declared[name])
                field.label = f"{label}: {declared[name].question}"
                self.fields[f"{code}__{name}"] = field

    @property
    def head(self) -> str:
        """Return what the box at the head of the list says."""
        return f"No to all {len(self.shown)}" if not self.held else "No to all the others"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for code in self.shown:
            self.initial[f"{code}__answer"] = self._held(code) == "yes"

    def names(self) -> list[Named]:
        """Return the names of the list as they are shown."""
        return [self._named(code, label) for code, label in self.shown.items()]

    def row_part(self, code: str) -> dict[str, Any]:
        """Return the answer of one name, with the details of a yes."""
        part = super().row_part(code)
        if part.pop("answer", False):
            return {"answer": "yes", **part}
        # What was written of a yes goes with its tick.
        return {"answer": self._held(code)} if self._held(code) == "no" else {}

    def part(self) -> dict[str, Any]:
        """Return the answers; no to all the others goes to the names that were shown."""
        named = str(self.cleaned_data.get("named", "")).split()
        rest = {"answer": "no"} if self.cleaned_data.get("rest_is_no") else {}
        found: dict[str, Any] = {}
        for code in self.shown:
            part = self.row_part(code) or (rest if code in named else {})
            if part:
                found[code] = part["answer"] if set(part) == {"answer"} else part
        return found

    def _held(self, code: str) -> str:
        return str(self.held.get(code, {}).get("answer", ""))

    def _named(self, code: str, label: str) -> Named:
        box, *more = (self[name] for name in self.fields if name.startswith(f"{code}__"))
        return Named(label=label, box=box, more=tuple(more), held=self._held(code))


class TickedConditions(TickedAnswers, ConditionsForm):
    """The conditions, to tick."""


class TickedSymptoms(TickedAnswers, SymptomsForm):
    """The red flags, to tick."""


class TickedMedicines(TickedAnswers, MedicinesForm):
    """The medicines, to tick."""


TICKED: Mapping[str, type[TickedAnswers]] = {
    "symptoms": TickedSymptoms,
    "conditions": TickedConditions,
    "medicines": TickedMedicines,
}
