"""The form of a what-if question: what is changed on a copy of the facts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django import forms

from patients.facts import codes
from patients.facts.ages import add_months
from patients.facts.declared import Facts, Falls, Fracture, Scan
from patients.facts.declared_plate import Plate
from patients.facts.question import Ask, asks
from patients.facts.units import show_number
from patients.forms.fields import NumberField, OneCodeField, WholeField
from patients.forms.from_questions import SheetForm
from programs.compare import changed_facts as changed

AS_RECORDED = "as recorded"
NO_PLATE = "none"
FRACTURE_AGES = {"2": "2 months ago", "12": "a year ago", "36": "3 years ago"}


class _Answer(forms.ChoiceField):
    """Yes, no, or as recorded."""

    def __init__(self, label: str) -> None:
        choices = [("", AS_RECORDED), ("yes", "yes"), ("no", "no")]
        super().__init__(label=label, choices=choices, widget=forms.RadioSelect, required=False)


class WhatIfForm(SheetForm):
    """What is otherwise. All of it may be left as recorded."""

    plate = OneCodeField(labels={}, required=False, label="Plate")
    more_day = forms.BooleanField(label="One more day", required=False)
    more_minutes = forms.BooleanField(label="Ten more minutes on each day", required=False)
    supervised = _Answer("Supervised sessions")
    watcher = _Answer("Another adult at home who has been shown how")
    falls = WholeField(label="Falls in the last 12 months")
    t = NumberField(decimals=1, may_be_negative=True, label="Lowest T-score")
    fracture = OneCodeField(
        labels=codes.FRACTURE_SITES, required=False, label="One more low-trauma fracture"
    )
    fracture_age = OneCodeField(labels=FRACTURE_AGES, required=False, label="Broken")

    def __init__(self, *args: Any, facts: Facts, plates: Mapping[str, Plate], **more: Any) -> None:
        super().__init__(*args, born=facts.person.born, as_of=facts.as_of, **more)
        self.facts, self.plates = facts, plates
        named = [(code, plate.name) for code, plate in plates.items()]
        plate = self.fields["plate"]
        plate.choices = [("", AS_RECORDED), (NO_PLATE, "no plate"), *named]  # type: ignore[attr-defined]
        for name in ("fracture", "fracture_age"):
            field = self.fields[name]
            field.choices = [("", "–"), *field.choices[1:]]  # type: ignore[attr-defined]

    def clean_falls(self) -> int | None:
        """Keep to the believable range of the facts."""
        count: int | None = self._within("falls", asks(Falls)["last_12_months"])
        return count

    def clean_t(self) -> float | None:
        """Keep to the believable range of the facts."""
        t: float | None = self._within("t", asks(Scan)["t"])
        return t

    def _within(self, name: str, ask: Ask) -> Any:
        value = self.cleaned_data[name]
        low, high = ask.low or 0, ask.high or 0
        if value is not None and not low <= value <= high:
            raise forms.ValidationError(f"From {low:g} to {high:g} is expected.")
        return value

    def changes(self) -> Sequence[tuple[str, Facts]]:
        """Return what is otherwise, in words, each with the facts as they are by then."""
        found: list[tuple[str, Facts]] = []
        facts = self.facts
        for step in (self._plate, self._room, self._helpers, self._findings):
            for words, after in step(facts):
                found.append((words, after))
                facts = after
        return found

    def _plate(self, facts: Facts) -> Iterator[tuple[str, Facts]]:
        code = self.cleaned_data["plate"]
        if code == NO_PLATE:
            yield "no plate", changed.with_plate(facts, None)
        elif code:
            plate = self.plates[code]
            yield f"the plate “{plate.name}” alone", changed.with_plate(facts, plate)

    def _room(self, facts: Facts) -> Iterator[tuple[str, Facts]]:
        if self.cleaned_data["more_day"] and (day := changed.one_more_day(facts)):
            yield f"{codes.DAYS[day[0]]} as one more day", day[1]
            facts = day[1]
        if self.cleaned_data["more_minutes"] and (more := changed.ten_more_minutes(facts)):
            yield f"{more[0]} minutes on each day", more[1]

    def _helpers(self, facts: Facts) -> Iterator[tuple[str, Facts]]:
        for name in ("supervised", "watcher"):
            if answer := self.cleaned_data[name]:
                facts = changed.with_resources(facts, **{name: answer == "yes"})
                yield f"{str(self.fields[name].label).lower()}: {answer}", facts

    def _findings(self, facts: Facts) -> Iterator[tuple[str, Facts]]:
        if (count := self.cleaned_data["falls"]) is not None:
            facts = changed.with_falls(facts, count)
            yield f"{count} fall{'' if count == 1 else 's'} in 12 months", facts
        if (t := self.cleaned_data["t"]) is not None:
            facts = changed.with_lowest_t(facts, t)
            yield f"a lowest T-score of {show_number(t, 1)}", facts
        if site := self.cleaned_data["fracture"]:
            age = self.cleaned_data["fracture_age"] or "12"
            where = f"{codes.FRACTURE_SITES[site]}, {FRACTURE_AGES[age]}"
            yield f"one more fracture: {where}", _broken(facts, site, int(age))


def _broken(facts: Facts, site: str, months: int) -> Facts:
    """Return the facts with a low-trauma fracture of so many months ago; healed after three."""
    date = add_months(facts.as_of, -months)
    fracture = Fracture(site=site, date=date, low_trauma=True, healed=months > 3)
    return changed.with_fracture(facts, fracture)
