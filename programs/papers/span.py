"""The weeks that a paper is of: to her next visit, all of them, or those that were chosen."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from programs.signed.program import SignedProgram


@dataclass(frozen=True, kw_only=True)
class Span:
    """Weeks that follow each other, both ends included."""

    first: int
    last: int

    def __contains__(self, week: int) -> bool:
        return self.first <= week <= self.last

    def __str__(self) -> str:
        """Return it as a kept paper has it: "1-4"."""
        return f"{self.first}-{self.last}"


def all_weeks(program: SignedProgram) -> Span:
    """Return the whole of a program."""
    return Span(first=program.weeks[0].week, last=program.weeks[-1].week)


def to_next_visit(program: SignedProgram, on: dt.date) -> Span:
    """Return the week that a day lies in and those after it, the week of her next visit the last.

    A visit in the week of that day counts as made: the paper is for what comes after it. Before
    the first day of a program it is from week 1, after its last week it is that week alone.
    """
    whole = all_weeks(program)
    lies_in = (on - program.starts_on).days // 7 + 1
    first = min(max(lies_in, whole.first), whole.last)
    # Before the start no visit was made yet, nor in the first week.
    after = first if lies_in > whole.first else whole.first - 1
    visits = [one.week for one in program.reviews if after < one.week <= whole.last]
    return Span(first=first, last=min(visits, default=whole.last))
