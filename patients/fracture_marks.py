"""How long ago each bone broke, and the days on which the usual waits are over."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from patients.ages import add_months, days_between
from patients.codes import FRACTURE_SITES
from patients.facts import Facts, Fracture
from patients.spans import DAY, span_text

#: Nothing is drafted before this many days (project choice, for the clinic to confirm).
REST_DAYS = 28
#: Loading waits up to and including this day (12 weeks; project choice, for the clinic to
#: confirm).
LOAD_DAYS = 84
#: From here on a fracture of which nobody says otherwise is taken as healed, calendar months.
HEALED_MONTHS = 12


@dataclass(frozen=True)
class Mark:
    """A wait after a fracture: the first day on which it is over, and the days still left."""

    words: str
    on: dt.date
    days_left: int

    @property
    def over(self) -> bool:
        """Tell whether the wait is over."""
        return self.days_left == 0


@dataclass(frozen=True)
class Since:
    """One fracture: days since it broke and its waits; None and () without a date.

    known  what is known of the date, as spans.KNOWN calls it; its day is the latest it may be
    """

    fracture: Fracture
    days: int | None
    marks: tuple[Mark, ...]
    known: str = DAY

    @property
    def label(self) -> str:
        """Return the bone in plain words."""
        return FRACTURE_SITES[self.fracture.site]

    @property
    def broke(self) -> str:
        """Return when it broke, in words; "" where that is not recorded."""
        return "" if self.fracture.date is None else span_text(self.fracture.date, self.known)

    @property
    def at_least(self) -> bool:
        """Tell whether it may be longer ago than the days say."""
        return self.known != DAY


def since_fractures(facts: Facts, known: Sequence[str] = ()) -> tuple[Since, ...]:
    """Return each fracture with its waits, newest first, those without a date last.

    known goes with facts.fractures: what is known of each date; () where all are full.
    """
    fractures = facts.fractures or ()
    pairs = zip(fractures, known or [DAY] * len(fractures), strict=True)
    dated = sorted(pairs, key=lambda p: (p[0].date is not None, p[0].date or dt.date.min))
    return tuple(_since(*pair, facts.as_of) for pair in reversed(dated))


def _since(fracture: Fracture, known: str, day: dt.date) -> Since:
    if fracture.date is None:
        return Since(fracture, None, ())
    broke = fracture.date
    ends = (
        ("4 weeks", broke + dt.timedelta(days=REST_DAYS)),
        ("12 weeks", broke + dt.timedelta(days=LOAD_DAYS + 1)),
        ("12 months", add_months(broke, HEALED_MONTHS)),
    )
    marks = tuple(Mark(words, on, max(0, days_between(day, on))) for words, on in ends)
    return Since(fracture, days_between(broke, day), marks, known)
