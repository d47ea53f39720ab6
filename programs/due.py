"""When a review of a signed program is due."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

#: Weeks at which a program is reviewed (rulebook row 29).
REVIEW_WEEKS = (4, 12, 26, 52)
#: A review held this many days before its week counts for it. Project choice.
EARLY_DAYS = 7


@dataclass(frozen=True, kw_only=True)
class Due:
    """A review that is due: of which week, and since when."""

    week: int
    since: dt.date


def review_due(starts_on: dt.date, last_review: dt.date | None, today: dt.date) -> Due | None:
    """Return the newest review that is due and was not held, or None.

    Review of week n is due when n weeks are over.
    """
    passed = [
        Due(week=week, since=starts_on + dt.timedelta(weeks=week))
        for week in REVIEW_WEEKS
        if starts_on + dt.timedelta(weeks=week) <= today
    ]
    if not passed:
        return None
    newest = passed[-1]
    held = last_review is not None and last_review >= newest.since - dt.timedelta(days=EARLY_DAYS)
    return None if held else newest
