"""Facts in and out: the facts/1 document, read and written from the declarations."""

from __future__ import annotations

import datetime as dt
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from patients.facts.declared import Clearance, Facts, Person
from patients.facts.declared_plate import FrequencyRange, Plate
from patients.facts.partial_dates import Span, parse_span, told_day, told_text
from patients.facts.question import Ask, Kind, asks
from patients.facts.units import Unreadable

FORMAT = "facts/1"
#: Days with which months and ages can be reckoned; nobody alive was born before the first.
EARLIEST, LATEST = dt.date(1900, 1, 1), dt.date(2199, 12, 31)
_NOT_BELIEVABLE = "Check this: a day from 1900 to 2199 is expected."
_NOT_TOLD = (
    "A date is written year-month-day, like 2026-03-02, or 2026-03 or 2026 where no more is known."
)
_ANSWERS = {"yes": True, "no": False, "unknown": None}


@dataclass(frozen=True, kw_only=True)
class Problem:
    """What is wrong with a document, and where: a path like scans[0].t."""

    at: str
    text: str


@dataclass(kw_only=True)
class _Reading:
    """The problems met so far, and the days between which facts may lie."""

    problems: list[Problem] = field(default_factory=list)
    earliest: dt.date | None = None
    latest: dt.date | None = None

    def refuse(self, at: str, text: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(at=at, text=text))


def read(document: object) -> Facts | tuple[Problem, ...]:
    """Return the facts of a facts/1 document, or all that is wrong with it."""
    reading = _Reading()
    if not isinstance(document, Mapping):
        return (Problem(at="", text="Not a facts document: an object is expected."),)
    if document.get("format") != FORMAT:
        reading.refuse("format", f"The format must be {FORMAT}.")
    reading.latest = _a_date(document.get("as_of"))
    person = document.get("person")
    born = _a_span(person.get("born")) if isinstance(person, Mapping) else None
    reading.earliest = born.first if born else None
    body = {key: value for key, value in document.items() if key != "format"}
    facts = _group(Facts, body, "", reading)
    return tuple(reading.problems) if reading.problems else facts


def write(facts: Facts) -> dict[str, Any]:
    """Return the facts/1 document of these facts; reading it gives them back."""
    return {"format": FORMAT, **_written(facts)}


def read_part(of: type[Any], data: object, at: str, as_of: dt.date, born: dt.date) -> Any:
    """Return one part of the facts, an instance of the dataclass, or its problems."""
    reading = _Reading(earliest=born, latest=as_of)
    part = _group(of, data, at, reading)
    return tuple(reading.problems) if reading.problems else part


def write_part(part: Any) -> dict[str, Any]:
    """Return one part of the facts as the exchange document holds it."""
    return _written(part)


def _a_date(value: object) -> dt.date | None:
    try:
        return dt.date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None


def _a_span(value: object) -> Span | None:
    try:
        return parse_span(value) if isinstance(value, str) else None
    except Unreadable:
        return None


def _group(of: type[Any], data: object, at: str, reading: _Reading) -> Any:
    """Read an object into its dataclass; None where it could not be read."""
    if not isinstance(data, Mapping):
        reading.refuse(at, "An object is expected here.")
        return None
    before = len(reading.problems)
    declared = asks(of)
    known = {ask.key for ask in declared.values()}
    for key in data:
        if key not in known:
            reading.refuse(_join(at, str(key)), "This is not a known entry.")
    values = {
        name: _value(ask, data.get(ask.key), _join(at, ask.key), reading)
        for name, ask in declared.items()
    }
    if len(reading.problems) > before:
        return None
    part = of(**values)
    _contradictions(part, at, reading)
    return part


def _value(ask: Ask, value: object, at: str, reading: _Reading) -> Any:
    if value is None:
        if ask.required:
            reading.refuse(at, "This is needed.")
        return None
    return _READERS[ask.kind](ask, value, at, reading)


def _date(ask: Ask, value: object, at: str, reading: _Reading) -> dt.date | None:
    day = _a_date(value)
    if day is None:
        reading.refuse(at, "A date is written year-month-day, like 2026-03-02.")
    elif day < EARLIEST or (day > LATEST and not ask.future):
        reading.refuse(at, _NOT_BELIEVABLE)
    elif reading.earliest and day < reading.earliest:
        reading.refuse(at, "This is before the date of birth.")
    elif reading.latest and day > reading.latest and not ask.future:
        reading.refuse(at, "This is after the day of the assessment.")
    return day


def _told(ask: Ask, value: object, at: str, reading: _Reading) -> dt.date | None:
    span = _a_span(value)
    if span is None:
        reading.refuse(at, _NOT_BELIEVABLE if _a_date(value) else _NOT_TOLD)
        return None
    if reading.earliest and span.last < reading.earliest:
        reading.refuse(at, "This is before the date of birth.")
    elif reading.latest and span.first > reading.latest:
        reading.refuse(at, "This is after the day of the assessment.")
    return told_day(span, ask.read_as, reading.latest)


def _number(ask: Ask, value: object, at: str, reading: _Reading) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        reading.refuse(at, "A number is expected here.")
        return None
    low, high = ask.low, ask.high
    if (low is not None and not value >= low) or (high is not None and not value <= high):
        unit = f" {ask.unit}" if ask.unit else ""
        reading.refuse(at, f"Check this: {low:g} to {high:g}{unit} is expected.")
        return None
    return value


def _integer(ask: Ask, value: object, at: str, reading: _Reading) -> int | None:
    if isinstance(value, bool) or not isinstance(value, int):
        reading.refuse(at, "A whole number is expected here.")
        return None
    number = _number(ask, value, at, reading)
    return None if number is None else int(number)


def _text(ask: Ask, value: object, at: str, reading: _Reading) -> str | None:
    if not isinstance(value, str) or not value.strip() or len(value) > 200 or _garbled(value):
        reading.refuse(at, "A short text is expected here, up to 200 characters.")
        return None
    return value


def _garbled(text: str) -> bool:
    """Tell of control signs and halves of signs, which no page and no store can hold."""
    return any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text)


def _choice(ask: Ask, value: object, at: str, reading: _Reading) -> str | None:
    choices = ask.choices or {}
    if value == "unknown" and not ask.required:
        return None
    if not isinstance(value, str) or value not in choices:
        reading.refuse(at, f"One of these is expected: {', '.join(choices)}.")
        return None
    return value


def _yes_no(ask: Ask, value: object, at: str, reading: _Reading) -> bool | None:
    if not isinstance(value, str) or value not in _ANSWERS:
        reading.refuse(at, "The answer is yes, no or unknown.")
        return None
    return _ANSWERS[value]


def _list(value: object, at: str, reading: _Reading) -> list[Any]:
    if isinstance(value, list | tuple):
        return list(value)
    reading.refuse(at, "A list is expected here.")
    return []


def _codes(ask: Ask, value: object, at: str, reading: _Reading) -> tuple[str, ...]:
    found: list[str] = []
    for index, item in enumerate(_list(value, at, reading)):
        code = _alias(ask, item)
        if code is None:
            known = ", ".join(ask.choices or {})
            reading.refuse(f"{at}[{index}]", f"One of these is expected: {known}.")
        elif code not in found:
            found.append(code)
    return tuple(found)


def _alias(ask: Ask, item: object) -> str | None:
    """Return the code that an item names; a test may be named without its unit."""
    if not isinstance(item, str):
        return None
    for code in ask.choices or {}:
        if item in (code, code.removesuffix("_30s").removesuffix("_s").removesuffix("_kg")):
            return code
    return None


def _numbers(ask: Ask, value: object, at: str, reading: _Reading) -> tuple[float, ...]:
    items = _list(value, at, reading)
    if not items and not reading.problems:
        reading.refuse(at, "At least one number is expected here.")
    read_ = [_number(ask, item, f"{at}[{i}]", reading) for i, item in enumerate(items)]
    return tuple(sorted({number for number in read_ if number is not None}))


def _pressure(ask: Ask, value: object, at: str, reading: _Reading) -> tuple[int, int] | None:
    match value:
        case [int(systolic), int(diastolic)]:
            if 50 <= systolic <= 300 and 20 <= diastolic <= 200 and diastolic < systolic:
                return systolic, diastolic
            reading.refuse(at, "Check this blood pressure, upper number first.")
        case _:
            reading.refuse(at, "Two whole numbers are expected, like [132, 78].")
    return None


def _part(ask: Ask, value: object, at: str, reading: _Reading) -> Any:
    assert ask.of is not None
    return _group(ask.of, value, at, reading)


def _parts(ask: Ask, value: object, at: str, reading: _Reading) -> tuple[Any, ...]:
    assert ask.of is not None
    if ask.lone and isinstance(value, Mapping):
        return (_group(ask.of, value, at, reading),)
    items = _list(value, at, reading)
    return tuple(_group(ask.of, item, f"{at}[{i}]", reading) for i, item in enumerate(items))


def _answers(ask: Ask, value: object, at: str, reading: _Reading) -> Mapping[str, Any] | None:
    """Read answers by code; `otherwise` answers all that are not named."""
    assert ask.of is not None
    if not isinstance(value, Mapping):
        reading.refuse(at, "An object of answers is expected here.")
        return None
    choices = ask.choices or {}
    otherwise = _yes_no(ask, value.get("otherwise", "unknown"), _join(at, "otherwise"), reading)
    answers = {code: ask.of(answer=otherwise) for code in choices}
    for code, answer in value.items():
        if code == "otherwise":
            continue
        if code not in choices:
            reading.refuse(_join(at, str(code)), "This is not a known entry.")
            continue
        plain = answer if isinstance(answer, Mapping) else {"answer": answer}
        answers[code] = _group(ask.of, plain, _join(at, code), reading)
    return answers


_READERS = {
    Kind.DATE: _date,
    Kind.TOLD: _told,
    Kind.NUMBER: _number,
    Kind.INTEGER: _integer,
    Kind.TEXT: _text,
    Kind.CHOICE: _choice,
    Kind.YES_NO: _yes_no,
    Kind.CODES: _codes,
    Kind.NUMBERS: _numbers,
    Kind.PRESSURE: _pressure,
    Kind.GROUP: _part,
    Kind.LIST: _parts,
    Kind.ANSWERS: _answers,
}


def _contradictions(part: Any, at: str, reading: _Reading) -> None:
    """Refuse values that cannot stand together."""
    match part:
        case Person(height_cm=now, tallest_height_cm=tallest) if (
            now is not None and tallest is not None and tallest < now - 2
        ):
            reading.refuse(_join(at, "tallest_height_cm"), "Shorter than the height today.")
        case Clearance() if part.until < part.on:
            reading.refuse(_join(at, "until"), "The last day is before the first.")
        case FrequencyRange(from_hz=low, to_hz=high) if high < low:
            reading.refuse(_join(at, "to"), "The highest frequency is below the lowest.")
        case Plate(panel=panel) if panel is not None:
            _unlike_the_panel(part, _join(at, "panel"), reading)
        case _:
            pass


def _unlike_the_panel(plate: Plate, at: str, reading: _Reading) -> None:
    """Refuse a panel that does not show one number for each measured one."""
    panel, moves = plate.panel, plate.displacement_mm
    assert panel is not None
    shown, true = (one.all_hz if one else () for one in (panel.frequency_hz, plate.frequency_hz))
    if len(shown) != len(true):
        reading.refuse(_join(at, "frequency_hz"), "One for each measured frequency is expected.")
    if panel.displacement_mm is None:
        return
    if moves is None or len(panel.displacement_mm) != len(moves.settings):
        text = "One for each measured displacement is expected."
        reading.refuse(_join(at, "displacement_mm"), text)
    elif moves.reads_as != "peak_to_peak":
        reading.refuse(_join(at, "displacement_mm"), "What was measured reads peak to peak.")


def _join(at: str, key: str) -> str:
    return f"{at}.{key}" if at else key


def _written(part: Any) -> dict[str, Any]:
    """Return what is recorded of a part; what is not recorded is left out."""
    return {
        ask.key: _out(ask, value)
        for name, ask in asks(type(part)).items()
        if (value := getattr(part, name)) is not None
    }


def _out(ask: Ask, value: Any) -> Any:
    match ask.kind:
        case Kind.DATE:
            return value.isoformat()
        case Kind.TOLD:
            return told_text(value)
        case Kind.YES_NO:
            return "yes" if value else "no"
        case Kind.CODES | Kind.NUMBERS | Kind.PRESSURE:
            return list(value)
        case Kind.GROUP:
            return _written(value)
        case Kind.LIST:
            items = [_written(item) for item in value]
            return items[0] if ask.lone and len(items) == 1 else items
        case Kind.ANSWERS:
            return {code: _answer_out(answer) for code, answer in value.items()}
        case _:
            return value


def _answer_out(answer: Any) -> Any:
    written = _written(answer)
    if not written:
        return "unknown"
    return written["answer"] if set(written) == {"answer"} else written
