"""Forms laid out as tables: one row for each code, the same questions in each row."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms
from django.forms.boundfield import BoundField

from patients.facts import codes
from patients.facts.declared import Condition, Medicine, Scan, Symptom, Turnover
from patients.facts.question import asks
from patients.forms.fields import OneCodeField, TextField, field_for
from patients.forms.from_questions import SheetForm
from patients.models.patient import SIDES, MarkerRow, Measured, ScanRow


@dataclass(frozen=True, kw_only=True)
class TableRow:
    """One row: its code's label, the first field, and the fields after it."""

    code: str
    label: str
    first: BoundField
    more: tuple[BoundField, ...]

    @property
    def fields(self) -> tuple[BoundField, ...]:
        """Return all fields of the row."""
        return (self.first, *self.more)

    @property
    def errors(self) -> list[str]:
        """Return what is wrong in the row."""
        return [str(error) for field in self.fields for error in field.errors]


class TableForm(SheetForm):
    """Rows of fields named code__question."""

    labels: ClassVar[Mapping[str, str]]
    of: ClassVar[type[Any]]

    def questions(self, code: str) -> tuple[str, ...]:
        """Return the fields of the dataclass that are asked in a row."""
        raise NotImplementedError

    @property
    def shown(self) -> Mapping[str, str]:
        """Return the rows that are asked of this person."""
        return self.labels

    def build(self) -> None:
        """Add the fields of all rows."""
        declared = asks(self.of)
        for code, label in self.shown.items():
            for name in self.questions(code):
                field = field_for(declared[name])
                field.label = label if name == "answer" else f"{label}: {declared[name].question}"
                self.fields[f"{code}__{name}"] = field

    def rows(self) -> Iterator[TableRow]:
        """Yield the rows, to be shown."""
        for code, label in self.shown.items():
            first, *more = (self[name] for name in self.fields if name.startswith(f"{code}__"))
            yield TableRow(code=code, label=label, first=first, more=tuple(more))

    def row_part(self, code: str) -> dict[str, Any]:
        """Return what was filled in in a row, in the shape of the facts document."""
        declared = asks(self.of)
        values = {
            declared[name].key: self.cleaned_data.get(f"{code}__{name}")
            for name in self.questions(code)
        }
        return {key: value for key, value in values.items() if value not in (None, "")}

    def row_fields(self, code: str) -> dict[str, str]:
        """Return the field for each entry of a row."""
        declared = asks(self.of)
        return {declared[name].key: f"{code}__{name}" for name in self.questions(code)}


class AnswersForm(TableForm):
    """Yes, no or not recorded for each code, with details where a rule reads them."""

    template = "patients/_answers.html"
    details: ClassVar[Mapping[str, tuple[str, ...]]] = {}
    rest_is_no = forms.BooleanField(
        required=False,
        label="All not answered here: no",
        help_text="On saving, every row still at “not recorded” is answered no.",
    )

    def __init__(
        self,
        *args: Any,
        part: Mapping[str, Any] | None = None,
        spared: Collection[str] = (),
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.spared = spared
        self.held = {code: _as_group(answer) for code, answer in (part or {}).items()}
        self.build()
        for code, held in self.held.items():
            for name, value in held.items():
                self.initial[f"{code}__{name}"] = "" if value == "unknown" else value

    @property
    def shown(self) -> Mapping[str, str]:
        """Return the rows that may concern her, and any on record, lest it be lost."""
        return {
            code: label
            for code, label in self.labels.items()
            if code in self.held or code not in self.spared
        }

    def questions(self, code: str) -> tuple[str, ...]:
        """Return the answer, its usual details, and any others on record, lest they be lost."""
        held = self.held.get(code, {})
        usual = self.details.get(code, ())
        return ("answer", *usual, *(name for name in held if name not in ("answer", *usual)))

    def clean(self) -> dict[str, Any]:
        """Check each row."""
        cleaned = super().clean() or {}
        for code in self.shown:
            part = self.row_part(code)
            if set(part) - {"answer"} and part.get("answer") != "yes":
                self.add_error(f"{code}__answer", "Answer yes, or clear the details beside it.")
            elif part:
                self.checked(self.of, part, self.row_fields(code))
        return cleaned

    def part(self) -> dict[str, Any]:
        """Return the answers in the shape of the facts document; {} where there is none."""
        rest = {"answer": "no"} if self.cleaned_data.get("rest_is_no") else {}
        parts = {code: self.row_part(code) or rest for code in self.shown}
        return {code: _as_answer(part) for code, part in parts.items() if part}


def _as_group(answer: Any) -> dict[str, Any]:
    return dict(answer) if isinstance(answer, Mapping) else {"answer": answer}


def _as_answer(part: Mapping[str, Any]) -> Any:
    return part["answer"] if set(part) == {"answer"} else dict(part)


class ConditionsForm(AnswersForm):
    """The conditions that bear on loading."""

    labels = codes.CONDITIONS
    of = Condition
    details = dict.fromkeys(codes.DATED_CONDITIONS, ("on",)) | {"osteoarthritis": ("degree",)}


class SymptomsForm(AnswersForm):
    """The red flags."""

    labels = codes.SYMPTOMS
    of = Symptom


class MedicinesForm(AnswersForm):
    """The medicines that bear on bone, falls or the dose."""

    labels = codes.MEDICINES
    of = Medicine
    details = codes.MEDICINE_DETAILS


class MeasuredTable(TableForm):
    """Several rows of one day, such as the sites of one scan; shared fields stand above."""

    template = "patients/_measured.html"
    code_key: ClassVar[str]
    beside: ClassVar[tuple[str, ...]] = ()  # heads of what is kept but is no fact
    shared: ClassVar[tuple[str, ...]]
    cells: ClassVar[tuple[str, ...]]
    row_class: ClassVar[type[Measured]]

    def __init__(self, *args: Any, corrects: Measured | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.filled: list[Measured] = []
        self.corrects = corrects if isinstance(corrects, self.row_class) else None
        declared = asks(self.of)
        for name in self.shared:
            self.fields[name] = field_for(declared[name])
        self.build()
        for code in self.labels:
            for name, field in self.kept_beside(code).items():
                self.fields[f"{code}__{name}"] = field
        if self.corrects is not None:
            self._fill_from(self.corrects)

    def questions(self, code: str) -> tuple[str, ...]:
        """Return the questions of a row."""
        return self.cells

    def kept_beside(self, code: str) -> dict[str, forms.Field]:
        """Return the fields of a row that are kept but are no facts."""
        return {}

    def heads(self) -> list[tuple[str, str]]:
        """Return the heads of the table's columns, each with its unit."""
        declared = asks(self.of)
        own = [(declared[name].question, declared[name].unit) for name in self.cells]
        return own + [(head, "") for head in self.beside]

    def shared_fields(self) -> list[BoundField]:
        """Return the fields above the table."""
        return [self[name] for name in self.shared]

    def clean(self) -> dict[str, Any]:
        """Check each row that has something in it, with the shared fields."""
        cleaned = super().clean() or {}
        self.filled = [row for code in self.labels if (row := self._row(code)) is not None]
        return cleaned

    def _row(self, code: str) -> Measured | None:
        part = self.row_part(code)
        beside = {n: self.cleaned_data.get(f"{code}__{n}") or "" for n in self.kept_beside(code)}
        if not part or not self._worth_keeping(code, part):
            return None
        shared = {n: v for n in self.shared if (v := self.cleaned_data.get(n)) not in (None, "")}
        fields = {name: name for name in self.shared} | self.row_fields(code)
        fact = self.checked(self.of, {**shared, self.code_key: code, **part}, fields)
        return None if fact is None else self.row_class.from_fact(fact, **beside)

    def _worth_keeping(self, code: str, part: Mapping[str, Any]) -> bool:
        return True

    def _fill_from(self, row: Measured) -> None:
        code = getattr(row, self.code_key)
        for name in self.shared:
            self.initial[name] = _shown(getattr(row, name))
        for name in (*self.cells, *self.kept_beside(code)):
            self.initial[f"{code}__{name}"] = _shown(getattr(row, name))


def _shown(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


class ScanForm(MeasuredTable):
    """The sites of one DXA scan."""

    labels = codes.SCAN_SITES
    of = Scan
    row_class = ScanRow
    code_key = "site"
    shared = ("date", "scanner")
    cells = ("bmd_g_cm2", "t", "z")
    beside = ("Side or vertebrae",)

    def kept_beside(self, code: str) -> dict[str, forms.Field]:
        """Return vertebrae for the spine and side elsewhere."""
        if code == "lumbar_spine":
            return {"vertebrae": TextField(label="Lumbar spine: Vertebrae", max_length=20)}
        label = f"{self.labels[code]}: Side"
        return {"side": OneCodeField(labels=SIDES, required=False, label=label)}


class MarkerForm(MeasuredTable):
    """The turnover markers of one blood sample."""

    labels = codes.MARKERS
    of = Turnover
    row_class = MarkerRow
    code_key = "marker"
    shared = ("date", "fasting_morning")
    cells = ("value", "unit")

    def _worth_keeping(self, code: str, part: Mapping[str, Any]) -> bool:
        if "value" not in part and "unit" in part:
            self.add_error(
                f"{code}__value", "A unit is chosen. Write the value, or clear the unit."
            )
        return "value" in part
