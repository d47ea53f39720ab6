"""What is declared of a table that holds something of a person."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

#: A column with the head under which the paper shows it.
Shown = tuple[str, str]


@dataclass(frozen=True, kw_only=True)
class Table:
    """One table of the database.

    key     its name in the document
    model   its name in the record of who did what
    title   its name for a reader
    words   what a row of it is
    ways    the columns, through other tables where they have two underscores, that lead to a person
    shown   what the paper shows: columns, or what it makes of several; the document holds all
    files   column to the name of the file beside the document that has what the column holds
    """

    key: str
    model: str
    title: str
    words: str
    ways: tuple[str, ...]
    shown: tuple[Shown, ...]
    files: Mapping[str, str] = field(default_factory=dict)


#: What many tables have: the way to the person, who entered a row, why it was struck out.
HERS = ("patient",)
BY = (("entered_by_id", "Entered by"),)
STRUCK = (("withdrawn_reason", "Struck out because"),)
WRITTEN = (("by_id", "By"), ("at", "Written"))
