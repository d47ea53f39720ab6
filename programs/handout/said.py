"""What a handout says, as data; the template only lays it out.

Every field is text to be printed, but for the figures, which are SVG of our own making.
"""

from __future__ import annotations

from dataclasses import dataclass
from gettext import NullTranslations

#: Where the words of another language come from; English stands as it is written.
Words = NullTranslations
ENGLISH = NullTranslations()


def gettext_noop(text: str) -> str:
    """Mark a text for the translators; it is translated where it is used."""
    return text


@dataclass(frozen=True, kw_only=True)
class Issue:
    """What says whose paper this is, and by whom it was signed; printed on the pages.

    signed_on, signed_at   the day, and the minute with its zone; empty on a draft, and
                 signed_by then as well
    replaces     empty where there was no plan before
    emergency    the clinic's own words on whom to call; empty where it has none
    digest       the first 12 hexadecimal digits of the signed text's SHA-256
    """

    name: str
    born: str
    record_number: str
    version: str
    starts_on: str
    signed_by: str
    signed_on: str
    signed_at: str
    meaning: str
    replaces: str
    digest: str
    clinic: str
    phone: str
    address: str
    emergency: str


@dataclass(frozen=True, kw_only=True)
class Dose:
    """What holds in some weeks: "Weeks 1 to 2" and what to do in them."""

    weeks: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Todo:
    """One kind of exercise in one week: on which days, how much, and what exactly."""

    title: str
    days: str
    dose: str
    items: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class WeekPage:
    """One week at a glance, and when to stop."""

    title: str
    todos: tuple[Todo, ...]
    stop: tuple[str, ...]
    then: str


@dataclass(frozen=True, kw_only=True)
class Block:
    """One exercise; `figure` is an SVG picture with its text alternative inside."""

    name: str
    figure: str
    steps: tuple[str, ...]
    doses: tuple[Dose, ...]
    feel: str
    avoid: str


@dataclass(frozen=True, kw_only=True)
class DoseTable:
    """What holds in which weeks; the first cell of a row names its weeks.

    reading   how the columns are read
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    reading: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Chapter:
    """One kind of exercise: what holds for all of it, then its exercises.

    table   what all of its exercises share; None where the doses say it
    """

    title: str
    do: tuple[str, ...]
    doses: tuple[Dose, ...]
    table: DoseTable | None
    blocks: tuple[Block, ...]


@dataclass(frozen=True, kw_only=True)
class PlatePage:
    """The plate: what its panel must show in which weeks, how to stand, when to step off.

    heads, rows   a table; the first cell of a row names its weeks
    """

    plate: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    reading: tuple[str, ...]
    often: tuple[Dose, ...]
    watched: tuple[Dose, ...]
    before: tuple[str, ...]
    figure: str
    stand: tuple[str, ...]
    dizzy: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day of the week and what it holds; empty on a day of rest."""

    name: str
    held: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class LogWeek:
    """One week to write down; one column a training day."""

    title: str
    days: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class LogSheet:
    """Four weeks to write down.

    boxes   the letters in the boxes to tick: for all, for part, for nothing done
    """

    title: str
    weeks: tuple[LogWeek, ...]
    boxes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Section:
    """Some advice: sentences that tell, then instructions that begin with a verb."""

    title: str
    tell: tuple[str, ...] = ()
    do: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Movement:
    """A movement of the day: what to leave out, what to do instead."""

    name: str
    leave_out: str
    instead: str


@dataclass(frozen=True, kw_only=True)
class Handout:
    """All that a handout says, in the order in which it is printed."""

    issue: Issue
    first: WeekPage
    week_days: tuple[Day, ...]
    cautions: Section | None
    plate: PlatePage | None
    chapters: tuple[Chapter, ...]
    movements: tuple[Movement, ...]
    advice: tuple[Section, ...]
    logs: tuple[LogSheet, ...]
    about: Section
