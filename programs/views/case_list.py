"""What a list of the Caseload is: whom it names, why, and where to go; read a page at a time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from django.db.models import QuerySet
from django.urls import reverse

from patients.models.patient import Patient

#: Rows of one list on one page.
PAGE = 50
#: Reasons of one person that are told in full.
TOLD = 4


@dataclass(frozen=True, kw_only=True)
class Line:
    """One person on a list.

    why        a line each, the first the most pressing
    address    where it is seen to; action says what is done there
    level      how it is marked, where not as its list is
    """

    patient: Patient
    why: tuple[str, ...]
    address: str
    action: str
    level: str = ""


@dataclass(frozen=True, kw_only=True)
class CaseList:
    """One list.

    code     in its address
    title    with its number behind it
    nobody   what stands where it has none
    rows     the rows of a day, in their order: a query, or one row after the other
    lines    tells of rows that were read
    level    how it is marked, as a finding of that level is
    """

    code: str
    title: str
    nobody: str
    rows: Callable[[dt.date], QuerySet[Any] | Iterator[Any]]
    lines: Callable[[Sequence[Any], dt.date], list[Line]]
    level: str = "missing"

    def page(self, day: dt.date, number: int = 1, size: int = PAGE) -> tuple[list[Line], bool]:
        """Return a page of the list, and whether there are more."""
        first = (number - 1) * size
        all_of_them = self.rows(day)
        if isinstance(all_of_them, QuerySet):
            rows = list(all_of_them[first : first + size + 1])
        else:
            rows = list(islice(all_of_them, first, first + size + 1))
        return self.lines(rows[:size], day), len(rows) > size


def line_of(
    patient: Patient, name: str, action: str, *why: str, args: Sequence[Any] = (), level: str = ""
) -> Line:
    """Return a line whose address is the page of that name, of this patient."""
    address = reverse(name, args=[patient.pk, *args])
    return Line(patient=patient, why=why, address=address, action=action, level=level)


def first_of(lines: Sequence[str]) -> tuple[str, ...]:
    """Return the first reasons, and how many more there are."""
    rest = len(lines) - TOLD
    return (*lines[:TOLD], *([f"and {rest} more"] if rest > 0 else []))
