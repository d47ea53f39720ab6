"""One form field for each kind of question. They read text; ranges are checked with the facts.

No field is a number input: a mouse wheel over one would change what was typed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from django import forms

from patients.facts import units
from patients.facts.partial_dates import Span, typed_span
from patients.facts.question import Ask, Kind
from patients.facts.typed_dates import parse_typed_day, parse_typed_span, span_words

NOT_RECORDED = "not recorded"
NONE = "none"
#: What stands beside a date: one way to write it, of many.
DATE_LIKE, SPAN_LIKE = "like 14 Mar 1959", "like 1959, Mar 1959 or 14 Mar 1959"
#: Questions whose answer may be "none of these"; elsewhere nothing ticked is not recorded.
MAY_BE_NONE = ("equipment",)

_QUIET = {"autocomplete": "off", "spellcheck": "false"}


class TypedField(forms.CharField):
    """A text that is parsed; `unit` stands beside it."""

    unit = ""
    is_short = True

    def __init__(self, *, unit: str = "", inputmode: str = "text", **more: Any) -> None:
        super().__init__(required=False, **more)
        self.unit = unit
        self.widget.attrs |= _QUIET | {"inputmode": inputmode}

    def parse(self, text: str) -> Any:
        """Return the value in the text; raises units.Unreadable."""
        raise NotImplementedError

    def reading(self, text: str) -> str:
        """Return how a text was read, where that is worth saying beside it."""
        return ""

    def to_python(self, value: Any) -> Any:
        """Return the parsed value, or None for an empty field."""
        text = units.clean_text(value or "")
        if not text:
            return None
        try:
            return self.parse(text)
        except units.Unreadable as error:
            raise forms.ValidationError(str(error)) from error


class TextField(TypedField):
    """A short text without invisible signs."""

    is_short = False

    def parse(self, text: str) -> str:
        """Return the text; raises Unreadable where it is too long."""
        if len(text) > 200:
            raise units.Unreadable("Shorten this to 200 characters.")
        return text


class NumberField(TypedField):
    """A number with so many decimals; kg and cm are also read from pounds, feet and inches."""

    def __init__(self, *, decimals: int, may_be_negative: bool = False, **more: Any) -> None:
        # A tablet's number keys have no minus sign.
        keys = "text" if may_be_negative else "decimal" if decimals else "numeric"
        super().__init__(inputmode=keys, **more)
        self.decimals = decimals
        if self.unit == "s":
            self.widget.attrs["data-stopwatch"] = decimals

    def parse(self, text: str) -> float:
        """Return the number; raises Unreadable."""
        size = _SIZES.get(self.unit)
        value = size(text) if size else units.parse_typed_number(text, self.unit)
        rounded = units.round_half_away(value, self.decimals)
        if rounded != value and not (size and _names_a_unit(text)):
            raise units.NotANumber(_too_fine(self.decimals))
        return rounded

    def reading(self, text: str) -> str:
        """Return the size in the field's own unit, where another was typed."""
        if self.unit not in _SIZES or not _names_a_unit(text):
            return ""
        return f"{units.show_number(self.parse(text), self.decimals)} {self.unit}"

    def prepare_value(self, value: Any) -> Any:
        """Return the text for a number."""
        return f"{value:.10g}" if isinstance(value, float | int) else value


_SIZES: Mapping[str, Callable[[str], float]] = {
    "kg": units.parse_weight_kg,
    "cm": units.parse_height_cm,
}


def _names_a_unit(text: str) -> bool:
    return any(not (c.isdigit() or c in " .,+-") for c in text)


def _too_fine(decimals: int) -> str:
    if decimals == 0:
        return "Write a whole number."
    return f"Write at most {decimals} decimal{'s' if decimals > 1 else ''}."


class WholeField(NumberField):
    """A whole number."""

    def __init__(self, **more: Any) -> None:
        super().__init__(decimals=0, **more)

    def parse(self, text: str) -> int:
        """Return the number; raises Unreadable."""
        return units.parse_typed_whole(text, self.unit)

    def reading(self, text: str) -> str:
        """Return nothing: a whole number is read as it stands."""
        return ""


class DateField(TypedField):
    """A date in any order that has one reading; the cleaned value is its ISO text."""

    def __init__(self, **more: Any) -> None:
        super().__init__(unit=DATE_LIKE, **more)

    def parse(self, text: str) -> str:
        """Return the date as ISO text; raises Unreadable."""
        return parse_typed_day(text).isoformat()

    def reading(self, text: str) -> str:
        """Return the date in words."""
        return span_words(parse_typed_span(text))


class SpanField(TypedField):
    """A date of which perhaps only the month or the year is known; its value is the span."""

    def __init__(self, **more: Any) -> None:
        super().__init__(unit=SPAN_LIKE, **more)

    def parse(self, text: str) -> Span:
        """Return the span; raises Unreadable."""
        return parse_typed_span(text)

    def reading(self, text: str) -> str:
        """Return the date in words."""
        return span_words(parse_typed_span(text))


class ToldField(SpanField):
    """The same, for an answer that is kept as it was told; its value is the text."""

    def parse(self, text: str) -> str:  # type: ignore[override]
        """Return the date as it was told; raises Unreadable."""
        span = parse_typed_span(text)
        return typed_span(span.first, span.known)


class PressureField(TypedField):
    """A blood pressure like 132/78; the cleaned value is [132, 78]."""

    def parse(self, text: str) -> list[int]:
        """Return both numbers; raises Unreadable."""
        return list(units.parse_pressure(text))

    def prepare_value(self, value: Any) -> Any:
        """Return the text for a pressure."""
        return "/".join(str(v) for v in value) if isinstance(value, list) else value


class NumbersField(TypedField):
    """Numbers with something between, like 1 2 4, 1/2/4 or 1, 2, 4.

    "1,2" may be one number or two, so a comma between figures is refused.
    """

    def parse(self, text: str) -> list[float]:
        """Return the numbers; raises Unreadable."""
        bare = text.lower().replace(self.unit.lower(), " ") if self.unit else text
        words = re.sub(r"[;/]|, | and ", " ", bare).split()
        if not words or any("," in word for word in words):
            raise units.NotANumber("Write them with spaces between and points, like 1 1.5 2.")
        return [units.parse_number(word) for word in words]

    def reading(self, text: str) -> str:
        """Return the list as it was read."""
        found = self.parse(text)
        return f"{len(found)} settings: {', '.join(f'{n:g}' for n in found)}"

    def prepare_value(self, value: Any) -> Any:
        """Return the text for the numbers."""
        return " ".join(f"{v:.10g}" for v in value) if isinstance(value, list) else value


class YesNoField(forms.ChoiceField):
    """Yes, no or not recorded; the cleaned value is "yes", "no" or ""."""

    def __init__(self, **more: Any) -> None:
        choices = [("yes", "yes"), ("no", "no"), ("", NOT_RECORDED)]
        super().__init__(choices=choices, widget=forms.RadioSelect, required=False, **more)


class OneCodeField(forms.ChoiceField):
    """One code of a list, or not recorded."""

    def __init__(self, *, labels: Mapping[str, str], required: bool, **more: Any) -> None:
        blank = "choose" if required else NOT_RECORDED
        choices = [("", f"– {blank} –"), *labels.items()]
        super().__init__(choices=choices, required=False, **more)
        self.widget.attrs |= {"autocomplete": "off"}


class CodesField(forms.MultipleChoiceField):
    """Codes to tick; the cleaned value is a list, or None where nothing was ticked."""

    def __init__(self, *, labels: Mapping[str, str], may_be_none: bool, **more: Any) -> None:
        choices = [*labels.items(), *([(NONE, "none of these")] if may_be_none else [])]
        super().__init__(
            choices=choices, widget=forms.CheckboxSelectMultiple, required=False, **more
        )

    def clean(self, value: Any) -> list[str] | None:
        """Return the codes; "none of these" is an empty list."""
        ticked = super().clean(value)
        if NONE in ticked and len(ticked) > 1:
            raise forms.ValidationError("Untick “none of these”, or all the others.")
        return [] if NONE in ticked else ticked or None

    def bound_data(self, data: Any, initial: Any) -> Any:
        """Return what was sent; nothing ticked is not "none of these"."""
        return data or None

    def prepare_value(self, value: Any) -> Any:
        """Return what is ticked."""
        return [NONE] if value == [] else value


def field_for(ask: Ask) -> forms.Field:
    """Return the form field of a question."""
    words: dict[str, Any] = {"label": ask.question, "help_text": ask.help}
    labels = ask.choices or {}
    match ask.kind:
        case Kind.NUMBER:
            negative = ask.low is not None and ask.low < 0
            return NumberField(
                unit=ask.unit, decimals=ask.decimals, may_be_negative=negative, **words
            )
        case Kind.CHOICE:
            return OneCodeField(labels=labels, required=ask.required, **words)
        case Kind.CODES:
            return CodesField(labels=labels, may_be_none=ask.key in MAY_BE_NONE, **words)
        case Kind.YES_NO:
            return YesNoField(**words)
        case Kind.DATE:
            return DateField(**words)
        case Kind.TOLD:
            return ToldField(**words)
        case _:
            return _TYPED[ask.kind](unit=ask.unit, **words)


_TYPED: Mapping[Kind, Callable[..., forms.Field]] = {
    Kind.INTEGER: WholeField,
    Kind.TEXT: TextField,
    Kind.NUMBERS: NumbersField,
    Kind.PRESSURE: PressureField,
}
