"""For how long records are kept: when somebody's time is over, and which times may be set."""

from __future__ import annotations

import datetime as dt

from patients.facts.ages import add_months

#: Years that may be set: less is no keeping, more outlives everybody.
LEAST_YEARS, MOST_YEARS = 1, 100


def over_on(last: dt.date, years: int) -> dt.date:
    """Return the first day on which a record need no longer be kept."""
    return add_months(last, 12 * years) + dt.timedelta(days=1)


def why_not_years(years: int | None) -> str:
    """Return why a time cannot be set; nothing where it can."""
    if years is None or LEAST_YEARS <= years <= MOST_YEARS:
        return ""
    return f"Write {LEAST_YEARS} to {MOST_YEARS} years, or leave it empty."
