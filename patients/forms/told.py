"""Sheets of what was asked: falls, conditions, red flags, medicines, aims, plates."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from django import forms

from patients import codes
from patients.facts import Experience, Falls, Plate, Resources
from patients.forms.declared import DeclaredForm, SheetForm, declared_form
from patients.forms.fields import OneCodeField
from patients.forms.sheet import Forms, NoneForm, Sheet, filled
from patients.forms.tables import ConditionsForm, MedicinesForm, SymptomsForm
from patients.sections import SECTIONS, value_at

MOST_PLATES = 12

FallsForm = declared_form(Falls)


class FallsSheet(Sheet):
    """Falls of the last twelve months."""

    section = SECTIONS["falls"]

    def make(self) -> Forms:
        """Yield the form."""
        yield "falls", "", self.form("falls", FallsForm, part=self.answers.get("falls"))

    def part(self) -> dict[str, Any]:
        """Return the answers."""
        falls = filled(self.forms["falls"])
        return {"falls": falls} if falls else {}


class AnswersSheet(Sheet):
    """One table of answers."""

    of: ClassVar[type[Any]]

    def make(self) -> Forms:
        """Yield the table."""
        code = self.section.code
        yield code, "", self.form(code, self.of, part=self.answers.get(code))

    def part(self) -> dict[str, Any]:
        """Return the answers."""
        code = self.section.code
        answers = self.forms[code].part()  # type: ignore[attr-defined]
        return {code: answers} if answers else {}


class ConditionsSheet(AnswersSheet):
    """Conditions."""

    section = SECTIONS["conditions"]
    of = ConditionsForm


class SymptomsSheet(AnswersSheet):
    """Red flags."""

    section = SECTIONS["symptoms"]
    of = SymptomsForm


class MedicinesSheet(AnswersSheet):
    """Medicines."""

    section = SECTIONS["medicines"]
    of = MedicinesForm


class AimsForm(SheetForm):
    """Aims, most wanted first."""

    def __init__(self, *args: Any, part: Sequence[str] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for place, word in enumerate(("First", "Second", "Third", "Fourth", "Fifth")):
            name = f"aim{place}"
            label = f"{word} aim"
            self.fields[name] = OneCodeField(labels=codes.AIMS, required=False, label=label)
            self.initial[name] = part[place] if part and place < len(part) else ""

    def clean(self) -> dict[str, Any]:
        """Refuse an aim named twice."""
        cleaned = super().clean() or {}
        named: list[str] = []
        for name in self.fields:
            aim = cleaned.get(name)
            if aim and aim in named:
                self.add_error(name, "This aim is named above.")
            named.append(aim or "")
        return cleaned

    def part(self) -> list[str]:
        """Return the aims in order."""
        return [aim for name in self.fields if (aim := self.cleaned_data.get(name))]


ExperienceForm = declared_form(Experience)
ResourcesForm = declared_form(Resources, without=("plates",))


class AimsSheet(Sheet):
    """Aims, experience, days, minutes, helpers, equipment."""

    section = SECTIONS["aims"]

    def make(self) -> Forms:
        """Yield the forms."""
        yield (
            "aims",
            "Aims, most wanted first",
            self.form("aims", AimsForm, part=self.answers.get("aims")),
        )
        for name, title, of in (
            ("experience", "Experience", ExperienceForm),
            ("resources", "Time, helpers and equipment", ResourcesForm),
        ):
            yield name, title, self.form(name, of, part=self.answers.get(name))

    def part(self) -> dict[str, Any]:
        """Return the answers."""
        parts = {name: form.part() for name, form in self.forms.items()}  # type: ignore[attr-defined]
        return {name: part for name, part in parts.items() if part}


class PlateForm(declared_form(Plate)):  # type: ignore[misc]
    """One plate that she can use."""

    remove = forms.BooleanField(required=False, label="Take this plate off the list")


class PlatesSheet(Sheet):
    """The plates on record, each to be changed or taken off, and room for one more."""

    section = SECTIONS["plates"]
    takes_more = True

    def make(self) -> Forms:
        """Yield a form for each plate and one blank."""
        held = value_at(self.answers, "resources.plates")
        plates = [*(held or []), None]
        self.count = self._sent() or len(plates)
        for index in range(self.count):
            plate = plates[index] if index < len(plates) else None
            title = plate["name"] if plate else "Add a plate"
            form = self.form(f"plate{index}", PlateForm, part=plate)
            if plate is None:
                del form.fields["remove"]
            yield f"plate{index}", title, form
        if not held:
            label = "Asked: no vibration plate to use"
            yield "none", "", self.form("none", NoneForm, label=label, ticked=held == [])

    def check(self) -> None:
        """Refuse two plates of one name, and a plate together with none."""
        self.not_none_and("none", self._plates())
        names: list[str] = []
        for form in self._plate_forms():
            name = form.part().get("name")
            if name in names:
                form.add_error("name", "Another plate has this name.")
            elif name:
                names.append(name)

    def part(self) -> dict[str, Any]:
        """Return the plates that stay or are added."""
        plates = self._plates()
        if plates:
            return {"resources": {"plates": plates}}
        return {"resources": self.none_or("none", plates, "plates")}

    def _plates(self) -> list[dict[str, Any]]:
        return [part for form in self._plate_forms() if (part := form.part())]

    def _plate_forms(self) -> list[DeclaredForm]:
        forms_ = [form for form in self.forms.values() if isinstance(form, DeclaredForm)]
        return [form for form in forms_ if not form.cleaned_data.get("remove")]

    def _sent(self) -> int:
        """Return how many plates the form had, so that a changed list loses nothing typed."""
        if self.data is None:
            return 0
        return sum(f"plate{index}-name" in self.data for index in range(MOST_PLATES))
