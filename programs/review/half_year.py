"""Which half year of the ramp the next draft is in, and what may follow a review (row 29a)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from programs.dose.limit import DRAFT_WEEKS
from programs.review.ledger import InForce


class Onward(StrEnum):
    """What follows a review: the next draft, one dose that holds, or no program any more."""

    NEXT_DRAFT = "next_draft"
    MAINTENANCE = "maintenance"
    DISCHARGE = "discharge"


@dataclass(frozen=True, kw_only=True)
class Half:
    """A half year of the ramp.

    year     its number, the first is 1
    weeks    weeks of it that are behind her
    begins   the next draft begins it: she takes up where she is, with other exercises
    """

    year: int = 1
    weeks: int = 0
    begins: bool = False


def weeks_over(held: InForce, starts_on: dt.date) -> int:
    """Return the weeks of the half year that are over when a draft starts."""
    return held.resume.half_weeks + max(0, (starts_on - held.planned.starts_on).days // 7)


def is_over(held: InForce, starts_on: dt.date) -> bool:
    """Tell whether the half year is over when a draft starts: 26 weeks lie behind her."""
    return weeks_over(held, starts_on) >= DRAFT_WEEKS


def next_half(
    held: InForce, starts_on: dt.date, *, going: bool, onward: Onward | None = None
) -> Half:
    """Return the half year that a draft is in.

    going    something goes on from what was done; else the ramp starts again, and its half years
    onward   None: as the program in force went on, whatever is over
    """
    if not going:
        return Half()
    resume, weeks = held.resume, weeks_over(held, starts_on)
    if onward is Onward.NEXT_DRAFT and weeks >= DRAFT_WEEKS:
        return Half(year=resume.half_year + 1, begins=True)
    return Half(year=resume.half_year, weeks=weeks)
