"""Numbers in a file: which sign stands before the decimals."""

from __future__ import annotations

import re
from collections.abc import Iterable
from types import MappingProxyType

from patients.facts.units import NotANumber, clean_text, parse_number, round_half_away

MARKS = MappingProxyType({"comma": "comma, as in 0,681", "point": "point, as in 0.681"})
ASK = "ask"
_POINT = re.compile(r"\D?[0-9]+\.[0-9]+")
_COMMA = re.compile(r"\D?[0-9]+,[0-9]+")
_MAY_BE_THOUSANDS = re.compile(r"\D?[1-9][0-9]{0,2},[0-9]{3}")


def decimal_mark(cells: Iterable[str]) -> str | None:
    """Return "comma" or "point" by all the numbers of a file, or ASK; None where both occur.

    A file in which every comma could stand before thousands, and no point occurs, is asked
    about.
    """
    filled = [clean_text(cell) for cell in cells]
    commas = [text for text in filled if _COMMA.fullmatch(text)]
    points = any(_POINT.fullmatch(text) for text in filled)
    if not commas:
        return "point"
    if points:
        return None
    return ASK if all(_MAY_BE_THOUSANDS.fullmatch(text) for text in commas) else "comma"


def read_number(cell: str, mark: str | None, decimals: int) -> float:
    """Return a number with at most so many decimals; raises NotANumber."""
    text = clean_text(cell)
    if mark == "comma":
        if "." in text:
            raise NotANumber(f"“{text[:20]}” has a point, where the file has decimal commas.")
        text = text.replace(",", ".")
    elif mark == "point" and _MAY_BE_THOUSANDS.fullmatch(text):
        text = text.replace(",", "")
    value = parse_number(text)
    if round_half_away(value, decimals) != value:
        raise NotANumber(f"“{text[:20]}” has more than {decimals} decimals.")
    return value
