"""The short forms of the first consult: what decides, each question by one key where it can be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from patients.facts import codes
from patients.facts.ages import NOT_PREGNANT_AGE
from patients.facts.declared import Experience, Falls, Resources, Scan, Tests
from patients.facts.declared_plate import Plate
from patients.facts.units import show_number
from patients.forms import one_key
from patients.forms.fields import WholeField
from patients.forms.from_questions import SheetForm, declared_form
from patients.forms.one_key import MORE, OneKeyField
from patients.forms.person import AboutForm
from patients.forms.sheets_measured import FractureForm
from patients.forms.tables import MeasuredTable
from patients.models.patient import ScanRow


def worded(form: forms.Form, words: Mapping[str, str]) -> None:
    """Give fields of a form the short words of this page, and no help."""
    for name, field in form.fields.items():
        field.label = words.get(name, field.label)
        field.help_text = ""


def one_keys(form: forms.Form, **choices: Mapping[str, tuple[str, str]]) -> None:
    """Let one key answer these fields of a form."""
    for name in [name for name in choices if name in form.fields]:
        old = form.fields[name]
        form.fields[name] = OneKeyField(
            choices=choices[name], label=old.label, help_text=old.help_text
        )


_ABOUT_WORDS = {"mobility": "Indoors", "tallest_height_cm": "Tallest", "pregnant": "Pregnant"}


class ConsultAboutForm(AboutForm):
    """Stage of life, how she gets about, and what was measured today."""

    field_order = (
        *("menopause", "pregnant", "mobility"),
        *("height_cm", "weight_kg", "tallest_height_cm"),
    )

    def __init__(
        self, *args: Any, sizes: Mapping[str, float], youngest: int, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["measured_on"]
        worded(self, _ABOUT_WORDS)
        for name, value in sizes.items():
            self.fields[name].help_text = f"On record: {show_number(value, 1)}"
        one_keys(
            self,
            menopause=one_key.MENOPAUSE,
            pregnant=one_key.YES_NO,
            mobility=one_key.MOBILITY,
        )
        if youngest >= NOT_PREGNANT_AGE and not self.initial["pregnant"]:
            self.fields.pop("pregnant", None)

    def clean(self) -> dict[str, Any]:
        """Check what no single question shows; what was measured was measured today."""
        self.cleaned_data["measured_on"] = self.as_of.isoformat()
        return super().clean()


class AnyFractureForm(SheetForm):
    """Whether any bone broke in adult life."""

    broke = OneKeyField(
        choices={"no": ("n", "none"), "yes": ("y", "yes")}, label="Fractures as an adult"
    )

    def __init__(self, *args: Any, asked: bool, **kwargs: Any) -> None:
        super().__init__(*args, initial={"broke": "no" if asked else ""}, **kwargs)


class ConsultFractureForm(FractureForm):
    """One broken bone."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        worded(self, {})
        one_keys(self, **dict.fromkeys(("low_trauma", "healed", "atypical"), one_key.YES_NO))


_FALLS_WORDS = {
    "last_12_months": "Falls in 12 months",
    "injury": "One with an injury that needed care",
    "long_lie": "One with an hour or more on the floor",
    "blackout": "One with a blackout",
    "unsteady": "Feels unsteady",
}


class ConsultFallsForm(declared_form(Falls, without=("worried",))):  # type: ignore[misc]
    """Falls as a number by one key; how they ended is asked where there was one."""

    many = WholeField(label="How many falls")
    field_order = ("last_12_months", "many", "injury", "long_lie", "blackout", "unsteady")
    of_a_fall = ("injury", "long_lie", "blackout")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        worded(self, _FALLS_WORDS)
        yes_no = dict.fromkeys((*self.of_a_fall, "unsteady"), one_key.YES_NO)
        one_keys(self, last_12_months=one_key.FALLS, **yes_no)
        count = self.initial["last_12_months"]
        if count is not None:
            told = str(count) in one_key.FALLS
            self.initial["last_12_months"] = str(count) if told else MORE
            self.initial["many"] = None if told else count

    def clean_last_12_months(self) -> int | str | None:
        """Return the number of falls, or that there were more."""
        told = self.cleaned_data["last_12_months"]
        return int(told) if told.isdecimal() else told or None

    def clean(self) -> dict[str, Any]:
        """Put the number of falls in its place; without a fall nothing is kept of how it ended."""
        typed = self.cleaned_data
        if typed.get("last_12_months") == MORE:
            typed["last_12_months"] = typed.get("many")
            if typed["last_12_months"] is None and "many" not in self.errors:
                self.add_error("many", "Write how many.")
        if typed.get("last_12_months") == 0:
            typed |= {name: "" for name in self.of_a_fall if typed.get(name) == "no"}
        return super().clean()  # type: ignore[no-any-return]


_TESTS_WORDS = {
    "resting_bp": "Pressure at rest",
    "standing_bp": "after standing up",
    "chair_stands_30s": "Chair stands, 30 s",
    "walk_4m_s": "4 m walk",
}
CONSULT_TESTS = (
    *("up_and_go_s", "chair_stands_30s", "tandem_s", "one_leg_s", "walk_4m_s"),
    *("resting_bp", "standing_bp"),
)


class ConsultTestsForm(declared_form(Tests, only=CONSULT_TESTS)):  # type: ignore[misc]
    """The tests of today that decide most."""

    field_order = ("resting_bp", "standing_bp", *CONSULT_TESTS)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.given["date"] = self.as_of.isoformat()
        worded(self, _TESTS_WORDS)


class ConsultScanForm(MeasuredTable):
    """The T-scores of one scan; density, Z and side stand on the page of scans."""

    template = "patients/_scores.html"
    labels = codes.SCAN_SITES
    of = Scan
    row_class = ScanRow
    code_key = "site"
    shared = ("date",)
    cells = ("t",)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sites = {f"{code}__t": f"T {label}" for code, label in self.labels.items()}
        worded(self, sites | {"distal_third_radius__t": "T radius, distal third"})


_HELP = ("supervised", "watcher", "support_rail")
TIME = ("days", "minutes_per_day", *_HELP, "equipment")


_TIME_WORDS = {
    "days": "Days",
    "minutes_per_day": "Minutes a day",
    "supervised": "Supervised by trained staff",
    "watcher": "Adult at home, shown how",
}


class ConsultTimeForm(declared_form(Resources, only=TIME)):  # type: ignore[misc]
    """Days, minutes, help and tools."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        worded(self, _TIME_WORDS)
        one_keys(self, **dict.fromkeys(_HELP, one_key.YES_NO))


class ConsultExperienceForm(declared_form(Experience)):  # type: ignore[misc]
    """What she has done before."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        worded(self, {"resistance": "Lifted before", "impact": "Impact before"})
        one_keys(self, resistance=one_key.EXPERIENCE, impact=one_key.EXPERIENCE)


class ConsultAimsForm(SheetForm):
    """The first two aims; further ones on record stay."""

    first = OneKeyField(choices=one_key.AIMS, label="First aim")
    second = OneKeyField(choices=one_key.AIMS, label="Second aim")

    def __init__(self, *args: Any, part: Sequence[str] | None = None, **kwargs: Any) -> None:
        self.held = list(part or ())
        super().__init__(*args, **kwargs)
        self.initial.update(zip(self.fields, self.held, strict=False))

    def clean(self) -> dict[str, Any]:
        """Refuse an aim named twice, and a second without a first."""
        typed = super().clean() or {}
        if typed.get("second") and typed.get("second") == typed.get("first"):
            self.add_error("second", "This aim is named first.")
        elif typed.get("second") and not typed.get("first"):
            self.add_error("first", "Name the first aim, or clear the second.")
        return typed

    def part(self) -> list[str]:
        """Return the aims, most wanted first."""
        told = [aim for name in self.fields if (aim := self.cleaned_data.get(name))]
        return told + [aim for aim in self.held[2:] if told and aim not in told]


class AnyPlateForm(SheetForm):
    """Whether there is a vibration plate that she can use."""

    plate = OneKeyField(choices=one_key.YES_NO, label="A vibration plate to use")

    def __init__(self, *args: Any, none: bool, **kwargs: Any) -> None:
        super().__init__(*args, initial={"plate": "no" if none else ""}, **kwargs)


class ConsultPlateForm(declared_form(Plate, without=("price", "panel"))):  # type: ignore[misc]
    """A plate that she can use."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        worded(self, {})
        one_keys(self, rail=one_key.YES_NO)
