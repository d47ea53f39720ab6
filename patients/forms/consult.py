"""The first consult on one page: the questions that decide, saved in one go."""

from __future__ import annotations

from typing import Any

from patients.facts.ages import age_on
from patients.facts.partial_dates import first_span
from patients.facts.sections import SECTIONS, put, taken, value_at
from patients.forms.consult_forms import (
    AnyFractureForm,
    AnyPlateForm,
    ConsultAboutForm,
    ConsultAimsForm,
    ConsultExperienceForm,
    ConsultFallsForm,
    ConsultFractureForm,
    ConsultPlateForm,
    ConsultScanForm,
    ConsultTestsForm,
    ConsultTimeForm,
)
from patients.forms.consult_lists import TICKED
from patients.forms.same_day import Added, together
from patients.forms.sheet import Forms, NoneForm, Sheet, filled
from patients.forms.sheets_asked import not_asked_of
from patients.forms.tables import MeasuredTable
from patients.models.patient import KINDS, FunctionTestDay, Measured

#: Bones that can be told here at once; more are told on their own page.
FRACTURES = ("fracture0", "fracture1")
_RESOURCES = "resources"
_GROUPS = (
    ("Falls and fractures", ("falls", "no_fracture", *FRACTURES)),
    ("Stage of life and size", ("about",)),
    ("Measured today", ("tests",)),
    ("DXA: T-scores of one scan", ("scan", "no_scan")),
    ("Aims", ("aims", "experience")),
    ("Time and help", ("time",)),
    ("Vibration plate", ("no_plate", "plate0")),
)


class ConsultSheet(Sheet):
    """What decides, in the order in which it is asked; what stands elsewhere stays as it is."""

    kinds = tuple(KINDS)
    SAVES = (
        *("symptoms", "conditions", "medicines", "about", "fractures", "scans"),
        *("falls", "aims", "plates"),
    )

    def make(self) -> Forms:
        """Yield the forms."""
        spared = not_asked_of(self.known)
        for code, of in TICKED.items():
            part = self.answers.get(code)
            yield code, SECTIONS[code].title, self.form(code, of, part=part, spared=spared)
        yield "about", "", self._about()
        yield from self._fractures()
        yield "falls", "", self.form("falls", ConsultFallsForm, part=self.answers.get("falls"))
        yield "tests", "Measured today", self.form("tests", ConsultTestsForm)
        yield "scan", "DXA scan: T-scores", self.form("scan", ConsultScanForm)
        yield from self.none_form("no_scan", "No scan so far", "scans", "scan")
        held = self.answers.get(_RESOURCES)
        yield "time", "Time and help", self.form("time", ConsultTimeForm, part=held)
        aims = self.answers.get("aims")
        yield "aims", "", self.form("aims", ConsultAimsForm, part=aims)
        done = self.answers.get("experience")
        yield "experience", "", self.form("experience", ConsultExperienceForm, part=done)
        yield from self._plates()

    @property
    def lists(self) -> list[tuple[str, str, Any]]:
        """Return name, heading and form of each list to tick."""
        return [block for block in self.blocks if block[0] in TICKED]

    @property
    def groups(self) -> list[tuple[str, list[tuple[str, Any]]]]:
        """Return the short forms under their headings, in the order of the page."""
        held = ((title, [n for n in names if n in self.forms]) for title, names in _GROUPS)
        return [(title, [(n, self.forms[n]) for n in names]) for title, names in held if names]

    def check(self) -> None:
        """Refuse what is said and denied at once, and what clashes with today's row."""
        self.not_none_and("no_scan", self._scans())
        self.once(self.forms["scan"], "scan", self._scans(), ("date", "site"))
        if self._value("no_fracture", "broke") == "no" and self._broken():
            text = "A broken bone is filled in as well. Clear it, or answer yes."
            self.forms["no_fracture"].add_error("broke", text)
        if self._value("no_plate", "plate") == "no" and filled(self.forms["plate0"]):
            text = "A plate is filled in as well. Clear it, or answer yes."
            self.forms["no_plate"].add_error("plate", text)
        self._tests.tell(self.forms["tests"])

    def parts(self) -> dict[str, dict[str, Any]]:
        """Return the answers of each section, whole, by its code."""
        whole = dict(self.answers)
        self._put_lists(whole)
        for name, value in self._stage().items():
            put(whole, f"person.{name}", value)
        for key, name in (("falls", "falls"), ("experience", "experience"), (_RESOURCES, "time")):
            whole[key] = self._laid(key, name)
        whole["aims"] = filled(self.forms["aims"]) or None
        self._put_none(whole)
        given = {key: value for key, value in whole.items() if value or value == []}
        return {code: taken(given, SECTIONS[code]) for code in self.SAVES}

    def asked_again(self) -> list[str]:
        """Return the lists answered today though nothing changed: when, and by whom, is kept."""
        return [code for code in TICKED if self._value(code, "rest_is_no")]

    def rows(self) -> list[Measured]:
        """Return what was measured and broken, to be added."""
        size = self.forms["about"].size()  # type: ignore[attr-defined]
        new = [] if size is None else [size]
        return [*new, *self._broken(), *self._scans(), *self._tests.new]

    def corrected(self) -> list[tuple[Measured, Measured]]:
        """Return today's row of tests as it was and as it is, where values came to it."""
        return self._tests.corrected

    # --- Its forms ------------------------------------------------------------------------

    def _about(self) -> Any:
        patient = self.known.patient
        newest = {
            name: float(held[-1])
            for name in ("height_cm", "weight_kg")
            if (held := [v for row in self.known.sizes if (v := getattr(row, name)) is not None])
        }
        given: dict[str, Any] = {"born": patient.born_as_told, "sex": patient.sex}
        if "height_cm" in newest:
            given["height_cm"] = newest["height_cm"]
        of_her = {"part": self.answers.get("person"), "given": given, "sizes": newest}
        born = first_span(patient.born, patient.born_is)
        youngest = age_on(born.until(self.known.as_of), self.known.as_of)
        return self.form("about", ConsultAboutForm, youngest=youngest, **of_her)

    def _fractures(self) -> Forms:
        if not self.known.rows["fracture"]:
            asked = self.answers.get("fractures") == []
            yield "no_fracture", "", self.form("no_fracture", AnyFractureForm, asked=asked)
        for name in FRACTURES:
            yield name, "", self.form(name, ConsultFractureForm)

    def _plates(self) -> Forms:
        held = value_at(self.answers, "resources.plates")
        if held:
            return
        yield "no_plate", "", self.form("no_plate", AnyPlateForm, none=held == [])
        yield "plate0", "", self.form("plate0", ConsultPlateForm)

    # --- What they say --------------------------------------------------------------------

    def _value(self, name: str, field: str) -> Any:
        form = self.forms.get(name)
        return None if form is None else form.cleaned_data.get(field)

    def _put_lists(self, whole: dict[str, Any]) -> None:
        for code in TICKED:
            whole[code] = filled(self.forms[code])

    def _stage(self) -> dict[str, Any]:
        form = self.forms["about"]
        told = form.answers()  # type: ignore[attr-defined]
        asked = [name for name in form.fields if name not in ("height_cm", "weight_kg")]
        return {name: told.get(name) for name in asked}

    def _laid(self, key: str, name: str) -> dict[str, Any]:
        """Return the answers of a group: what is asked here as it is told, the rest as it was."""
        form = self.forms[name]
        kept = {k: v for k, v in (self.answers.get(key) or {}).items() if k not in form.fields}
        return kept | filled(form)

    def _put_none(self, whole: dict[str, Any]) -> None:
        """Set what was asked for and is not there, and the plate."""
        if self._broken() or "no_fracture" in self.forms:
            whole["fractures"] = [] if self._value("no_fracture", "broke") == "no" else None
        none = self.forms.get("no_scan")
        if isinstance(none, NoneForm):
            whole["scans"] = [] if none.ticked and not self._scans() else None
        if "plate0" in self.forms:
            plate = filled(self.forms["plate0"])
            denied = self._value("no_plate", "plate") == "no"
            put(whole, "resources.plates", [plate] if plate else [] if denied else None)

    def _broken(self) -> list[Measured]:
        forms = [self.forms[name] for name in FRACTURES]
        return [row for form in forms for row in form.rows()]  # type: ignore[attr-defined]

    def _scans(self) -> list[Measured]:
        form = self.forms["scan"]
        assert isinstance(form, MeasuredTable)
        return form.filled

    @property
    def _tests(self) -> Added:
        """Return what was measured today, laid over what stands of today."""
        held = [row for row in self.known.rows["tests"] if row.date == self.known.as_of]
        fact = self.forms["tests"].fact  # type: ignore[attr-defined]
        typed = None if fact is None else FunctionTestDay.from_fact(fact)
        return together(held[-1] if held else None, typed)
