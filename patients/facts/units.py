"""Numbers, dates, blood pressures and names as people type them, and units of size.

What cannot be read with certainty is refused with a sentence that says how to write it.
"""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from decimal import ROUND_HALF_UP, Decimal
from types import MappingProxyType

#: Most figures a typed number may have; more is a slip of the key.
LONGEST_NUMBER = 15
#: Resting pressures that are believable in an adult who came in on foot, mmHg (both inside).
#: The low end also catches pressures written in cmHg, such as 13/8.
SYSTOLIC_MMHG = (50, 300)
DIASTOLIC_MMHG = (20, 200)
#: Years that a date of this work can lie in (both inside).
YEARS = (1900, 2199)
#: Size of each unit in kilograms or in centimetres; the pound, inch and foot are exact
#: (international yard and pound agreement, 1959); a stone is 14 pounds.
IN_KG = MappingProxyType({"kg": 1.0, "g": 0.001, "lb": 0.45359237, "st": 6.35029318})
IN_CM = MappingProxyType({"cm": 1.0, "m": 100.0, "mm": 0.1, "in": 2.54, "ft": 30.48})
#: Unit of a field to the ways in which people write it behind a number.
SPELLED = MappingProxyType(
    {
        "s": ("s", "sec", "secs", "second", "seconds"),
        "min": ("min", "mins", "minute", "minutes"),
        "mmHg": ("mmhg", "mm hg"),
        "%": ("%", "percent"),
        "mg/day": ("mg", "mg/d", "mg/day", "mg a day", "mg daily"),
        "months": ("m", "mo", "month", "months"),
        "g/cm²": ("g/cm²", "g/cm2"),
        "Hz": ("hz",),
        "mm": ("mm",),
        "g": ("g",),
        "degrees": ("°", "deg", "degree", "degrees"),
    }
)

_MINUS_SIGNS = "\u2212\u2013\u2012\u2010\u2011\uff0d\ufe63"
_PLAIN = str.maketrans(
    dict.fromkeys(_MINUS_SIGNS, "-")
    | {chr(0xFF10 + figure): str(figure) for figure in range(10)}
    | {"\uff0e": ".", "\uff0c": ",", "\uff0b": "+", "\uff0f": "/"}
)
_NO_BREAK_SPACES = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2007": " "})
_UNSEEN = ("Cc", "Cf", "Cs")  # control, direction and zero-width signs, broken halves of signs
_NUMBER = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?")
_COMMA_AS_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_SEPARATED = re.compile(r"[+-]?[0-9]+(?:[ .,'\u2019\u2009][0-9]+)+")
_PRESSURE = re.compile(r"([0-9]{1,4}) */ *([0-9]{1,4})")
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WITH_UNIT = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?) *([a-z]+)")
_SIGN_APART = re.compile(r"(?:([+-]) +|(minus|plus) *)(?=[0-9])")
#: Smaller size that a bare number behind a larger one is meant in: 5 ft 4, 10 st 3.
_SMALLER = re.compile(r"([0-9]+ *(ft|st)) *([0-9]+(?:[.,][0-9]+)?)")
_SMALLER_UNIT = MappingProxyType({"ft": "in", "st": "lb"})
_WORDS_OF_SIZE = (
    (re.compile(r"(?<=[0-9]) *(?:feet|foot|'|\u2032|\u2019)"), " ft"),
    (re.compile(r"(?<=[0-9]) *(?:inches|inch|ins|\"|\u2033|\u201d)"), " in"),
    (re.compile(r"(?<=[0-9]) *(?:stones|stone)"), " st"),
    (re.compile(r"(?<=[0-9]) *(?:pounds|pound|lbs)"), " lb"),
    (re.compile(r"(?<=[0-9]) *(?:kilograms|kilogram|kilos|kilo|kgs)"), " kg"),
)


class Unreadable(ValueError):
    """A text that cannot be read; `str()` of it is the sentence for the person typing."""


class NotANumber(Unreadable):
    """A text that is not a number."""


class NotADate(Unreadable):
    """A text that is no date."""


def parse_number(text: str) -> float:
    """Return the number that was typed.

    Reads "68.5", "68,5", a minus pasted as a dash, full-width figures, and spaces of any
    kind around. Raises NotANumber for exponents, thousands separators, letters and spaces
    inside. "1,234" could be either number, so it is refused; "0,681" has one reading.
    """
    plain = _plain(text)
    if _NUMBER.fullmatch(plain) and not _COMMA_AS_THOUSANDS.fullmatch(plain):
        return _as_float(plain)
    raise NotANumber(_why_no_number(plain))


def parse_typed_number(text: str, unit: str = "") -> float:
    """Return the number typed into a field of this unit; raises NotANumber.

    Reads what parse_number does, a sign that stands apart or is a word ("- 2.7", "minus 2.7"),
    and the field's own unit behind it ("12s").
    """
    return parse_number(_bare(text, unit))


def parse_typed_whole(text: str, unit: str = "") -> int:
    """Return the whole number typed into a field of this unit; raises NotANumber."""
    return parse_whole(_bare(text, unit))


def _bare(text: str, unit: str) -> str:
    """Return what was typed with its sign beside it and without the field's own unit."""
    plain = _SIGN_APART.sub(_sign, _plain(text).lower(), count=1)
    for ending in sorted(SPELLED.get(unit, ()), key=len, reverse=True):
        before = plain.removesuffix(ending).rstrip()
        if before != plain and before[-1:].isdigit():
            return before
    if unit and re.fullmatch(r"[+-]?[0-9]+(?:[.,][0-9]+)? *[^0-9 .,'+-]+[^0-9]*", plain):
        raise NotANumber(f"{_quoted(plain)} is not in {unit}. Write the number in {unit}.")
    return plain


def _sign(found: re.Match[str]) -> str:
    return "-" if found[1] == "-" or found[2] == "minus" else "+"


def parse_whole(text: str) -> int:
    """Return the whole number that was typed; raises NotANumber for any other."""
    plain = _plain(text)
    if not re.fullmatch(r"[+-]?[0-9]+", plain):
        raise NotANumber(f"{_quoted(plain)} is not a whole number. Write it like 12.")
    return int(_as_float(plain))


def parse_pressure(text: str) -> tuple[int, int]:
    """Return (systolic, diastolic) in mmHg; raises NotANumber.

    Reads "132/78", "132 / 78 mmHg" and "132 over 78".
    """
    plain = re.sub(r" *mm ?hg$", "", _plain(text).lower()).replace(" over ", "/")
    found = _PRESSURE.fullmatch(plain)
    if found is None:
        raise NotANumber("Write the pressure as two whole numbers, like 132/78.")
    pressure = int(found[1]), int(found[2])
    slip = pressure_slip(*pressure)
    if slip is not None:
        raise NotANumber(slip)
    return pressure


def pressure_slip(systolic: int, diastolic: int) -> str | None:
    """Return what is wrong with a pressure in mmHg, or None where it is believable."""
    if systolic <= diastolic:
        return "The first pressure must be higher than the second, like 132/78."
    for value, (low, high) in ((systolic, SYSTOLIC_MMHG), (diastolic, DIASTOLIC_MMHG)):
        if not low <= value <= high:
            return f"Check the pressure {value} mmHg; {low} to {high} is believable here."
    return None


def parse_date_text(text: str) -> dt.date:
    """Return the date typed as year-month-day; raises NotADate for every other order."""
    plain = _plain(text)
    if not _ISO_DATE.fullmatch(plain):
        raise NotADate("Write the date as year-month-day, like 1950-04-03.")
    try:
        day = dt.date.fromisoformat(plain)
    except ValueError:
        raise NotADate(f"The calendar has no day {plain}. Check month and day.") from None
    if not YEARS[0] <= day.year <= YEARS[1]:
        raise NotADate(f"Check the year {plain[:4]}. Write four figures, like 1950.")
    return day


def parse_weight_kg(text: str) -> float:
    """Return kilograms from "68.5", "68.5 kg", "150 lb" or "10 st 3"; raises NotANumber."""
    return _parse_size(text, "kg", IN_KG)


def parse_height_cm(text: str) -> float:
    """Return centimetres from "161", "1.61 m", "63 in", "5 ft 3" or "5'3"; raises NotANumber."""
    return _parse_size(text, "cm", IN_CM)


def round_half_away(value: float, decimals: int) -> float:
    """Round the decimal number as written, half away from zero; never minus nought."""
    exponent = Decimal(1).scaleb(-decimals)
    return float(Decimal(str(value)).quantize(exponent, rounding=ROUND_HALF_UP)) + 0.0


def show_number(value: float, decimals: int) -> str:
    """Return the number for reading: rounded half away from zero, with a real minus sign."""
    return f"{round_half_away(value, decimals):.{decimals}f}".replace("-", "\u2212")


def show_against(value: float, limit: float, decimals: int) -> str:
    """Show a number with as many decimals as it takes to stay on its side of a limit.

    So no page says that 0.80 is above 0.80.
    """
    for more in range(decimals, decimals + 6):
        if _side(round_half_away(value, more), limit) == _side(value, limit):
            return show_number(value, more)
    return show_number(value, decimals + 6)


def clean_text(text: str) -> str:
    """Return a name or note without invisible signs: composed (NFC), trimmed.

    Zero-width signs, direction controls and other control signs go, newlines and tabs
    stay; no-break spaces become plain ones.
    """
    composed = unicodedata.normalize("NFC", _visible(text))
    return composed.translate(_NO_BREAK_SPACES).strip()


def _visible(text: str) -> str:
    return "".join(c for c in text if c in "\n\t" or unicodedata.category(c) not in _UNSEEN)


def _plain(text: str) -> str:
    return clean_text(text).translate(_PLAIN)


def _as_float(plain: str) -> float:
    if sum(c.isdigit() for c in plain) > LONGEST_NUMBER:
        raise NotANumber(f"{_quoted(plain)} has too many figures.")
    return float(plain.replace(",", ".")) + 0.0


def _why_no_number(plain: str) -> str:
    if not plain:
        return "Write a number, like 68.5."
    if _COMMA_AS_THOUSANDS.fullmatch(plain):
        point, joined = plain.replace(",", "."), plain.replace(",", "")
        return f"{_quoted(plain)} can be read two ways. Write {point} or {joined}."
    if _SEPARATED.fullmatch(plain):
        return f"{_quoted(plain)} has too many separators. Write thousands without, like 1234.5."
    return f"{_quoted(plain)} is not a number. Write figures only, like 68.5."


def _quoted(plain: str) -> str:
    return f"\u201c{plain if len(plain) <= 20 else plain[:20] + '…'}\u201d"


def _parse_size(text: str, unit: str, sizes: MappingProxyType[str, float]) -> float:
    plain = _in_full(_plain(text).lower())
    parts = _WITH_UNIT.findall(plain)
    if not parts:
        return parse_number(plain)
    read = " ".join(number + name for number, name in parts)
    if read.replace(" ", "") != plain.replace(" ", "") or any(n not in sizes for _, n in parts):
        raise NotANumber(f"{_quoted(plain)} cannot be read. Write the number of {unit}.")
    return sum(parse_number(number) * sizes[name] for number, name in parts)


def _in_full(plain: str) -> str:
    """Return a size with each of its units as its own short name."""
    for words, unit in _WORDS_OF_SIZE:
        plain = words.sub(unit, plain)
    found = _SMALLER.fullmatch(plain.strip())
    return f"{found[1]} {found[3]} {_SMALLER_UNIT[found[2]]}" if found else plain


def _side(value: float, limit: float) -> int:
    return (value > limit) - (value < limit)


def bmi_kg_m2(weight_kg: float, height_cm: float) -> float:
    """Return weight over height squared, kg/m2."""
    return weight_kg / (height_cm / 100) ** 2
