"""When a review of a signed program is due."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from programs.review.dates import HALF_YEAR_WEEKS, REVIEW_WEEKS

#: The last week that is looked at, after twenty years.
LAST_WEEK = 1040
#: Weeks of an episode after which it is reviewed: in the first year, then each half year.
REVIEWS_OF_EPISODE = (
    *REVIEW_WEEKS,
    *range(REVIEW_WEEKS[-1] + HALF_YEAR_WEEKS, LAST_WEEK + 1, HALF_YEAR_WEEKS),
)
#: A review held this many days before its week counts for it. Project choice.
EARLY_DAYS = 7


@dataclass(frozen=True, kw_only=True)
class Due:
    """A review that is due: of which week, and since when."""

    week: int
    since: dt.date


def due_of(episode: dt.date, last_review: dt.date | None, today: dt.date) -> Due | None:
    """Return the newest review that is due and was not held, or None (rulebook rows 26g, 29).

    episode   the first day of the episode; the review of week n is due when n weeks are over
    """
    weeks = (today - episode).days // 7
    passed = [week for week in REVIEWS_OF_EPISODE if week <= weeks]
    if not passed:
        return None
    newest = Due(week=passed[-1], since=episode + dt.timedelta(weeks=passed[-1]))
    held = last_review is not None and last_review >= newest.since - dt.timedelta(days=EARLY_DAYS)
    return None if held else newest
