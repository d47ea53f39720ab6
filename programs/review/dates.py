"""When a program is looked at again: from the first day of the episode (rows 26g, 28, 29)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from patients.facts.ages import add_months
from programs.dose.limit import DRAFT_WEEKS
from programs.draft.reviews import BEFORE_IT_ENDS

REVIEW_WEEKS, TEST_WEEKS = (4, 12, 26, 52), (12, 26, 52)
#: After the first year both are done each half year (row 29a).
HALF_YEAR_WEEKS = 26
DENSITY_MONTHS = 12
#: After a stop a review comes within so many days. Project choice.
AFTER_A_STOP_DAYS = 14
#: The last week of a program is a review, where no other falls so near. Days.
NEAR_DAYS = 14


@dataclass(frozen=True, kw_only=True)
class Dates:
    """The next review, the next function tests, and the next look at density."""

    review: dt.date
    tests: dt.date
    density: dt.date


def next_dates(
    episode: dt.date,
    day: dt.date,
    *,
    last_week: dt.date,
    ends: Iterable[dt.date],
    stopped: bool,
) -> Dates:
    """Return the next dates after a day.

    episode     first day of the first program in force without a break of 26 weeks
    last_week   first day of the last week of the program that goes on
    ends        last days of the clearances that carry what is included
    stopped     something was stopped
    """
    planned = _after(episode, day, REVIEW_WEEKS)
    sooner = [planned, *_before_ends(day, ends), *_last_week(day, last_week, planned)]
    if stopped:
        sooner.append(day + dt.timedelta(days=AFTER_A_STOP_DAYS))
    months = DENSITY_MONTHS
    while add_months(episode, months) <= day:
        months += DENSITY_MONTHS
    return Dates(
        review=min(sooner),
        tests=_after(episode, day, TEST_WEEKS),
        density=add_months(episode, months),
    )


def _after(episode: dt.date, day: dt.date, weeks: tuple[int, ...]) -> dt.date:
    """Return the first of these weeks of the episode after a day; then each half year."""
    over = (day - episode).days // 7
    more = range(weeks[-1], over + 2 * HALF_YEAR_WEEKS + weeks[-1], HALF_YEAR_WEEKS)
    return next(on for week in (*weeks, *more) if (on := episode + dt.timedelta(weeks=week)) > day)


def _before_ends(day: dt.date, ends: Iterable[dt.date]) -> Iterator[dt.date]:
    """Yield the day two weeks before each end; within a week, where that is past."""
    for end in ends:
        if end >= day:
            yield max(end - dt.timedelta(days=BEFORE_IT_ENDS), min(end, day + dt.timedelta(days=6)))


def _last_week(day: dt.date, last_week: dt.date, planned: dt.date) -> Iterator[dt.date]:
    if last_week > day and abs((planned - last_week).days) > NEAR_DAYS:
        yield last_week


def last_week_of(starts_on: dt.date) -> dt.date:
    """Return the first day of a program's last week."""
    return starts_on + dt.timedelta(weeks=DRAFT_WEEKS - 1)
