"""Sheets of what was measured or seen: size, fractures, scans, tests, lifts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from patients import worry
from patients.asking import asks
from patients.facts import Fracture, Lift, Probability, SpineImage, Tests
from patients.forms.declared import declared_form
from patients.forms.fields import SpanField
from patients.forms.person import AboutForm
from patients.forms.sheet import Forms, Sheet, filled, part_of
from patients.forms.tables import MarkerForm, MeasuredTable, ScanForm
from patients.forms.worry import WorryForm
from patients.models import FractureRow, FunctionTestDay, LiftSet, Measured
from patients.sections import SECTIONS
from patients.spans import DAY, Span, typed_span

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
        given: dict[str, Any] = {"born": patient.born.isoformat(), "sex": patient.sex}
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

    date = SpanField(label=asks(Fracture)["date"].question)
    field_order = tuple(asks(Fracture))

    def __init__(self, *args: Any, corrects: Measured | None = None, **kwargs: Any) -> None:
        super().__init__(*args, part=part_of(corrects, FractureRow), **kwargs)
        self.known, self.kept_day = DAY, None
        if isinstance(corrects, FractureRow) and corrects.date is not None:
            self.kept_day = corrects.date
            self.initial["date"] = typed_span(corrects.date, corrects.date_is)

    def clean_date(self) -> str | None:
        """Return the latest day of the span as ISO text, and keep what is known of it."""
        span: Span | None = self.cleaned_data["date"]
        if span is None:
            return None
        self.known = span.known
        as_it_was = typed_span(span.first, span.known) == self.initial.get("date")
        day = self.kept_day if self.kept_day and as_it_was else span.until(self.as_of)
        return day.isoformat()

    def rows(self) -> list[Measured]:
        """Return the fracture, where one was filled in, as an unsaved row."""
        if self.fact is None:
            return []
        return [FractureRow.from_fact(self.fact, date_is=self.known)]


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
        if self._form.known == DAY and any(row.day is not None for row in rows):
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


TestsForm = declared_form(Tests)


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
        """Ask for day and at least one result; refuse a second entry of one day."""
        form = self.forms["tests"]
        part = filled(form)
        if "date" not in part:
            form.add_error("date", "Write the day of the tests.")
        elif set(part) == {"date"} and self._worry() is None:
            form.add_error(None, "No test is filled in.")
        else:
            self.once(form, "tests", self.rows(), ("date",))

    def rows(self) -> list[Measured]:
        """Return the day's tests and answers."""
        fact = self.forms["tests"].fact  # type: ignore[attr-defined]
        return [FunctionTestDay.from_fact(fact, worry=self._worry())]

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
