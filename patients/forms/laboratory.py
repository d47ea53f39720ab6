"""The form for what the laboratory says of the error of a bone marker."""

from __future__ import annotations

import datetime as dt
from typing import Any

from patients.actions.scanners import MarkerFigures
from patients.facts import codes
from patients.forms.fields import DateField, NumberField, OneCodeField, TextField
from patients.forms.scanners import PlainForm

#: Believable percent, both ends inside (project choice, for the clinic to confirm).
BELIEVABLE = {
    "cv_analytical": (0.1, 30.0),
    "cv_within": (0.1, 60.0),
    "lsc": (1.0, 99.9),
}


class MarkerErrorForm(PlainForm):
    """The two coefficients of variation of a marker, or the LSC where only that is known."""

    needed = ("laboratory", "marker", "told_on")

    laboratory = TextField(label="Laboratory")
    marker = OneCodeField(labels=codes.MARKERS, required=True, label="Marker")
    told_on = DateField(label="Told on, or day of its report")
    cv_analytical = NumberField(
        decimals=1, unit="%", label="Analytical CV", help_text="From run to run, at this level"
    )
    cv_within = NumberField(
        decimals=1,
        unit="%",
        label="CV within a person",
        help_text="P1NP 12.4, bone ALP 7.1 in 27 women sampled 7 times in 4 to 6 months (2001)",
    )
    lsc = NumberField(
        decimals=1, unit="%", label="Or: least significant change, as the laboratory gives it"
    )
    note = TextField(label="Note", help_text="Method, reagent, who said so")

    def clean(self) -> dict[str, Any]:
        """Ask for both CVs or else the LSC, each believable."""
        cleaned = super().clean() or {}
        needed = (
            ("laboratory", "Write the name."),
            ("marker", "Choose the marker."),
            ("told_on", "Write the day."),
        )
        for name, asked in needed:
            if not cleaned.get(name) and name not in self.errors:
                self.add_error(name, asked)
        self._check_figures({n: cleaned[n] for n in BELIEVABLE if cleaned.get(n) is not None})
        return cleaned

    def _check_figures(self, given: dict[str, float]) -> None:
        if set(given) not in ({"cv_analytical", "cv_within"}, {"lsc"}) and not self.errors:
            self.add_error("cv_analytical", "Fill in both CVs, or else the LSC alone.")
        for name, value in given.items():
            low, high = BELIEVABLE[name]
            if not low <= value <= high:
                self.add_error(name, f"Check this: {low:g} to {high:g} % is expected.")

    def figures(self) -> MarkerFigures:
        """Return what was filled in."""
        typed = self.cleaned_data
        cvs = (typed["cv_analytical"], typed["cv_within"])
        return MarkerFigures(
            laboratory=typed["laboratory"],
            marker=typed["marker"],
            told_on=dt.date.fromisoformat(typed["told_on"]),
            cv_percent=None if typed["lsc"] is not None else cvs,
            lsc_percent=typed["lsc"],
            note=typed["note"] or "",
        )
