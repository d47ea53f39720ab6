"""How a fact is asked for: one declaration serves forms, checks, exchange and display."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import Field, dataclass, field, fields
from enum import StrEnum
from typing import Any


class Kind(StrEnum):
    """What kind of value answers a question."""

    DATE = "date"
    TOLD = "told"
    NUMBER = "number"
    INTEGER = "integer"
    TEXT = "text"
    CHOICE = "choice"
    YES_NO = "yes_no"
    CODES = "codes"
    NUMBERS = "numbers"
    PRESSURE = "pressure"
    GROUP = "group"
    LIST = "list"
    ANSWERS = "answers"


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One question.

    key       its name in the exchange document
    unit      unit shown beside the field; also the ending of the field's name
    low, high the believable range, both inside; None where there is none
    choices   code to label, for choices, codes and answers
    of        the dataclass of a group, of each list item, or of each answer
    future    a date after the assessment makes sense (the last day of a clearance)
    lone      a list that may also be given as its single item
    read_as   the day that a told year or month is read as, FIRST or LAST of its days
    """

    question: str
    kind: Kind
    key: str = ""
    unit: str = ""
    low: float | None = None
    high: float | None = None
    decimals: int = 0
    choices: Mapping[str, str] | None = None
    of: type[Any] | None = None
    help: str = ""
    required: bool = False
    future: bool = False
    lone: bool = False
    read_as: str = ""


def ask(question: str, kind: Kind, **more: Any) -> Any:
    """Declare a dataclass field with its question; its default is "not recorded"."""
    declared = Ask(question=question, kind=kind, **more)
    if declared.required:
        return field(metadata={"ask": declared})
    return field(default=None, metadata={"ask": declared})


def number(question: str, unit: str, low: float, high: float, **more: Any) -> Any:
    """Declare a number with its unit and believable range."""
    return ask(question, Kind.NUMBER, unit=unit, low=low, high=high, **more)


def told(question: str, read_as: str, **more: Any) -> Any:
    """Declare a date of which perhaps only the year, or year and month, is known."""
    return ask(question, Kind.TOLD, read_as=read_as, **more)


def yes_no(question: str, **more: Any) -> Any:
    """Declare a yes, no or not recorded."""
    return ask(question, Kind.YES_NO, **more)


def asks(of: type[Any]) -> dict[str, Ask]:
    """Return the questions of a dataclass of facts, by field name."""
    return {f.name: of_field(f) for f in fields(of) if "ask" in f.metadata}


def of_field(f: Field[Any]) -> Ask:
    """Return the question of one field, its exchange key filled in."""
    declared: Ask = f.metadata["ask"]
    if declared.key:
        return declared
    return Ask(**{**declared.__dict__, "key": f.name})
