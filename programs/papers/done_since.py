"""What she has done since her plan before: on the paper that follows a review.

Counts of her own log and tests, told as they were measured; nothing of it is said of her bones.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from programs.papers.paper_parts import Section, Words
from programs.papers.weeks import date_words
from programs.signed.program import SignedProgram


@dataclass(frozen=True, kw_only=True)
class DoneSince:
    """What is on record since a day.

    sessions   that were done, whole or in part
    stands     chair stands in 30 seconds, first and last; None where it was not measured twice
    rungs      of balance, as the plan before began and as this one begins; None where one has none
    """

    since: dt.date
    sessions: int
    stands: tuple[int, int] | None
    rungs: tuple[int, int] | None


def section(done: DoneSince, words: Words) -> Section | None:
    """Return what is told of it; None where there is nothing to tell."""
    told = [*_sessions(done, words), *_stands(done, words), *_rungs(done, words)]
    if not told:
        return None
    told.append(words.gettext("None of this tells how your bones are. A scan does, later on."))
    title = words.gettext("What you have done since {date}")
    return Section(title=title.format(date=date_words(done.since, words)), tell=tuple(told))


def _sessions(done: DoneSince, words: Words) -> list[str]:
    if not done.sessions:
        return []
    line = words.ngettext("You did {count} session.", "You did {count} sessions.", done.sessions)
    return [line.format(count=done.sessions)]


def _stands(done: DoneSince, words: Words) -> list[str]:
    if done.stands is None:
        return []
    line = words.gettext(
        "You stood up from the chair {first} times in 30 seconds then, {last} times now."
    )
    first, last = done.stands
    return [line.format(first=first, last=last)]


def _rungs(done: DoneSince, words: Words) -> list[str]:
    if done.rungs is None or done.rungs[1] <= done.rungs[0]:
        return []
    up = done.rungs[1] - done.rungs[0]
    line = words.ngettext(
        "In balance you went up by {count} step.", "In balance you went up by {count} steps.", up
    )
    return [line.format(count=up)]


def first_rung(program: SignedProgram) -> int | None:
    """Return the rung of balance with which a program begins; None where it holds none."""
    held = (week.balance for week in program.weeks if week.balance)
    return next((part.rung for part in held), None)
