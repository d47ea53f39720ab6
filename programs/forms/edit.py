"""The form that changes a modality of an open draft, and the one that leaves it out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crispy_forms.bootstrap import AppendedText
from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Field, Fieldset, Layout
from django import forms
from django.core.exceptions import NON_FIELD_ERRORS

from patients.forms.fields import NumberField, WholeField
from programs.dose.could_lift import EQUATION_REPS, MOST, floor_of, percent_of
from programs.dose.limit import Breach
from programs.dose.plate_settings import frequencies, hz_words, mm_words, panel_hz
from programs.edit import changes
from programs.edit.base_draft import Basis
from programs.edit.changes import EXERCISES_OF, Edit, Weeks, fields_in, plate_travels, value_in
from programs.edit.judge import Passed, choices, exercises_in, gathered
from programs.edit.plan_in_words import exercise_name, weeks_words
from programs.exercises import EXERCISES, Exercise
from safety.findings import Modality

_NOTHING = "nothing"
COULD_LIFT, PERCENT = "could_lift", "percent"
#: Percents of the maximum of the most and of the fewest times that are told.
PERCENTS = (percent_of(MOST), percent_of(EQUATION_REPS[0]))


class EditForm(forms.Form):
    """Weeks, the numbers to change (an empty one stays as it is), one swap, and the reason."""

    needed = ("week_from", "week_to")

    week_from = WholeField(label="From week")
    week_to = WholeField(label="To week")
    reason = forms.CharField(
        required=False,
        max_length=1000,
        label="Reason",
        help_text="Needed where a limit asks for judgement; kept with the change and signed",
        widget=forms.Textarea({"rows": 2, "autocomplete": "off"}),
    )

    def __init__(
        self, *args: Any, modality: Modality, weeks: Weeks, basis: Basis, **kwargs: Any
    ) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        self.modality, self.weeks, self.basis = modality, weeks, basis
        self.numbers = fields_in(weeks, modality)
        for field in self.numbers:
            self.fields[field.name] = self._number(field)
        if COULD_LIFT in self.fields:
            self.fields[PERCENT] = _percent()
        self.swaps = self._add_swap()
        for name, asked in self.fields.items():
            # What is said beside a field may come later than the field itself.
            help_id = f"id_{name}_helptext " if asked.help_text else ""
            asked.widget.attrs["aria-describedby"] = f"{help_id}id_{name}_error"
        self.helper = self._layout()

    def _number(self, field: changes.Field) -> forms.Field:
        if field.name == "displacement_mm":
            return self._displacement()
        if field.name == "frequency_hz" and self.basis.plate.panel is not None:
            return self._frequency()
        help_text = f"now {self._now(field.name)}"
        if field.whole:
            return WholeField(label=field.label, help_text=help_text, unit=field.unit)
        return NumberField(decimals=2, label=field.label, help_text=help_text, unit=field.unit)

    def _displacement(self) -> forms.Field:
        """Offer what the plate can be set to, as its panel shows it."""
        offered = []
        for travel in plate_travels(self.basis):
            panel = "" if travel.panel is None else f", panel {travel.panel:g}"
            offered.append((repr(travel.mm), f"{mm_words(travel.mm)}{panel}"))
        now = f"mm peak to peak; now {self._now('displacement_mm')}"
        return _offered("Displacement", offered, now)

    def _frequency(self) -> forms.Field:
        """Offer the frequencies of a measured plate, each with what the panel shows for it."""
        plate = self.basis.plate
        offered = [
            (repr(hz), f"{hz_words(hz)}, panel {panel_hz(plate, hz):g}")
            for hz in frequencies(plate.frequency_hz)
        ]
        return _offered("Frequency", offered, f"Hz as measured; now {self._now('frequency_hz')}")

    def _now(self, name: str) -> str:
        """Return what stands in the weeks that the form starts with."""
        first, last = (self.initial.get(k) or 1 for k in ("week_from", "week_to"))
        look = Edit(path=f"{self.modality}.{name}", new=None, week_from=first, week_to=last)
        held = [value_in(week, look) for week in self.weeks if look.covers(week.week)]
        known = sorted({value for value in held if value is not None})
        if not known:
            return "nothing"
        low, high = known[0], known[-1]
        span = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        return f"{span} in week{'' if first == last else 's'} {weeks_words(first, last)}"

    def _add_swap(self) -> bool:
        """Offer to put another possible exercise in the place of one that is there."""
        held = {code for week in self.weeks for code in exercises_in(week, self.modality)}
        able = [one for one in choices(self.modality, self.basis) if one.code not in held]
        if not held or not able:
            return False
        present = sorted(held, key=exercise_name)
        self.fields["swap_out"] = forms.ChoiceField(
            choices=[("", "none"), *((code, exercise_name(code)) for code in present)],
            required=False,
            label="Take out",
        )
        self.fields["swap_in"] = forms.ChoiceField(
            choices=[("", "none"), *_by_ladder(present, able)],
            required=False,
            label="Put in its place",
            help_text="What there is equipment for, and nothing bars",
        )
        return True

    def _layout(self) -> FormHelper:
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        helper.form_show_errors = False
        helper.label_class = "form-label"
        numbers = [_asked(field.name, field.unit) for field in self.numbers]
        numbers += [_asked(PERCENT, "%")] if PERCENT in self.fields else []
        doses: list[Any] = [
            Div(_asked("week_from"), _asked("week_to"), css_class="weeks-of"),
            Div(*numbers, css_class="numbers"),
        ]
        if self.swaps:
            pair = Div(_asked("swap_out"), _asked("swap_in"), css_class="numbers")
            doses.append(Fieldset("Swap an exercise", pair))
        helper.layout = Layout(Div(*doses, css_class="doses"), _asked("reason"))
        return helper

    def clean(self) -> dict[str, Any]:
        """Ask for weeks and for both halves of a swap."""
        cleaned = super().clean() or {}
        for name in ("week_from", "week_to"):
            if cleaned.get(name) is None and name not in self.errors:
                self.add_error(name, "Write the number of a week.")
        self._read_percent(cleaned)
        out, in_ = cleaned.get("swap_out"), cleaned.get("swap_in")
        if bool(out) != bool(in_):
            self.add_error("swap_in" if out else "swap_out", "A swap needs both exercises.")
        if not self.errors and not self.edits():
            words = "Nothing is changed yet: fill in what is to be different."
            self.add_error(None, forms.ValidationError(words, code=_NOTHING))
        return cleaned

    def _read_percent(self, cleaned: dict[str, Any]) -> None:
        """Take a typed percent as the fewest times that keep within it (rulebook row 19a)."""
        percent = cleaned.get(PERCENT)
        if percent is None:
            return
        low, high = PERCENTS
        if not low <= percent <= high:
            self.add_error(PERCENT, f"From {low} to {high} is expected.")
        elif cleaned.get(COULD_LIFT) is not None:
            self.add_error(PERCENT, "Write the times or the percent, not both.")
        else:
            cleaned[COULD_LIFT] = floor_of(percent)

    def edits(self) -> list[Edit]:
        """Return the changes that were typed."""
        cleaned = self.cleaned_data
        span = {"week_from": cleaned["week_from"], "week_to": cleaned["week_to"]}
        found = [
            Edit(path=f"{self.modality}.{field.name}", new=cleaned[field.name], **span)
            for field in self.numbers
            if cleaned.get(field.name) is not None
        ]
        if cleaned.get("swap_in"):
            path = f"{self.modality}.{EXERCISES_OF}"
            swap = Edit(path=path, new=cleaned["swap_in"], old=cleaned["swap_out"], **span)
            found.append(swap)
        return found

    @property
    def nothing_typed(self) -> bool:
        """Tell whether all that is wrong is that nothing is to be different."""
        return self.has_error(NON_FIELD_ERRORS, _NOTHING)

    @property
    def wrong(self) -> list[str]:
        """Return the names of the fields beside which something is said."""
        return [f"“{field.label}”" for field in self if field.errors]

    @property
    def said(self) -> list[tuple[str, list[Any]]]:
        """Return each field's id and what is said beside it, the form's own first."""
        own = [] if self.nothing_typed else list(self.non_field_errors())
        return [("form", own), *((field.auto_id, list(field.errors)) for field in self)]

    def refuse(self, breaches: Sequence[Breach]) -> None:
        """Put each limit that no reason lets pass beside its field; the page tells its source."""
        for passed in gathered(breaches):
            self.add_error(self._field_of(passed.first.path), _told(passed))

    def ask_reason(self, breaches: Sequence[Breach]) -> None:
        """Ask for the reason that these limits need."""
        for passed in gathered(breaches):
            self.add_error("reason", f"Needed for this: {_told(passed)}")

    def _field_of(self, path: str) -> str | None:
        name = path.partition(".")[2]
        if name == EXERCISES_OF:
            name = "swap_in"
        return name if name in self.fields else None


def _offered(label: str, offered: list[tuple[str, str]], help_text: str) -> forms.Field:
    return forms.TypedChoiceField(
        choices=[("", "as it is"), *offered],
        coerce=float,
        empty_value=None,
        required=False,
        label=label,
        help_text=help_text,
    )


def _percent() -> forms.Field:
    help_text = "instead of the times: the fewest that keep within it, as 80 % is 11 times"
    return WholeField(label="Or percent of the maximum", help_text=help_text, unit="%")


def _by_ladder(held: Sequence[str], able: Sequence[Exercise]) -> list[Any]:
    """Return what may be put in, under what it stands next to on its ladder; others last."""
    left = {one.code: one.name for one in able}
    groups: list[Any] = []
    for code in held:
        known = EXERCISES.get(code)
        sides = ((known.easier, "easier"), (known.harder, "harder")) if known else ()
        beside = [(side, f"{left.pop(side)}, {how}") for side, how in sides if side in left]
        if beside:
            groups.append((f"Next to {exercise_name(code).lower()}", beside))
    return [*groups, ("Others", list(left.items()))] if left else groups


def _asked(name: str, unit: str = "") -> Div:
    """Lay out a field with the place where something is said beside it."""
    control = AppendedText(name, unit) if unit and name != "displacement_mm" else Field(name)
    if name in EditForm.needed:
        control = Field(name, template="programs/_edit_field.html")
    beside = HTML(
        f'{{% include "programs/_said.html" with id="id_{name}" errors=form.{name}.errors %}}'
    )
    return Div(control, beside, css_class="asked")


def _told(passed: Passed) -> str:
    weeks = passed.weeks_words
    return f"{passed.first.text} {weeks[0].upper()}{weeks[1:]}."


class LeaveOutForm(forms.Form):
    """Why a modality is left out; it stands below another form, so its ids are its own."""

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, auto_id="id_leave_out_%s")

    reason = forms.CharField(
        max_length=1000,
        label="Why it is left out",
        widget=forms.Textarea({"rows": 2, "autocomplete": "off"}),
        error_messages={"required": "Write down why."},
    )
