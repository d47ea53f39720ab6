"""How long a program lasts: its 26 weeks, then 4 at its last dose, then it has ended (row 29a)."""

from __future__ import annotations

import datetime as dt
from enum import StrEnum

from programs.dose.limit import DRAFT_WEEKS

#: A program may go on at its last dose for so many weeks; then it has ended.
WEEKS_AFTER = 4


class Term(StrEnum):
    """Where a program stands by the calendar alone; one that was stopped is no matter of it."""

    RUNNING = "running"
    LAST_DOSE = "going on at its last dose"
    ENDED = "ended"


def term_on(starts_on: dt.date, day: dt.date) -> Term:
    """Return where a program stands on a day; one that has not begun has not run out either."""
    weeks_over = (day - starts_on).days // 7
    if weeks_over < DRAFT_WEEKS:
        return Term.RUNNING
    return Term.LAST_DOSE if weeks_over < DRAFT_WEEKS + WEEKS_AFTER else Term.ENDED


def last_day(starts_on: dt.date) -> dt.date:
    """Return the last day on which a program may go on at its last dose."""
    return starts_on + dt.timedelta(weeks=DRAFT_WEEKS + WEEKS_AFTER, days=-1)
