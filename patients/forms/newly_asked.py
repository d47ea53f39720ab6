"""All that is newly open for one person on one page; each question may be left as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from patients.facts import newly_asked
from patients.facts.codes import CONDITIONS, FRACTURE_SITES, MEDICINES
from patients.facts.declared import Person
from patients.facts.partial_dates import span_text
from patients.facts.sections import SECTIONS, put, taken
from patients.forms.from_questions import declared_form
from patients.forms.sheet import Forms, Sheet, filled
from patients.forms.sheets_asked import not_asked_of
from patients.forms.sheets_measured import FractureForm
from patients.forms.tables import ConditionsForm, MedicinesForm
from patients.models.patient import FractureRow, Measured

MobilityForm = declared_form(Person, only=("mobility",))


class NewlyAskedSheet(Sheet):
    """Mobility, new conditions, kind of bone medicine, bones and years of fractures."""

    kinds = ("fracture",)
    SAVES = ("about", "conditions", "medicines")

    def make(self) -> Forms:
        """Yield the forms of what is open; none where nothing is."""
        if newly_asked.is_mobility_open(self.answers) or self._sent("about-mobility"):
            patient = self.known.patient
            given = {"born": patient.born_as_told, "sex": patient.sex}
            yield "about", "How she gets about", self.form("about", MobilityForm, given=given)
        if asked := self._conditions():
            yield "conditions", "Conditions", self._table("conditions", ConditionsForm, asked)
        bone = newly_asked.BONE_MEDICINE
        sent = self._sent(f"medicines-{bone}__answer")
        if newly_asked.is_bone_medicine_open(self.answers) or sent:
            form = self._table("medicines", MedicinesForm, (bone,))
            yield "medicines", "Medicine for bone", form
        for row in self.open_fractures:
            name = f"fracture{row.pk}"
            yield name, _named(row), self.form(name, FractureForm, corrects=row)

    def _sent(self, name: str) -> bool:
        """Tell whether it was asked when the form was opened, answered by another since or not."""
        return self.data is not None and name in self.data

    def _conditions(self) -> list[str]:
        opened = newly_asked.open_conditions(self.answers, not_asked_of(self.known))
        return [
            code
            for code in CONDITIONS
            if code in opened or self._sent(f"conditions-{code}__answer")
        ]

    @property
    def open_fractures(self) -> Sequence[FractureRow]:
        """Return the fractures whose bone or year wants to be told."""
        rows = self.known.rows["fracture"]
        return [
            row
            for row in rows
            if newly_asked.is_fracture_open(row.site, dated=row.date is not None)
        ]

    def parts(self) -> dict[str, dict[str, Any]]:
        """Return the answers of each section, whole, by its code."""
        whole = dict(self.answers)
        if "about" in self.forms:
            put(whole, "person.mobility", filled(self.forms["about"]).get("mobility"))
        for code in ("conditions", "medicines"):
            if code in self.forms and (answers := filled(self.forms[code])):
                whole[code] = {**(whole.get(code) or {}), **answers}
        return {code: taken(whole, SECTIONS[code]) for code in self.SAVES}

    def corrected(self) -> list[tuple[Measured, Measured]]:
        """Return each fracture that was told more exactly, as it was and as it is."""
        found: list[tuple[Measured, Measured]] = []
        for row in self.open_fractures:
            form = self.forms[f"fracture{row.pk}"]
            assert isinstance(form, FractureForm)
            found += [(row, new) for new in form.rows() if _told(new) != _told(row)]
        return found

    def _table(self, code: str, of: type[Any], asked: Sequence[str]) -> Any:
        labels: Mapping[str, str] = CONDITIONS if code == "conditions" else MEDICINES
        held = self.answers.get(code) or {}
        part = {one: held[one] for one in asked if one in held}
        return self.form(code, of, part=part, spared=[one for one in labels if one not in asked])


def _told(row: Measured) -> tuple[Any, str]:
    assert isinstance(row, FractureRow)
    return row.fact(), row.date_is


def _named(row: FractureRow) -> str:
    when = "day not recorded" if row.date is None else span_text(row.date, row.date_is)
    return f"Fracture: {FRACTURE_SITES[row.site]}, {when}"
