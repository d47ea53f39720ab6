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
#: (international yard and pound agreement, 1959).
IN_KG = MappingProxyType({"kg": 1.0, "g": 0.001, "lb": 0.45359237})
IN_CM = MappingProxyType({"cm": 1.0, "m": 100.0, "mm": 0.1, "in": 2.54, "ft": 30.48})

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


class Unreadable(ValueError):
    """A text that cannot be read; `str()` of it is the sentence for the person typing."""


class NotANumber(Unreadable):
    """A text that is no number."""


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


def parse_whole(text: str) -> int:
    """Return the whole number that was typed; raises NotANumber for any other."""
    plain = _plain(text)
    if not re.fullmatch(r"[+-]?[0-9]+", plain):
        raise NotANumber(f"{_quoted(plain)} is no whole number. Write it like 12.")
    return int(_as_float(plain))


def parse_pressure(text: str) -> tuple[int, int]:
    """Return (systolic, diastolic) in mmHg from text like "132/78"; raises NotANumber."""
    found = _PRESSURE.fullmatch(_plain(text))
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
    """Return kilograms from "68.5", "68.5 kg", "6850 g" or "150 lb"; raises NotANumber."""
    return _parse_size(text, "kg", IN_KG)


def parse_height_cm(text: str) -> float:
    """Return centimetres from "161", "1.61 m", "63 in" or "5 ft 3 in"; raises NotANumber."""
    return _parse_size(text, "cm", IN_CM)


def bmi_kg_m2(weight_kg: float, height_cm: float) -> float:
    """Return weight over height squared, kg/m2."""
    return weight_kg / (height_cm / 100) ** 2


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
    return f"{_quoted(plain)} is no number. Write figures only, like 68.5."


def _quoted(plain: str) -> str:
    return f"\u201c{plain if len(plain) <= 20 else plain[:20] + '…'}\u201d"


def _parse_size(text: str, unit: str, sizes: MappingProxyType[str, float]) -> float:
    plain = _plain(text).lower()
    parts = _WITH_UNIT.findall(plain)
    if not parts:
        return parse_number(plain)
    read = " ".join(number + name for number, name in parts)
    if read.replace(" ", "") != plain.replace(" ", "") or any(n not in sizes for _, n in parts):
        raise NotANumber(f"{_quoted(plain)} cannot be read. Write the number of {unit}.")
    return sum(parse_number(number) * sizes[name] for number, name in parts)


def _side(value: float, limit: float) -> int:
    return (value > limit) - (value < limit)
