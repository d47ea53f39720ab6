"""A precision study as it is typed or pasted: one row of two or three densities a person."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from patients.facts.declared import Scan
from patients.facts.document import Problem
from patients.facts.question import asks
from patients.facts.units import NotANumber, clean_text, parse_number, show_number

#: Most people of one sheet; a study has 15 or 30.
MOST_PEOPLE = 500
#: Repeats of one person further apart than this are a slip of the key, g/cm2
#: (project choice; a poor scanner's LSC at the spine is half of it).
APART_G_CM2 = 0.12

_TWO_WAYS = (
    "The commas can be read two ways. Write points, like 0.912, or put a semicolon "
    "between the densities."
)


@dataclass(frozen=True)
class StudySheet:
    """The people of a study, each with her repeated densities in g/cm2."""

    people: tuple[tuple[float, ...], ...]


def read_sheet(text: str) -> StudySheet | tuple[Problem, ...]:
    """Return the study in a text, or all that is wrong, by line.

    Between the densities stands a tab, a semicolon, a space or, where densities are written
    with points, a comma. A head of words in the first line is passed over.
    """
    numbered = [(i, line) for i, line in enumerate(text.splitlines(), start=1) if line.strip()]
    if numbered and not re.search(r"[0-9]", numbered[0][1]):
        numbered = numbered[1:]
    if not 2 <= len(numbered) <= MOST_PEOPLE:
        return (Problem(at="", text=f"Write 2 to {MOST_PEOPLE} rows, one for each person."),)
    split = _splitter([line for _, line in numbered])
    if split is None:
        return (Problem(at="", text=_TWO_WAYS),)
    read = [_row(number, split(line)) for number, line in numbered]
    problems = tuple(row for row in read if isinstance(row, Problem))
    return problems or StudySheet(tuple(row for row in read if not isinstance(row, Problem)))


def _splitter(lines: Sequence[str]) -> Callable[[str], list[str]] | None:
    whole = "\n".join(lines)
    for mark in "\t;":
        if mark in whole:
            return lambda line: line.split(mark)
    if "." in whole:
        return lambda line: re.split(r"[,\s]+", line.strip())
    if all(len(line.split()) > 1 for line in lines):
        return lambda line: [part.rstrip(",") for part in line.split()]
    return None if "," in whole else str.split


def _row(number: int, cells: Sequence[str]) -> tuple[float, ...] | Problem:
    at = f"line {number}"
    filled = [cell for cell in cells if clean_text(cell)]
    if len(filled) not in (2, 3):
        return Problem(at=at, text="Two or three densities of one person are expected.")
    try:
        # No density is a thousand or more, so a comma within one is its decimal mark.
        repeats = tuple(parse_number(cell.replace(",", ".")) for cell in filled)
    except NotANumber as error:
        return Problem(at=at, text=str(error))
    slip = _slip(repeats)
    return repeats if slip is None else Problem(at=at, text=slip)


def _slip(repeats: Sequence[float]) -> str | None:
    ask = asks(Scan)["bmd_g_cm2"]
    low, high = ask.low or 0.0, ask.high or 0.0
    for value in repeats:
        if not low <= value <= high:
            shown = show_number(value, 3)
            return f"{shown} is not a believable density: {low:g} to {high:g} g/cm² is expected."
    if max(repeats) - min(repeats) > APART_G_CM2:
        return "Too far apart for one person. Leave out numbers of people; check the figures."
    return None
