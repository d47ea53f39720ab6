"""Sheets of what was asked: falls, conditions, red flags, medicines, aims, plates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from django import forms

from patients.facts import codes
from patients.facts.ages import age_on
from patients.facts.declared import Experience, Facts, Falls, Resources
from patients.facts.declared_plate import Plate
from patients.facts.in_words import day_text
from patients.facts.question import asks
from patients.facts.sections import SECTIONS, value_at
from patients.forms.fields import OneCodeField, field_for
from patients.forms.from_questions import DeclaredForm, SheetForm, declared_form
from patients.forms.sheet import Forms, NoneForm, Sheet, filled
from patients.forms.tables import ConditionsForm, MedicinesForm, SymptomsForm
from patients.rows_to_facts import Entered

MOST_PLATES = 12


class FallsForm(declared_form(Falls)):  # type: ignore[misc]
    """Falls; without one nothing is kept of how it ended."""

    of_a_fall = ("injury", "long_lie", "blackout")

    def part(self) -> dict[str, Any]:
        """Return the answers; where there was no fall, a no about how it ended goes with it."""
        told = dict(DeclaredForm.part(self))
        if told.get("last_12_months") != 0:
            return told
        return {k: v for k, v in told.items() if k not in self.of_a_fall or v != "no"}


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


#: A recent birth is not asked about from this age on.
_BIRTH_IMPROBABLE_AGE = 56


def not_asked_of(known: Entered) -> tuple[str, ...]:
    """Return the codes of what cannot concern the patient: a birth in men, or after menopause."""
    patient, person = known.patient, known.answers.get("person", {})
    old = age_on(patient.born, known.as_of) > _BIRTH_IMPROBABLE_AGE
    past = patient.sex == "male" or person.get("menopause") == "after" or old
    return ("recent_birth",) if past else ()


class AnswersSheet(Sheet):
    """One table of answers."""

    of: ClassVar[type[Any]]

    def make(self) -> Forms:
        """Yield the table."""
        code = self.section.code
        part, spared = self.answers.get(code), not_asked_of(self.known)
        yield code, "", self.form(code, self.of, part=part, spared=spared)

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


class OwnGoalForm(SheetForm):
    """What she would like to be able to do; printed as it is typed."""

    own_goal = field_for(asks(Facts)["own_goal"])

    def __init__(self, *args: Any, part: str | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial={"own_goal": part}, **kwargs)

    def part(self) -> str | None:
        """Return her words, or None."""
        words: str | None = self.cleaned_data.get("own_goal")
        return words


ExperienceForm = declared_form(Experience)
ResourcesForm = declared_form(Resources, without=("plates",))


class AimsSheet(Sheet):
    """Aims, her own goal, experience, days, minutes, helpers, equipment."""

    section = SECTIONS["aims"]

    def make(self) -> Forms:
        """Yield the forms."""
        yield (
            "aims",
            "Aims, most wanted first",
            self.form("aims", AimsForm, part=self.answers.get("aims")),
        )
        yield "goal", "", self.form("goal", OwnGoalForm, part=self.answers.get("own_goal"))
        for name, title, of in (
            ("experience", "Experience", ExperienceForm),
            ("resources", "Time, helpers and equipment", ResourcesForm),
        ):
            yield name, title, self.form(name, of, part=self.answers.get(name))

    def part(self) -> dict[str, Any]:
        """Return the answers."""
        parts = {name: form.part() for name, form in self.forms.items()}  # type: ignore[attr-defined]
        parts["own_goal"] = parts.pop("goal")
        return {name: part for name, part in parts.items() if part}


class PlateForm(declared_form(Plate, without=("panel",))):  # type: ignore[misc]
    """One plate that she can use; how it moves is not asked of one that was measured."""

    #: What is told of a measured plate by the measurement, and is kept as it is.
    MEASURED = (
        *("motion", "frequency_hz", "displacement_mm", "fixed_g", "g_reads_as"),
        *("foot_distance_mm", "tilt_degrees", "panel"),
    )

    remove = forms.BooleanField(required=False, label="Take this plate off the list")
    paths: Any

    def __init__(self, *args: Any, part: Mapping[str, Any] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, part=part, **kwargs)
        held = part if part and "panel" in part else {}
        self.kept = {key: value for key, value in held.items() if key in self.MEASURED}
        if held:
            told = [path for path in self.paths if path.partition(".")[0] in self.MEASURED]
            for path in told:
                del self.fields[self.paths[path]]
            self.paths = {path: name for path, name in self.paths.items() if path not in told}

    def part(self) -> dict[str, Any]:
        """Return what was filled in, with what was measured."""
        told = super().part()
        return {**told, **self.kept} if told else told


def _title(plate: Mapping[str, Any]) -> str:
    panel = plate.get("panel")
    if panel is None:
        return str(plate["name"])
    return (
        f"{plate['name']}, as measured on {day_text(dt.date.fromisoformat(panel['measured_on']))}"
    )


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
            title = _title(plate) if plate else "Add a plate"
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
