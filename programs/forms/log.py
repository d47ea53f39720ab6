"""Forms of the log: a whole week at once, or one session."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from patients.forms.declared import SheetForm
from patients.forms.fields import DateField, OneCodeField, TextField, WholeField
from programs.adherence import Session
from safety.findings import Modality

DONE = {"all": "all", "part": "part", "none": "none"}
YES_NO = {"yes": "yes", "no": "no"}
HIGHEST = 10
#: Field of a row, the head of its column, and what stands beside it as a label.
COLUMNS = {
    "done": "Done",
    "effort": "Effort",
    "pain": "Worst pain",
    "pain_settled": "Settled in 24 h",
    "fell": "Fell",
    "note": "Note",
}


class TenField(WholeField):
    """A whole number from 0 to 10."""

    def parse(self, text: str) -> int:
        """Return the number; raises Unreadable where it is none."""
        value = super().parse(text)
        if not 0 <= value <= HIGHEST:
            raise forms.ValidationError(f"Write a number from 0 to {HIGHEST}.")
        return value


def _choice(labels: dict[str, str], label: str) -> OneCodeField:
    field = OneCodeField(labels=labels, required=False, label=label)
    field.choices = [("", "–"), *labels.items()]
    return field


def _fields(before: str = "") -> dict[str, forms.Field]:
    labels = {name: f"{before}{head}" for name, head in COLUMNS.items()}
    return {
        "done": _choice(DONE, labels["done"]),
        "effort": TenField(label=labels["effort"]),
        "pain": TenField(label=labels["pain"]),
        "pain_settled": _choice(YES_NO, labels["pain_settled"]),
        "fell": _choice(YES_NO, labels["fell"]),
        "note": TextField(label=labels["note"]),
    }


def _answer(text: str) -> bool | None:
    return {"yes": True, "no": False}.get(text)


@dataclass(frozen=True, kw_only=True)
class Slot:
    """A day on which a modality may have been done."""

    on: dt.date
    modality: Modality

    @property
    def name(self) -> str:
        """Return the beginning of its fields' names."""
        return f"{self.on.isoformat()}_{self.modality}"


@dataclass(frozen=True, kw_only=True)
class SlotRow:
    """A slot and its fields, to be shown. new_day: the first of its day."""

    slot: Slot
    new_day: bool
    fields: tuple[BoundField, ...]

    @property
    def errors(self) -> list[str]:
        """Return what is wrong in the row."""
        return [str(error) for field in self.fields for error in field.errors]


class WeekForm(SheetForm):
    """All sessions of a week, a row each; what is said once holds for rows left blank.

    spare   modalities with more days than sessions in the week: a blank row of theirs may
            well have been a free day
    """

    rest_done = forms.BooleanField(
        required=False, label="Rows left blank were done in full", initial=False
    )
    rest_pain = TenField(label="Worst pain in rows where it is left blank")
    no_fall = forms.BooleanField(required=False, label="Asked, and no fall in this week")
    red_flag = TextField(
        label="Warning sign or broken bone in this week",
        help_text="In words, with its day; kept with the last session filled in",
    )

    def __init__(
        self,
        *args: Any,
        slots: Sequence[Slot],
        spare: Sequence[Modality] = (),
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.slots, self.spare = tuple(slots), frozenset(spare)
        if spare:
            names = " and ".join(spare)
            self.fields["rest_done"].help_text = f"But {names}: more days than sessions"
        for slot in self.slots:
            before = f"{slot.on:%a} {slot.on.day} {slot.on:%b}, {slot.modality}: "
            for name, field in _fields(before).items():
                self.fields[f"{slot.name}__{name}"] = field

    @property
    def whole_week(self) -> list[BoundField]:
        """Return the questions that are asked once."""
        return [self[name] for name in ("rest_done", "rest_pain", "no_fall", "red_flag")]

    def rows(self) -> Iterator[SlotRow]:
        """Yield the rows, to be shown."""
        day = None
        for slot in self.slots:
            fields = tuple(self[f"{slot.name}__{name}"] for name in COLUMNS)
            yield SlotRow(slot=slot, new_day=slot.on != day, fields=fields)
            day = slot.on

    def clean(self) -> dict[str, Any]:
        """Ask what was done wherever something else of the row is filled in."""
        cleaned = super().clean() or {}
        for slot in self.slots:
            row = self._row(slot)
            filled = any(v not in (None, "") for v in row.values())
            if filled and not self._done(slot, row):
                self.add_error(f"{slot.name}__done", "Say how much was done.")
        if not self.errors and not self.sessions():
            words = "Fill in at least one row, or tick that all was done."
            self.add_error(None, words)
        return cleaned

    def sessions(self) -> list[Session]:
        """Return what was filled in."""
        filled = [self._session(slot) for slot in self.slots if self._done(slot, self._row(slot))]
        flag = self.cleaned_data.get("red_flag") or ""
        if filled and flag:
            filled[-1] = Session(**{**vars(filled[-1]), "red_flag": flag})
        return filled

    def _row(self, slot: Slot) -> dict[str, Any]:
        return {name: self.cleaned_data.get(f"{slot.name}__{name}") for name in COLUMNS}

    def _done(self, slot: Slot, row: dict[str, Any]) -> str:
        blank_is_done = self.cleaned_data.get("rest_done") and slot.modality not in self.spare
        rest = "all" if blank_is_done else ""
        return str(row["done"] or rest)

    def _session(self, slot: Slot) -> Session:
        row = self._row(slot)
        done, pain = self._done(slot, row), row["pain"]
        fell = _answer(row["fell"])
        if pain is None and done != "none":
            pain = self.cleaned_data.get("rest_pain")
        if fell is None and self.cleaned_data.get("no_fall"):
            fell = False
        return Session(
            on=slot.on,
            modality=slot.modality,
            done=done,
            effort=row["effort"],
            pain=pain,
            pain_settled=_answer(row["pain_settled"]),
            fell=fell,
            note=row["note"] or "",
        )


class SessionForm(SheetForm):
    """One session, on whichever day."""

    on = DateField(label="Day")
    minutes = WholeField(label="Minutes", unit="min")
    red_flag = TextField(
        label="Warning sign or broken bone",
        help_text="In words; a fall is asked above",
    )

    field_order = ("on", "modality", *list(COLUMNS)[:-1], "red_flag", "minutes", "note")

    def __init__(self, *args: Any, modalities: Sequence[Modality], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields |= _fields()
        labels = {str(m): str(m) for m in modalities}
        self.fields["modality"] = OneCodeField(labels=labels, required=True, label="What")
        self.order_fields(self.field_order)

    def clean(self) -> dict[str, Any]:
        """Ask for what every entry needs, and refuse what no session can be."""
        cleaned = super().clean() or {}
        for name in ("on", "modality", "done"):
            if not cleaned.get(name) and name not in self.errors:
                self.add_error(name, "This is needed.")
        if (cleaned.get("minutes") or 0) > 240:
            self.add_error("minutes", "More than 240 minutes. Check the number.")
        return cleaned

    def session(self) -> Session:
        """Return what was filled in."""
        said = self.cleaned_data
        return Session(
            on=dt.date.fromisoformat(said["on"]),
            modality=Modality(said["modality"]),
            done=said["done"],
            effort=said["effort"],
            pain=said["pain"],
            pain_settled=_answer(said["pain_settled"]),
            fell=_answer(said["fell"]),
            red_flag=said["red_flag"] or "",
            note=said["note"] or "",
        )
