"""Which paper to print, and how."""

from __future__ import annotations

from typing import Any

from django import forms

from patients.forms.from_questions import SheetForm
from programs.actions.languages import Held, languages_on
from programs.actions.papers import words_of
from programs.actions.printing import PAPERS, TYPES_PT
from programs.languages import ready
from programs.papers.kinds import ENGLISH_CODE, KINDS, SHEETS, TO_VISIT
from programs.papers.numbers import line_start
from programs.papers.sessions_calendar import TITLE
from programs.papers.span import Span

TYPE_NAMES = {16: "large (16 pt)", 20: "very large (20 pt)"}
EARLIEST_HOUR = 4


def _always() -> str:
    """Return which papers are not in every language."""
    names = {one.code: one.name for one in ready()}
    return "; ".join(
        f"{line_start(one.called)} is always in {' or '.join(map(names.__getitem__, codes))}"
        for one in KINDS.values()
        if (codes := one.languages)
    )


def _offer(form: forms.Form, name: str, choices: list[tuple[str, str]]) -> None:
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    field.choices = choices


class LayoutForm(SheetForm):
    """The language of a paper, its size and its letters."""

    language = forms.ChoiceField(label="Language")
    paper = forms.ChoiceField(label="Paper size", choices=[(name, name) for name in PAPERS])
    type_pt = forms.TypedChoiceField(
        label="Letters", coerce=int, choices=[(pt, TYPE_NAMES[pt]) for pt in TYPES_PT]
    )

    def __init__(self, *args: Any, languages: Held | None = None, **kwargs: Any) -> None:
        """Ask once for the languages that papers are made in, unless they were read already."""
        super().__init__(*args, **kwargs)
        _offer(self, "language", languages_on(languages))


class PaperForm(LayoutForm):
    """The options of a paper of a program."""

    kind = forms.ChoiceField(
        label="Paper",
        choices=[(one.code, one.title) for one in KINDS.values()],
        initial=TO_VISIT,
    )
    first_week = forms.IntegerField(
        label="Week sheets from week", required=False, help_text="For the week sheets alone"
    )
    last_week = forms.IntegerField(label="Week sheets to week", required=False)
    language = forms.ChoiceField(label="Language", help_text=_always())
    field_order = ("kind", "first_week", "last_week", "language", "paper", "type_pt")

    def __init__(self, *args: Any, whole: Span, to_visit: Span, **kwargs: Any) -> None:
        """Take the weeks that the program has, and those to the next visit."""
        super().__init__(*args, **kwargs)
        self.whole = whole
        self.fields["first_week"].initial = to_visit.first
        self.fields["last_week"].initial = to_visit.last
        self.fields["kind"].help_text = f"To the next visit: {span_told(to_visit)}"

    def clean(self) -> dict[str, Any]:
        """Return what was chosen; the weeks are looked at for the sheets alone."""
        held: dict[str, Any] = super().clean() or self.cleaned_data
        if held.get("kind") == SHEETS:
            for name in ("first_week", "last_week"):
                self._look_at(name)
            self._look_at_order()
        return held

    def _look_at(self, name: str) -> None:
        week = self.cleaned_data.get(name)
        if name in self.errors:
            return
        if week is None:
            self.add_error(name, "Write the number of a week.")
        elif week not in self.whole:
            self.add_error(name, f"This program has {span_told(self.whole)}.")

    def _look_at_order(self) -> None:
        first, last = (self.cleaned_data.get(name) for name in ("first_week", "last_week"))
        if first is not None and last is not None and last < first:
            self.add_error("last_week", f"Write week {first} or a later one.")

    @property
    def options(self) -> dict[str, Any]:
        """Return what was chosen, as the action takes it."""
        held = dict(self.cleaned_data)
        first, last = held.pop("first_week"), held.pop("last_week")
        chosen = Span(first=first, last=last) if held["kind"] == SHEETS else None
        return held | {"weeks": chosen}


def span_told(span: Span) -> str:
    """Return "weeks 1 to 4"."""
    if span.first == span.last:
        return f"week {span.first}"
    return f"weeks {span.first} to {span.last}"


def _titles(languages: Held | None) -> list[tuple[str, str]]:
    """Return what a session is called in a calendar, by language."""
    return [(code, words_of(code).gettext(TITLE)) for code, _ in languages_on(languages)]


class CalendarForm(SheetForm):
    """The clock time of the sessions; empty makes whole days of them.

    Between midnight and four a clock may jump, and a session would be lost or come twice.
    """

    at = forms.TimeField(
        label="Time of day", required=False, help_text="Hours and minutes, such as 9:30"
    )

    title = forms.ChoiceField(label="Title", required=False)

    def __init__(self, *args: Any, languages: Held | None = None, **kwargs: Any) -> None:
        """Ask once for the languages that papers are made in, unless they were read already."""
        super().__init__(*args, **kwargs)
        _offer(self, "title", _titles(languages))

    @property
    def language(self) -> str:
        """Return the language of the title; English where none was chosen."""
        return self.cleaned_data["title"] or ENGLISH_CODE

    def clean_at(self) -> Any:
        """Return the time; raises ValidationError before four in the morning."""
        at = self.cleaned_data["at"]
        if at is not None and at.hour < EARLIEST_HOUR:
            raise forms.ValidationError("Choose a time from 4:00 on, or none.")
        return at
