"""The paper form of before the first visit, to be typed in on one page in its own order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django import forms

from patients.facts import before_first_visit, codes
from patients.facts.declared import Fracture, Resources
from patients.facts.partial_dates import DAY, Span, kept_span, span_text
from patients.facts.sections import SECTIONS, taken
from patients.forms.fields import SpanField, WholeField, YesNoField
from patients.forms.from_questions import SheetForm, declared_form
from patients.forms.sheet import Forms, Sheet, filled
from patients.forms.sheets_asked import FallsForm, OwnGoalForm
from patients.forms.tables import ConditionsForm, MedicinesForm, SymptomsForm, TableForm
from patients.models.patient import FractureRow, Measured

_NOT_SURE = "Not for a paper on which a row is ticked “not sure”."


class BonesForm(TableForm):
    """Each bone that broke, to tick, with the year beside it where she wrote one."""

    template = "patients/_bones.html"
    labels = codes.FRACTURE_SITES
    of = Fracture

    def __init__(self, *args: Any, standing: Sequence[FractureRow], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.standing = standing
        self.filled: list[Measured] = []
        for site, label in self.labels.items():
            self.fields[f"{site}__broke"] = forms.BooleanField(required=False, label=label)
            self.fields[f"{site}__date"] = SpanField(label=f"{label}: broken in")

    def on_record(self) -> str:
        """Return the fractures on record in words; "" where there are none."""
        return "; ".join(map(_named, self.standing))

    def clean(self) -> dict[str, Any]:
        """Check each bone that is ticked or has a year."""
        cleaned = super().clean() or {}
        self.filled = [row for site in self.labels if (row := self._row(site)) is not None]
        return cleaned

    def _row(self, site: str) -> FractureRow | None:
        span: Span | None = self.cleaned_data.get(f"{site}__date")
        ticked = self.cleaned_data.get(f"{site}__broke")
        if not (ticked or span) or f"{site}__date" in self.errors:
            return None
        if (held := self._held(site, span)) is not None:
            text = f"On record already: {held}. Clear this; add a second break under Fractures."
            self.add_error(f"{site}__broke", text)
            return None
        part = {"site": site} | ({"date": span.until(self.as_of).isoformat()} if span else {})
        fact = self.checked(Fracture, part, {"site": f"{site}__broke", "date": f"{site}__date"})
        return None if fact is None else FractureRow.from_fact(fact, date_is=_known(span))

    def _held(self, site: str, span: Span | None) -> str | None:
        """Return a fracture on record that may be this one."""
        for row in self.standing:
            if row.site != site:
                continue
            if row.date is None or span is None or kept_span(row.date, row.date_is).overlaps(span):
                return _named(row)
        return None


def _known(span: Span | None) -> str:
    return span.known if span else DAY


def _named(row: FractureRow) -> str:
    when = "day not recorded" if row.date is None else span_text(row.date, row.date_is)
    return f"{codes.FRACTURE_SITES[row.site]}, {when}"


class RanksForm(SheetForm):
    """What matters most to her: 1 beside the most wanted aim, then 2, then 3."""

    def __init__(self, *args: Any, part: Sequence[str] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for aim, label in codes.AIMS.items():
            self.fields[aim] = WholeField(label=label.capitalize())
            self.initial[aim] = part.index(aim) + 1 if part and aim in part else None

    def clean(self) -> dict[str, Any]:
        """Refuse a number out of range or given twice."""
        cleaned = super().clean() or {}
        given: list[int] = []
        for aim in self.fields:
            number = cleaned.get(aim)
            if number is None:
                continue
            if not 1 <= number <= len(codes.AIMS):
                self.add_error(aim, f"Write 1 to {len(codes.AIMS)}.")
            elif number in given:
                self.add_error(aim, f"Another aim has {number}.")
            given.append(number)
        return cleaned

    def part(self) -> list[str]:
        """Return the aims, most wanted first."""
        numbered = [(n, aim) for aim in self.fields if (n := self.cleaned_data.get(aim))]
        return [aim for _, aim in sorted(numbered)]


class PlateAskedForm(SheetForm):
    """Whether she has a plate; which one is asked in a section of its own."""

    plate = YesNoField(label=before_first_visit.PLATE)

    def __init__(self, *args: Any, plates: Sequence[Any] | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plates = plates
        self.initial["plate"] = "" if plates is None else "yes" if plates else "no"

    def clean_plate(self) -> str:
        """Refuse "no" while a plate is on record."""
        answer = str(self.cleaned_data["plate"])
        if answer == "no" and self.plates:
            raise forms.ValidationError("A plate is on record. Take it off under Vibration plates.")
        return answer

    def part(self) -> list[Any] | None:
        """Return the plates as they are on record; none where she has none."""
        answer = self.cleaned_data["plate"]
        return self.plates or ([] if answer == "no" else None)  # type: ignore[return-value]

    @property
    def is_to_be_described(self) -> bool:
        """Tell whether she has a plate of which nothing is on record."""
        return bool(self.cleaned_data["plate"] == "yes" and not self.plates)


HelpForm = declared_form(Resources, only=tuple(before_first_visit.HELP))
EquipmentForm = declared_form(Resources, only=("equipment",))
DaysForm = declared_form(Resources, only=("days", "minutes_per_day"))
_TABLES = {"conditions": ConditionsForm, "symptoms": SymptomsForm, "medicines": MedicinesForm}
_RESOURCES = ("help", "equipment", "days")


class PrevisitSheet(Sheet):
    """All that the paper asks, in its order; what a section asks beyond it stays as it is."""

    kinds = ("fracture",)
    SAVES = ("conditions", "symptoms", "medicines", "fractures", "falls", "aims", "plates")

    def make(self) -> Forms:
        """Yield the forms in the order of the paper."""
        for code, title, _ in before_first_visit.TABLES:
            yield code, title, self._table(code)
        standing = self.known.rows["fracture"]
        yield "bones", "Broken bones", self.form("bones", BonesForm, standing=standing)
        label = "Asked: no fracture in adult life"
        yield from self.none_form("no_bones", label, "fractures", "fracture")
        yield (
            "falls",
            "Falls",
            self._as_asked("falls", FallsForm, "falls", before_first_visit.FALLS),
        )
        yield (
            "help",
            "Help at home",
            self._as_asked("help", HelpForm, "resources", before_first_visit.HELP),
        )
        plates = self._resources.get("plates")
        yield "plate", "", self.form("plate", PlateAskedForm, plates=plates)
        for name, title, of in (
            ("equipment", "What do you have to train with?", EquipmentForm),
            ("days", "Which days can you train?", DaysForm),
        ):
            yield name, title, self._as_asked(name, of, "resources", {})
        aims = self.form("aims", RanksForm, part=self.answers.get("aims"))
        yield "aims", "What matters most to you?", aims
        yield "goal", "", self._own_goal()

    def check(self) -> None:
        """Refuse broken bones together with none."""
        self.not_none_and("no_bones", self.rows())

    def parts(self) -> dict[str, dict[str, Any]]:
        """Return the answers of each section, whole, by its code."""
        whole = {**self.answers, **dict(self._tables()), "falls": filled(self.forms["falls"])}
        whole |= {"aims": filled(self.forms["aims"]), "own_goal": filled(self.forms["goal"])}
        whole["resources"] = self._her_resources()
        if self.rows() or "no_bones" in self.forms:
            whole.pop("fractures", None)
            whole |= self.none_or("no_bones", self.rows(), "fractures")
        given = {key: value for key, value in whole.items() if value or key == "fractures"}
        return {code: taken(given, SECTIONS[code]) for code in self.SAVES}

    def rows(self) -> list[Measured]:
        """Return the broken bones to add."""
        form = self.forms["bones"]
        assert isinstance(form, BonesForm)
        return form.filled

    @property
    def has_plate_to_describe(self) -> bool:
        """Tell whether she has a plate of which nothing is on record."""
        form = self.forms["plate"]
        assert isinstance(form, PlateAskedForm)
        return form.is_to_be_described

    @property
    def _resources(self) -> Mapping[str, Any]:
        held: Mapping[str, Any] = self.answers.get("resources") or {}
        return held

    def _table(self, code: str) -> Any:
        form = self.form(code, _TABLES[code], part=self.answers.get(code))
        form.fields["rest_is_no"].help_text += f" {_NOT_SURE}"
        return form

    def _as_asked(self, name: str, of: type[Any], key: str, words: Mapping[str, str]) -> SheetForm:
        form: SheetForm = self.form(name, of, part=self.answers.get(key))
        for field, question in words.items():
            form.fields[field].label = question
        form.order_fields([field for field in form.fields if field not in words] + [*words])
        return form

    def _own_goal(self) -> SheetForm:
        form: SheetForm = self.form("goal", OwnGoalForm, part=self.answers.get("own_goal"))
        form.fields["own_goal"].label = before_first_visit.OWN_GOAL
        return form

    def _tables(self) -> Iterator[tuple[str, Any]]:
        for code in _TABLES:
            yield code, filled(self.forms[code])

    def _her_resources(self) -> dict[str, Any]:
        asked = {key for name in _RESOURCES for key in self.forms[name].fields} | {"plates"}
        held = {key: value for key, value in self._resources.items() if key not in asked}
        for name in _RESOURCES:
            held |= filled(self.forms[name])
        plates = filled(self.forms["plate"])
        return held if plates is None else {**held, "plates": plates}
