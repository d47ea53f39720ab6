"""What every section's sheet does: hold its forms, check them, give answers and rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, ClassVar

from django import forms

from patients.facts.document import write_part
from patients.facts.sections import Section, value_at
from patients.forms.from_questions import SheetForm
from patients.models.patient import Measured
from patients.rows_to_facts import Entered

Forms = Iterator[tuple[str, str, SheetForm]]


class NoneForm(SheetForm):
    """One box to tick: asked, and there is none."""

    none = forms.BooleanField(required=False)

    def __init__(self, *args: Any, label: str, ticked: bool, **kwargs: Any) -> None:
        super().__init__(*args, initial={"none": ticked}, **kwargs)
        self.fields["none"].label = label

    @property
    def ticked(self) -> bool:
        """Tell whether there is none."""
        return bool(self.cleaned_data.get("none"))


class Sheet:
    """The forms of one section, filled from what is on record or from what was sent.

    kinds       the kinds of row that its page lists
    takes_more  one entry at a time, so that the page offers another
    blocks      name, heading and form, in the order of the page
    """

    section: ClassVar[Section]
    kinds: ClassVar[tuple[str, ...]] = ()
    takes_more: ClassVar[bool] = False

    def __init__(
        self,
        known: Entered,
        data: Mapping[str, Any] | None = None,
        corrects: Measured | None = None,
    ) -> None:
        self.known, self.data, self.corrects = known, data, corrects
        self.answers = known.answers
        self.blocks = list(self.make())
        self.forms = {name: form for name, _, form in self.blocks}

    def make(self) -> Forms:
        """Yield name, heading and form of each block."""
        raise NotImplementedError

    def form(self, name: str, of: type[Any], **more: Any) -> Any:
        """Return a form of this patient and day."""
        born, as_of = self.known.patient.born, self.known.as_of
        return of(self.data, prefix=name, born=born, as_of=as_of, **more)

    def none_form(self, name: str, label: str, key: str, kind: str) -> Forms:
        """Yield the box for "none", unless rows stand that say otherwise."""
        if not self.known.rows[kind]:
            ticked = value_at(self.answers, key) == []
            yield name, "", self.form(name, NoneForm, label=label, ticked=ticked)

    def is_valid(self) -> bool:
        """Tell whether all forms are, each of them looked at."""
        # No form is passed over: all that is wrong stands on the page at once.
        valid = {name: form.is_valid() for name, form in self.forms.items()}
        if all(valid.values()):
            self.check()
        return not any(form.errors for form in self.forms.values())

    def check(self) -> None:
        """Check across forms; adds errors to them."""

    def part(self) -> dict[str, Any]:
        """Return the answers, in the shape of the facts document."""
        return {}

    def rows(self) -> list[Measured]:
        """Return the rows to add, unsaved."""
        return []

    @property
    def replaces(self) -> Measured | None:
        """Return the row that is struck out for the rows to add: the one that is corrected."""
        return self.corrects

    @property
    def errors(self) -> list[tuple[str, str, str]]:
        """Return field id, question and error of all that is wrong, in the page's order."""
        return [found for form in self.forms.values() for found in form.listed_errors]

    def none_or(self, name: str, rows: Sequence[Any], key: str) -> dict[str, Any]:
        """Return the empty list where there is said to be none."""
        form = self.forms.get(name)
        return {key: []} if isinstance(form, NoneForm) and form.ticked and not rows else {}

    def not_none_and(self, name: str, rows: Sequence[Any]) -> None:
        form = self.forms.get(name)
        if isinstance(form, NoneForm) and form.ticked and rows:
            form.add_error("none", "Something is filled in as well. Untick this, or clear it.")

    def once(self, form: SheetForm, kind: str, rows: Sequence[Any], same: Sequence[str]) -> None:
        """Refuse a row that stands already, by the same entries."""
        standing = {
            tuple(getattr(row, name) for name in same)
            for row in self.known.rows[kind]
            if self.corrects is None or row.pk != self.corrects.pk
        }
        if any(tuple(getattr(row, name) for name in same) in standing for row in rows):
            form.add_error(None, "This is on record already, see below. Correct that entry.")


def filled(form: Any) -> dict[str, Any]:
    part: dict[str, Any] = form.part()
    return part


def part_of(row: Measured | None, of: type[Measured]) -> dict[str, Any] | None:
    return write_part(row.fact()) if isinstance(row, of) else None
