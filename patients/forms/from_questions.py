"""Forms made from the declarations of the facts, checked by the code that reads documents."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from django import forms
from django.forms.boundfield import BoundField

from patients.facts.document import Problem, read_part
from patients.facts.question import Ask, Kind, asks
from patients.facts.sections import put, value_at
from patients.forms.fields import field_for


class SheetForm(forms.Form):
    """A form on a patient's page: the days between which its dates lie, and how it looks.

    template  the part that shows it
    needed    fields without which it is refused, beside those that say so themselves
    """

    template = "patients/_questions.html"
    needed: Collection[str] = ()

    def __init__(self, *args: Any, born: dt.date, as_of: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.born_on, self.as_of = born, as_of

    @property
    def helper(self) -> FormHelper:
        """Return how crispy lays the form out."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        helper.field_template = "patients/_field.html"
        return helper

    @property
    def listed_errors(self) -> list[tuple[str, str, str]]:
        """Return field id, question and error of all that is wrong, in the form's order."""
        return listed_errors(self)

    def checked(self, of: type[Any], part: Mapping[str, Any], fields: Mapping[str, str]) -> Any:
        """Return the fact in this part of a document, or None with errors beside the fields.

        What could not be read as typed has its error already and is not in the part.

        fields gives the field for each path; problems elsewhere stand above the form.
        """
        fact = read_part(of, part, "", self.as_of, self.born_on)
        if not isinstance(fact, tuple):
            return fact
        for problem in fact:
            self._point_out(problem, fields)
        return None

    def _point_out(self, problem: Problem, fields: Mapping[str, str]) -> None:
        place = problem.at.partition("[")[0]
        if fields.get(place) not in self.errors:
            self.add_error(fields.get(place), problem.text)


def listed_errors(form: forms.BaseForm) -> list[tuple[str, str, str]]:
    """Return field id, question and error of all that is wrong, each once, in the form's order."""
    above = [("content", "", str(error)) for error in form.non_field_errors()]
    beside = [
        (_first_id(field), str(field.label), str(error))
        for field in (form[name] for name in form.fields)
        for error in field.errors
    ]
    return list(dict.fromkeys(above + beside))


def _first_id(field: BoundField) -> str:
    """Return the id of the control, or of the first one in a group of boxes."""
    return field.id_for_label or f"{field.auto_id}_0"


class DeclaredForm(SheetForm):
    """The questions of one dataclass of facts, groups inside it laid flat.

    given  what is known already and stands beside the answers when they are checked
    fact   after validation: the instance, or None where nothing was filled in
    """

    of: ClassVar[type[Any]]
    paths: ClassVar[Mapping[str, str]]  # path in the document to field name

    def __init__(
        self,
        *args: Any,
        part: Mapping[str, Any] | None = None,
        given: Mapping[str, Any] | None = None,
        **kwargs: Any,
    ) -> None:
        initial = {name: value_at(part or {}, path) for path, name in self.paths.items()}
        super().__init__(*args, initial=initial, **kwargs)
        self.given = dict(given or {})
        self.fact: Any = None

    def clean(self) -> dict[str, Any]:
        """Check the answers against each other and the believable ranges."""
        cleaned = super().clean() or {}
        part = self.part()
        if part:
            self.fact = self.checked(self.of, {**self.given, **part}, self.paths)
        return cleaned

    def part(self) -> dict[str, Any]:
        """Return what was filled in, in the shape of the facts document."""
        part: dict[str, Any] = {}
        for path, name in self.paths.items():
            value = self.cleaned_data.get(name)
            if value is not None and value != "":
                put(part, path, value)
        return part


def declared_form(
    of: type[Any], *, only: tuple[str, ...] = (), without: tuple[str, ...] = ()
) -> type[DeclaredForm]:
    """Return the form class for a dataclass of facts, for some of its fields or all but some."""
    wanted = [
        (path, name, ask)
        for path, name, ask in _questions(of)
        if (not only or path in only) and path.partition(".")[0] not in without
    ]
    fields = {name: field_for(ask) for _, name, ask in wanted}
    paths = {path: name for path, name, _ in wanted}
    return type(f"{of.__name__}Form", (DeclaredForm,), {**fields, "of": of, "paths": paths})


def _questions(of: type[Any], before: str = "", about: str = "") -> Iterator[tuple[str, str, Ask]]:
    """Yield path, field name and question, those of groups in their place."""
    for declared in asks(of).values():
        path = f"{before}{declared.key}"
        ask = _worded(declared, about)
        if ask.kind is Kind.GROUP and ask.of is not None:
            yield from _questions(ask.of, f"{path}.", ask.question)
        elif ask.kind not in (Kind.LIST, Kind.ANSWERS, Kind.GROUP):
            yield path, path.replace(".", "__"), ask


def _worded(ask: Ask, about: str) -> Ask:
    """Return the question with its group in front, such as "Frequency: from"."""
    if not about:
        return ask
    return replace(ask, question=f"{about}: {ask.question[:1].lower()}{ask.question[1:]}")
