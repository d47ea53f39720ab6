"""Which paper to print, and how."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings

from patients.forms.declared import SheetForm
from programs.actions.handouts import ENGLISH_CODE, FIRST_WEEKS, KINDS, words_of
from programs.actions.printing import PAPERS, TYPES_PT
from programs.handout.sessions_calendar import TITLE

TYPE_NAMES = {16: "large (16 pt)", 20: "very large (20 pt)"}
LAST_WEEK = 26
EARLIEST_HOUR = 4


class PaperForm(SheetForm):
    """The options of a paper."""

    kind = forms.ChoiceField(label="Paper", choices=list(KINDS.items()), initial=FIRST_WEEKS)
    week = forms.IntegerField(
        label="Week, for the fridge door", min_value=1, max_value=LAST_WEEK, initial=1
    )
    language = forms.ChoiceField(
        label="Language",
        choices=settings.LANGUAGES,
        help_text="The page for the referring doctor is always in English",
    )
    paper = forms.ChoiceField(label="Paper size", choices=[(name, name) for name in PAPERS])
    type_pt = forms.TypedChoiceField(
        label="Letters", coerce=int, choices=[(pt, TYPE_NAMES[pt]) for pt in TYPES_PT]
    )

    @property
    def options(self) -> dict[str, Any]:
        """Return what was chosen, as the action takes it."""
        return dict(self.cleaned_data)


def _titles() -> list[tuple[str, str]]:
    """Return what a session is called in a calendar, by language."""
    return [(code, words_of(code).gettext(TITLE)) for code, _ in settings.LANGUAGES]


class CalendarForm(SheetForm):
    """The clock time of the sessions; empty makes whole days of them.

    Between midnight and four a clock may jump, and a session would be lost or come twice.
    """

    at = forms.TimeField(
        label="Time of day", required=False, help_text="Hours and minutes, such as 9:30"
    )

    title = forms.ChoiceField(label="Title", choices=_titles, required=False)

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
