"""Sheets of what was measured or seen: size, fractures, scans, tests, lifts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from patients.facts.declared import Fracture, Lift, Probability, SpineImage, Tests
from patients.facts.partial_dates import DAY, known_of, told_text
from patients.facts.sections import SECTIONS
from patients.forms.from_questions import declared_form
from patients.forms.person import AboutForm
from patients.forms.same_day import Added, together
from patients.forms.sheet import Forms, Sheet, filled, part_of
from patients.forms.tables import MarkerForm, MeasuredTable, ScanForm
from patients.forms.worry import WorryForm
from patients.measured import worry
from patients.models.patient import FractureRow, FunctionTestDay, LiftSet, Measured

#: The bone of which it is asked whether the break was atypical.
THIGH = "femur_shaft"
#: Lifts whose estimated maximum sets a load.
LIFTS: Mapping[str, str] = {
    "leg_press": "Leg press",
    "leg_extension": "Leg extension",
    "squat": "Squat",
    "deadlift": "Deadlift",
    "bench_press": "Bench press",
    "overhead_press": "Overhead press",
    "row": "Row",
    "lat_pull": "Lat pull-down",
}


class AboutSheet(Sheet):
    """Size of a day, tallest height, menopause, pregnancy."""

    section = SECTIONS["about"]
    kinds = ("size",)

    def make(self) -> Forms:
        """Yield the one form."""
        patient = self.known.patient
        given: dict[str, Any] = {"born": patient.born_as_told, "sex": patient.sex}
        tall = [row.height_cm for row in self.known.sizes if row.height_cm is not None]
        if tall:
            given["height_cm"] = float(tall[-1])
        part = self.answers.get("person")
        yield (
            "about",
            "",
            self.form("about", AboutForm, part=part, given=given, corrects=self.corrects),
        )

    def check(self) -> None:
        """Refuse a second size of one day."""
        self.once(self.forms["about"], "size", self.rows(), ("date", "height_cm", "weight_kg"))

    def part(self) -> dict[str, Any]:
        """Return what is asked rather than measured."""
        return {"person": self.forms["about"].answers()}  # type: ignore[attr-defined]

    def rows(self) -> list[Measured]:
        """Return the size, where one was filled in."""
        size = self.forms["about"].size()  # type: ignore[attr-defined]
        return [] if size is None else [size]


class FractureForm(declared_form(Fracture)):  # type: ignore[misc]
    """One broken bone, of whose date perhaps only the month or the year is known.

    corrects  the entry that is put right; its day stays where its date is typed as it was
    """

    def __init__(self, *args: Any, corrects: Measured | None = None, **kwargs: Any) -> None:
        super().__init__(*args, part=part_of(corrects, FractureRow), **kwargs)
        self.corrects = corrects if isinstance(corrects, FractureRow) else None
        site = self.data.get(self.add_prefix("site")) or self.initial.get("site")
        # Only a thigh bone breaks so that this is asked.
        if site != THIGH:
            del self.fields["atypical"]

    def clean(self) -> dict[str, Any]:
        """Ask once more where the bone is the one that may break atypically."""
        cleaned: dict[str, Any] = super().clean()
        if cleaned.get("site") == THIGH and self.add_prefix("atypical") not in self.data:
            self.add_error("atypical", "Asked of this bone: was the break atypical?")
        return cleaned

    def rows(self) -> list[Measured]:
        """Return the fracture, where one was filled in, as an unsaved row."""
        if self.fact is None:
            return []
        row = FractureRow.from_fact(self.fact)
        if self.corrects is not None and self._as_it_was(self.corrects):
            row.date = self.corrects.date
        return [row]

    def _as_it_was(self, corrects: FractureRow) -> bool:
        held, typed = corrects.fact().date, self.fact.date
        return None not in (held, typed) and told_text(held) == told_text(typed)


SpineImageForm = declared_form(SpineImage)
ProbabilityForm = declared_form(Probability)


class FracturesSheet(Sheet):
    """A broken bone to add, spine image, ten-year probability."""

    section = SECTIONS["fractures"]
    kinds = ("fracture",)
    takes_more = True

    def make(self) -> Forms:
        """Yield the forms."""
        heading = "Correct a fracture" if self.corrects else "Add a fracture"
        yield "fracture", heading, self.form("fracture", FractureForm, corrects=self.corrects)
        label = "Asked: no fracture in adult life"
        yield from self.none_form("none", label, "fractures", "fracture")
        for name, title, of in (
            ("spine_image", "Spine image", SpineImageForm),
            ("probability_10y", "Ten-year probability, as worked out elsewhere", ProbabilityForm),
        ):
            yield name, title, self.form(name, of, part=self.answers.get(name))

    def check(self) -> None:
        """Refuse a fracture together with none, and one on record already."""
        rows = self.rows()
        self.not_none_and("none", rows)
        # Two bones of one kind may break in a year of which no more is known.
        if any(row.day is not None and known_of(row.fact().date) == DAY for row in rows):
            self.once(self.forms["fracture"], "fracture", rows, ("site", "date"))

    def part(self) -> dict[str, Any]:
        """Return image, probability, and whether there is no fracture."""
        part = {n: p for n in ("spine_image", "probability_10y") if (p := filled(self.forms[n]))}
        return part | self.none_or("none", self.rows(), "fractures")

    def rows(self) -> list[Measured]:
        """Return the fracture, where one was filled in."""
        return self._form.rows()

    @property
    def _form(self) -> FractureForm:
        form = self.forms["fracture"]
        assert isinstance(form, FractureForm)
        return form


class ScansSheet(Sheet):
    """Sites of one scan and markers of one sample to add."""

    section = SECTIONS["scans"]
    kinds = ("scan", "marker")
    takes_more = True

    def make(self) -> Forms:
        """Yield the forms."""
        yield "scan", "DXA scan", self.form("scan", ScanForm, corrects=self.corrects)
        yield from self.none_form("no_scan", "Asked: no DXA scan so far", "scans", "scan")
        yield "marker", "Bone markers", self.form("marker", MarkerForm, corrects=self.corrects)
        label = "Asked: no bone markers so far"
        yield from self.none_form("no_marker", label, "turnover", "marker")

    def check(self) -> None:
        """Refuse rows together with none, and rows on record already."""
        scans, markers = self._filled("scan"), self._filled("marker")
        self.not_none_and("no_scan", scans)
        self.not_none_and("no_marker", markers)
        self.once(self.forms["scan"], "scan", scans, ("date", "site", "side"))
        self.once(self.forms["marker"], "marker", markers, ("date", "marker"))

    def part(self) -> dict[str, Any]:
        """Return whether there are no scans or markers."""
        scans = self.none_or("no_scan", self._filled("scan"), "scans")
        return scans | self.none_or("no_marker", self._filled("marker"), "turnover")

    def rows(self) -> list[Measured]:
        """Return the sites and markers filled in."""
        return self._filled("scan") + self._filled("marker")

    def _filled(self, name: str) -> list[Measured]:
        form = self.forms[name]
        assert isinstance(form, MeasuredTable)
        return form.filled


class TestsForm(declared_form(Tests)):  # type: ignore[misc]
    """The tests of one day, or that none was done."""

    not_done = forms.BooleanField(required=False, label="Not done today")


class TestsSheet(Sheet):
    """The function tests of one day."""

    section = SECTIONS["tests"]
    kinds = ("tests",)

    def make(self) -> Forms:
        """Yield the form, its day today unless one is corrected, and the worry scale."""
        part = part_of(self.corrects, FunctionTestDay)
        yield (
            "tests",
            "",
            self.form("tests", TestsForm, part=part or {"date": self.known.as_of.isoformat()}),
        )
        yield "worry", worry.TITLE, self.form("worry", WorryForm, corrects=self.corrects)

    def check(self) -> None:
        """Ask for day and at least one result; ask where the day has another result."""
        form = self.forms["tests"]
        part = filled(form)
        if self.is_not_done:
            if set(part) - {"date"} or self._worry() is not None:
                form.add_error(
                    "not_done", "A result is filled in as well. Untick this, or clear it."
                )
        elif "date" not in part:
            form.add_error("date", "Write the day of the tests.")
        elif set(part) == {"date"} and self._worry() is None:
            form.add_error(None, "No test is filled in. Fill one in, or tick “Not done today”.")
        elif self.corrects is None:
            self._of_day.tell(form)
        else:
            self.once(form, "tests", [self._typed()], ("date",))

    @property
    def is_not_done(self) -> bool:
        """Tell whether it was said that no test was done today."""
        return bool(self.forms["tests"].cleaned_data.get("not_done"))

    @property
    def replaces(self) -> Measured | None:
        """Return the row that is corrected, or to which values come."""
        return self.corrects or self._of_day.replaces

    def rows(self) -> list[Measured]:
        """Return the day's tests and answers, with what stands of that day already."""
        if self.is_not_done:
            return []
        if self.corrects is not None:
            return [self._typed()]
        return [] if self._of_day.row is None else [self._of_day.row]

    @property
    def _of_day(self) -> Added:
        typed = self._typed()
        held = [row for row in self.known.rows["tests"] if row.date == typed.date]
        return together(held[-1] if held else None, typed)

    def _typed(self) -> FunctionTestDay:
        fact = self.forms["tests"].fact  # type: ignore[attr-defined]
        return FunctionTestDay.from_fact(fact, worry=self._worry())

    def _worry(self) -> list[int | None] | None:
        form = self.forms["worry"]
        assert isinstance(form, WorryForm)
        return form.answers()


class LiftForm(MeasuredTable):
    """Sets of one day, each until no further repetition was possible."""

    labels = LIFTS
    of = Lift
    row_class = LiftSet
    code_key = "lift"
    shared = ("on",)
    cells = ("kg", "reps")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("on", self.as_of.isoformat())


class LiftsSheet(Sheet):
    """Lifts of one day to add."""

    section = SECTIONS["lifts"]
    kinds = ("lift",)
    takes_more = True

    def make(self) -> Forms:
        """Yield the forms."""
        yield "lift", "", self.form("lift", LiftForm, corrects=self.corrects)
        yield from self.none_form("none", "Asked: no lift was tested", "lifts", "lift")

    def check(self) -> None:
        """Refuse lifts together with none."""
        self.not_none_and("none", self.rows())

    def part(self) -> dict[str, Any]:
        """Return whether there are no lifts."""
        return self.none_or("none", self.rows(), "lifts")

    def rows(self) -> list[Measured]:
        """Return the lifts filled in."""
        form = self.forms["lift"]
        assert isinstance(form, LiftForm)
        return form.filled
